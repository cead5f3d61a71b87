package labels

import (
	"fmt"
	"hash/fnv"
	"strings"
	"unicode"
)

// A CardKind tells what a card does when it is scanned.
type CardKind uint8

// The kinds of cards. The zero CardKind is no card.
const (
	NoCard    CardKind = iota
	CardStage          // puts a stage in force; Name is the stage
	CardBath           // stands for every specimen in a bath; Name is the bath
	CardYes            // answers the question asked last
	CardUndo           // takes back what was recorded last
	CardWho            // says who is working; Name is the person
	CardTest           // shows how a scanner types
)

func (k CardKind) String() string {
	return [...]string{"no card", "stage", "bath", "yes", "undo", "who", "test"}[k]
}

// A Card is scanned instead of a key being pressed.
type Card struct {
	Kind CardKind
	Name string // stage, bath or person; empty for the others
}

// mark leads the text of every card, so that no card is ever taken for a
// specimen. It is in QR's alphanumeric set and in the same place on the US,
// German and most other keyboards; on a French one it comes out as ':'.
const mark = "."

// testText shows the digits, the letters that move between keyboards, and the
// two signs that move on most of them.
const testText = ".TEST0189AQWMYZ-/"

// Text returns what stands in the card's symbol: .LIFTOUT, .BATHB2, .YES,
// .UNDO, .WHOANNA. It holds characters of QR's alphanumeric set only.
func (c Card) Text() string {
	switch c.Kind {
	case CardStage:
		return mark + squash(c.Name)
	case CardBath:
		return mark + "BATH" + squash(c.Name)
	case CardYes:
		return mark + "YES"
	case CardUndo:
		return mark + "UNDO"
	case CardWho:
		return mark + "WHO" + person(c.Name)
	case CardTest:
		return testText
	}
	return ""
}

// Title returns the card's words for people.
func (c Card) Title() string {
	switch c.Kind {
	case CardStage:
		return c.Name
	case CardBath:
		return "bath " + c.Name
	case CardYes:
		return "yes"
	case CardUndo:
		return "undo"
	case CardWho:
		return "who: " + c.Name
	case CardTest:
		return "scanner test"
	}
	return ""
}

// ParseCard reads a card as scanned, or its plain words as typed: a stage
// ("lift-out", "lift out"), "yes", "undo", "bath B2", "who anna". Stages are
// compared by their letters and digits only; the stage returned is the one of
// the list. A bath comes back in capitals: compare it with SameName. A
// person comes back with capital initials. Cards carry no check character,
// so text that merely resembles a card is not one.
func ParseCard(text string, stages []string) (Card, bool) {
	if len(text) > longest {
		return Card{}, false
	}
	text = strings.ToUpper(strings.Join(strings.Fields(text), " "))
	if strings.HasPrefix(text, mark) {
		body := strings.TrimPrefix(text, mark)
		if c, ok := scanned(body, stages); ok {
			return c, true
		}
		return exact(squash(qwertz(body)), stages)
	}
	if strings.HasPrefix(text, ":") { // the mark on a French keyboard
		return scanned(azerty(strings.TrimPrefix(text, ":")), stages)
	}
	return typed(text, stages)
}

// SameName reports whether two names make the same card: they agree but for
// case, spaces, accents and signs.
func SameName(a, b string) bool { return squash(a) == squash(b) }

// scanned reads what follows the mark.
func scanned(body string, stages []string) (Card, bool) {
	if strings.HasPrefix(body, "TEST") {
		return Card{Kind: CardTest}, true
	}
	if c, ok := exact(squash(body), stages); ok {
		return c, true
	}
	return named(body, "")
}

// typed reads plain words. A name needs a space before it.
func typed(text string, stages []string) (Card, bool) {
	if squash(text) == "" {
		return Card{}, false
	}
	if c, ok := exact(squash(text), stages); ok {
		return c, true
	}
	return named(text, " ")
}

// exact finds the cards whose whole text is known beforehand. The stages come
// before names, so that a stage called "bath change" is not bath CHANGE.
func exact(squashed string, stages []string) (Card, bool) {
	switch squashed {
	case "YES":
		return Card{Kind: CardYes}, true
	case "UNDO":
		return Card{Kind: CardUndo}, true
	}
	for _, stage := range stages {
		if squash(stage) == squashed {
			return Card{Kind: CardStage, Name: stage}, true
		}
	}
	return Card{}, false
}

