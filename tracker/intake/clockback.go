package intake

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"soaktag/tracker"
)

// doubtClock writes into events, in place, that this computer's clock is behind what it showed
// before: they are kept, and ask. Tables and photographs have their times from elsewhere.
func (d *Desk) doubtClock(events []tracker.Event) {
	for i := range events {
		e := &events[i]
		if e.Via == "photo" || e.Via == "import" || e.At.IsZero() || !e.Kind.Happens() || strings.Contains(e.Doubt, tracker.ClockBehind) {
			continue
		}
		if newest, behind := d.rec.Behind(e.Recorded); behind {
			e.Doubt = besides(e.Doubt, fmt.Sprintf("%sit showed %s, and an entry was written on %s already", tracker.ClockBehind,
				d.minute(e.Recorded), d.minute(newest.Recorded)))
		}
	}
}

// minute is an instant as stored texts have it.
func (d *Desk) minute(t time.Time) string { return t.In(d.Zone()).Format("Mon 2006-01-02 15:04 MST") }

// besides joins what is doubtful about an entry.
func besides(doubts ...string) string {
	return strings.Join(slices.DeleteFunc(doubts, func(s string) bool { return s == "" }), "; ")
}
