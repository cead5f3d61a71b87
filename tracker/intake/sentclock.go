package intake

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"regexp"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// The clock of a phone is anybody's: an hour off, set while somebody works, stopped
// while it slept. So an event keeps what it showed, and what the phone found out when
// it compared it with the station's is a fact of its own. One undisturbed stretch of
// one phone's clock, its epoch, is one device, so that no fact corrects what was
// read off a clock that had been set since.

// A shownAt is what an entry says of its time.
type shownAt struct {
	shown time.Time // by the phone's clock
	epoch string
	fact  *clockFact    // a comparison in the same epoch
	jump  schedule.Span // where there is none: the range that holds the truth, as the station tells time
}

// A clockFact is one comparison: what the phone showed when the station's clock said at.
type clockFact struct {
	shown, at time.Time
	trip      time.Duration // the question and its answer took so long
}

// A clockDoc is clock as a page writes it. All times are milliseconds.
type clockDoc struct {
	Epoch string `json:"epoch"`
	Fact  *struct {
		Shown int64 `json:"shown"`
		At    int64 `json:"at"`
		Trip  int64 `json:"trip"`
	} `json:"fact"`
	Jump *[2]*int64 `json:"jump"`
}

// No clock in use shows anything else, and lengths between such instants can be
// worked with.
var (
	firstInstant = time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC)
	lastInstant  = time.Date(2200, 1, 1, 0, 0, 0, 0, time.UTC)
)

// instant is the instant of so many milliseconds. The error is an *Unfit.
func instant(ms int64) (time.Time, error) {
	t := time.UnixMilli(ms).UTC()
	if t.Before(firstInstant) || !t.Before(lastInstant) {
		return t, unfit("%d milliseconds are no time between 1970 and 2200", ms)
	}
	return t, nil
}

// longestEpoch is more than the name of an epoch has.
const longestEpoch = 24

// of reads what a page says of its clock. The errors are *Unfit.
func (doc clockDoc) of(at int64) (s shownAt, err error) {
	outside := func(c rune) bool { return !strings.ContainsRune("0123456789abcdefghijklmnopqrstuvwxyz-", c) }
	if len(doc.Epoch) > longestEpoch || strings.ContainsFunc(doc.Epoch, outside) {
		return s, unfit("%s is no epoch of a clock", Quoted(doc.Epoch))
	}
	s.epoch = doc.Epoch
	if s.shown, err = instant(at); err != nil {
		return s, err
	}
	switch {
	case doc.Fact != nil:
		s.fact = &clockFact{trip: time.Duration(min(max(0, doc.Fact.Trip), int64(time.Hour/time.Millisecond))) * time.Millisecond}
		if s.fact.shown, err = instant(doc.Fact.Shown); err == nil {
			s.fact.at, err = instant(doc.Fact.At)
		}
	case doc.Jump != nil:
		s.jump, err = rangeOf(*doc.Jump)
	}
	return s, err
}

func rangeOf(ends [2]*int64) (span schedule.Span, err error) {
	for i, to := range []*time.Time{&span.From, &span.To} {
		if ends[i] == nil {
			continue
		}
		if *to, err = instant(*ends[i]); err != nil {
			return span, err
		}
	}
	if ends[0] != nil && ends[1] != nil && span.To.Before(span.From) {
		return span, unfit("a range of time ends before it begins")
	}
	return span, nil
}

// device is the phone's clock as it was then, as events name it.
func (s Sent) device() string { return fmt.Sprintf("%s%s/%s", s.Phone.lead(), s.Phone.ID, s.At.epoch) }

// lead is what stands before the id in a device's name.
func (p Phone) lead() string {
	if name := oneLine(p.Name); name != "" {
		return name + " "
	}
	return ""
}

// made reports whether an event was made on this phone, whatever it was called then.
func (p Phone) made(e tracker.Event) bool {
	name, _, _ := strings.Cut(lastWord(e.Device), "/")
	return name == p.ID
}

// ofPhone reports whether a phone sent an event, whichever.
func ofPhone(e tracker.Event) bool { return phoneDevice.MatchString(lastWord(e.Device)) }

var phoneDevice = regexp.MustCompile(`^[a-z0-9]{6,}/[^/]+$`)

func lastWord(text string) string { return text[strings.LastIndex(text, " ")+1:] }

// on gives an entry of the desk the time of what was sent.
func (s Sent) on(e *Entry, zone *time.Location) {
	e.At, e.Timed, e.Device, e.DeviceTime, e.Count = schedule.At(s.now()), true, s.device(), true, s.N
	if s.At.fact == nil && !s.At.jump.IsZero() {
		e.At, e.DeviceTime = s.At.jump, false
		e.Doubt = fmt.Sprintf("by a clock that was set or stood still about then, and showed %s", s.now().In(zone).Format("Mon 2006-01-02 15:04:05 MST"))
	}
}

// clockSeen is what the phone found out of its clock, where that is new: the first of
// an epoch, or off from what is known by more than a second. nil for none.
func (s Sent) clockSeen(d *Desk) *tracker.Event {
	fact := s.At.fact
	if fact == nil {
		return nil
	}
	e := d.event(tracker.ClockSeen)
	e.At, e.DeviceTime, e.Doubt, e.Note, e.Shown = around(fact.at, fact.trip), false, "", "", fact.shown
	sum := sha256.Sum256(fmt.Appendf(nil, "%s\n%d\n%d", e.Device, fact.shown.UnixMilli(), fact.at.UnixMilli()))
	e.ID = "clock-" + hex.EncodeToString(sum[:16])
	if known, ok := d.rec.ClockOf(tracker.Event{Device: e.Device, At: schedule.At(fact.shown)}); ok {
		off := known.Shown.Sub(known.At.Mid()) - fact.shown.Sub(fact.at)
		if off.Abs() <= time.Second {
			return nil
		}
	}
	return &e
}

// around is an instant that is known to within half a round trip. One of under two
// seconds says nothing that anybody would miss.
func around(at time.Time, trip time.Duration) schedule.Span {
	if trip < 2*time.Second {
		return schedule.At(at)
	}
	return schedule.Span{From: at.Add(-trip / 2), To: at.Add(trip / 2)}
}