func named(text, gap string) (Card, bool) {
	if name, ok := strings.CutPrefix(text, "BATH"+gap); ok && squash(name) != "" {
		return Card{Kind: CardBath, Name: strings.TrimSpace(name)}, true
	}
	if name, ok := strings.CutPrefix(text, "WHO"+gap); ok && person(name) != "" {
		return Card{Kind: CardWho, Name: initials(person(name))}, true
	}
	return Card{}, false
}

// squash keeps capitals and digits, without accents. A name that has none (of
// another script) is stood for by a number made from it, so that it still
// has a card.
func squash(name string) string {
	out := strings.ReplaceAll(plain(name), " ", "")
	if out == "" && strings.IndexFunc(name, unicode.IsLetter) >= 0 {
		sum := fnv.New32a()
		sum.Write([]byte(strings.ToUpper(name)))
		return fmt.Sprintf("X%08X", sum.Sum32())
	}
	return out
}

// person keeps the spaces between a person's names: QR's alphanumeric set has
// a space, and the name is shown again later.
func person(name string) string {
	if out := strings.Join(strings.Fields(plain(name)), " "); out != "" {
		return out
	}
	return squash(name)
}

// accents are Latin letters with their plain ones. Letters of other scripts
// have no place in QR's alphanumeric set.
var accents = strings.NewReplacer(
	"À", "A", "Á", "A", "Â", "A", "Ã", "A", "Ä", "A", "Å", "A", "Æ", "AE", "Ç", "C", "Č", "C", "Ć", "C",
	"Ð", "D", "Đ", "D", "È", "E", "É", "E", "Ê", "E", "Ë", "E", "Ę", "E", "Ě", "E", "Ì", "I", "Í", "I",
	"Î", "I", "Ï", "I", "İ", "I", "Ł", "L", "Ñ", "N", "Ń", "N", "Ò", "O", "Ó", "O", "Ô", "O", "Õ", "O",
	"Ö", "O", "Ø", "O", "Œ", "OE", "Ř", "R", "Š", "S", "Ś", "S", "ß", "SS", "ẞ", "SS", "Þ", "TH", "Ù", "U",
	"Ú", "U", "Û", "U", "Ü", "U", "Ů", "U", "Ý", "Y", "Ÿ", "Y", "Ž", "Z", "Ź", "Z", "Ż", "Z",
)

func plain(name string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == ' ', r < 128 && strings.IndexByte(alphabet, byte(r)) >= 0:
			return r
		}
		return -1
	}, accents.Replace(strings.ToUpper(name)))
}

// initials turns ANNA SMITH into Anna Smith.
func initials(name string) string {
	words := strings.Fields(strings.ToLower(name))
	for i, w := range words {
		words[i] = strings.ToUpper(w[:1]) + w[1:]
	}
	return strings.Join(words, " ")
}

// Scanner says what is wrong with the way a scanner typed the test card, one
// finding a line; nothing when it typed the card as it stands. The text must be
// as received, before any tidying; the line end is the caller's to judge.
func Scanner(text string) []string {
	text = strings.TrimRight(text, "\r\n\t")
	if text == testText {
		return nil
	}
	var found []string
	upper := strings.ToUpper(text)
	if text != upper && strings.ContainsFunc(text, unicode.IsLower) {
		found = append(found, "letters come out small: caps lock is on, or the scanner changes case (codes are read all the same)")
	}
	switch {
	case strings.Contains(upper, "TESTÀ&") || strings.Contains(upper, "QAZ"):
		found = append(found, "the scanner types for another keyboard layout than French: set its layout, or the computer's, so that both are the same")
	case strings.Contains(upper, "ZY"):
		found = append(found, "Y and Z are exchanged: set the scanner's keyboard layout, or the computer's, so that both are the same (US and German differ here)")
	case !strings.HasSuffix(upper, "-/"):
		found = append(found, "the hyphen or the slash comes out as another sign: the keyboard layouts of scanner and computer differ (codes are read all the same)")
	}
	if len(found) == 0 {
		found = append(found, "characters are missing or changed: let the scanner type more slowly, and read the card again")
	}
	return found
}
