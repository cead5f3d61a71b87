package intake

import (
	"crypto/sha256"
	"fmt"
	"strconv"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/store"
)

// Saved is the log of what was saved of a damaged study: the events that are whole, and
// where others are missing a remark that says so, of which the record asks.
func Saved(s *store.Salvage, now time.Time) (all []tracker.Event) {
	from := 0
	for _, g := range s.Gaps {
		all = append(all, s.Events[from:g.Before]...)
		all = append(all, gapOf(s, g, now))
		from = g.Before
	}
	return append(all, s.Events[from:]...)
}

// gapOf is the remark where events are missing. What it says follows from what is left,
// so that saving the same file twice says the same.
func gapOf(s *store.Salvage, g store.Gap, now time.Time) tracker.Event {
	e := tracker.Event{Kind: tracker.Noted, Via: tracker.ViaSalvage, Recorded: now.UTC().Truncate(time.Millisecond)}
	var after, before tracker.Event
	if g.Before > 0 {
		after = s.Events[g.Before-1]
	}
	if g.Before < len(s.Events) {
		before = s.Events[g.Before]
	}
	e.At = schedule.Span{From: after.Recorded, To: before.Recorded}
	e.Values = []tracker.Value{{Name: tracker.GapCount, Text: strconv.FormatInt(g.Count, 10)}, {Name: tracker.GapFirst, Text: strconv.FormatInt(g.First, 10)},
		{Name: tracker.GapAfter, Text: after.ID}, {Name: tracker.GapBefore, Text: before.ID}}
	for _, lost := range g.Photos {
		e.Note += fmt.Sprintf("a photograph of %s kept %s is lost; ", lost.Code, lost.Recorded.UTC().Format(time.RFC3339))
	}
	e.ID = fmt.Sprintf("gap-%x", sha256.Sum256(fmt.Append(nil, e.Values)))[:36]
	return e
}
