package wording

import (
	"fmt"
	"strings"
	"time"
	"unicode"
)

// Turned is why a station turned a request away.
type Turned int

const (
	Admitted      Turned = iota // it did not
	NotPaired                   // no cookie, or one that was never given
	Revoked                     // the phone's pairing was taken back
	ForeignHost                 // it asked for another host than this
	ForeignPage                 // a page of somebody else's sent it
	NoSuchLink                  // a guest's or calendar's link that is not, or no longer, one
	NotHere                     // nothing is served there
	NotUnderstood               // what came is not what is sent there
	WrongCode                   // no pairing code, or one that was used or is too old
	TooLarge                    // too many bytes
	TooManyPixels               // a photograph of too many pixels
	TooMany                     // too many requests of one phone
	TooManyPhotos               // too many photographs of one phone
	TooManyTries                // too many pairing codes tried
	TooManyLooks                // too many requests by a link
	TooBusy                     // too much at once, of everybody
	TooSlow                     // a photograph that takes too long to read
	CutOff                      // what was sent came too slowly, or stopped
	Failed                      // the station's own fault
)

// turnedAway are, for each reason, what is said and what to do.
var turnedAway = map[Turned][2]string{
	NotPaired:     {"this phone is not paired", "press Enter at the station's terminal and photograph the symbol there"},
	Revoked:       {"this phone's pairing was taken back", "press Enter at the station's terminal and photograph the symbol there, if it may come back"},
	ForeignHost:   {"this station is not called that", "open the address that its terminal shows"},
	ForeignPage:   {"another page sent this", "open the address that the station's terminal shows"},
	NoSuchLink:    {"this link leads nowhere, or no longer", "ask whoever runs the station for a new one"},
	NotHere:       {"there is nothing here", "go back to the first page"},
	NotUnderstood: {"this was not understood", "load the page again; what is kept on the phone stays there"},
	WrongCode:     {"this pairing code is wrong, used, or older than five minutes", "press Enter at the station's terminal for a new one"},
	TooLarge:      {"this is too large", "photograph it again, smaller"},
	TooManyPixels: {"this photograph has too many pixels", "photograph it again with a lower resolution"},
	TooMany:       {"this phone asks too often", "wait a few seconds; what is kept on the phone is sent then"},
	TooManyPhotos: {"too many photographs in a minute", "wait a little; what is kept on the phone is sent then"},
	TooManyTries:  {"too many pairing codes were tried", "wait a few seconds, then photograph the symbol at the station's terminal"},
	TooManyLooks:  {"this is asked for too often", "wait a minute"},
	TooBusy:       {"too much comes in at once", "wait a few seconds; what is kept on the phone is sent then"},
	TooSlow:       {"this photograph takes too long to read", "photograph the label from nearer, or type its code"},
	CutOff:        {"what was sent came too slowly", "go nearer to the workshop's Wi-Fi; it is sent again"},
	Failed:        {"the station could not do this", "look at its terminal; what is kept on the phone stays there"},
}

// TurnedAway says why a station did not take a request, and what to do about it.
func TurnedAway(why Turned) (text, do string) {
	return turnedAway[why][0], turnedAway[why][1]
}

// StationLine is a line of a station's terminal: when, who, and what happened.
// Whatever a stranger may have put in is shown harmless.
func StationLine(at time.Time, who, what string) string {
	return at.Format("15:04:05") + "  " + OneLine(who) + "  " + OneLine(what)
}

// NotLetIn is what a station's terminal says of a request that was turned away,
// and of how many like it since the last line that said so.
func NotLetIn(why Turned, asked string, more int) string {
	text := "not taken: " + turnedAway[why][0] + " (" + asked + ")"
	if more > 0 {
		text += fmt.Sprintf(", and %d more", more)
	}
	return text
}

// OneLine makes text of a stranger's harmless on a terminal: nothing in it moves
// the cursor or turns the line round, and it is not endless.
func OneLine(text string) string {
	text = strings.Map(func(c rune) rune {
		if unicode.IsControl(c) || unicode.Is(unicode.Cf, c) || c == unicode.ReplacementChar {
			return '?'
		}
		return c
	}, strings.ToValidUTF8(text, "?"))
	if runes := []rune(text); len(runes) > longestLine {
		return string(runes[:longestLine]) + "..."
	}
	return text
}

const longestLine = 300

// NamelessPhone is what a phone is called that nobody gave a name.
const NamelessPhone = "a phone"

// PhonePaired is what a station's terminal says of a phone that was let in.
func PhonePaired(id string) string { return "paired, id " + id }

// StationFailed is what a station's terminal says of what it could not do.
func StationFailed(asked string, err error) string { return "failed: " + asked + ": " + err.Error() }

// CameIn sums up what a phone sent while a station ran.
func CameIn(who string, taken, asks, notTaken int) string {
	text := OneLine(who) + ": " + Counted(taken, "entry", "entries")
	switch {
	case asks == 1:
		text += ", 1 of them asks"
	case asks > 1:
		text += fmt.Sprintf(", %d of them ask", asks)
	}
	if notTaken > 0 {
		text += fmt.Sprintf(", %d not taken", notTaken)
	}
	return text
}

// Overheard is what is to be known of a station that speaks plain http.
const Overheard = "plain http: whoever is on this Wi-Fi can overhear it, pairing included; only on a network of your own, else --tls"

// CompareFingerprint is what a phone asks about a certificate that nobody but the station
// vouches for.
func CompareFingerprint(print string) string {
	return "each phone asks about the certificate once: take it only with this SHA-256 fingerprint\n" + print[:len(print)/2+1] + "\n" + print[len(print)/2+1:]
}

// Invited says how to pair a phone, and until when.
func Invited(url string, until time.Time, zone *time.Location) string {
	return url + "\nphotograph the symbol, or type the line above: one phone, until " + until.In(zone).Format("15:04:05") +
		"; Enter: a code for the next one; Ctrl-C: end"
}

// GuestsAt names the link for guests.
func GuestsAt(url string) string { return "guests (results and report only): " + url }

// NothingCameIn is said at the end of a station that no phone sent anything.
const NothingCameIn = "nothing was taken in"

// LastHere says when a phone was seen, and whether it may come again.
func LastHere(at time.Time, zone *time.Location, revoked bool) string {
	if revoked {
		return Time(at, zone) + ", revoked"
	}
	return Time(at, zone)
}

// Elsewhere is said before an address where a station may be instead.
const Elsewhere = "choose where"
