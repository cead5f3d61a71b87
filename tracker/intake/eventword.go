package intake

import (
	"slices"
	"strconv"
	"strings"

	"soaktag/tracker"
)

// eventNamed finds the event that a word means: last, its number in the log, or
// the beginning of its id. What is written in digits alone is a number: that no
// event has it must not mean one whose id happens to begin so. The error is a
// *Refusal.
func eventNamed(rec *tracker.Record, word string) (tracker.Event, error) {
	if strings.EqualFold(word, "last") {
		return lastEvent(rec)
	}
	events := rec.Events()
	if n, err := strconv.ParseInt(strings.TrimPrefix(word, "#"), 10, 64); err == nil {
		return theOnly(slices.DeleteFunc(events, func(e tracker.Event) bool { return e.Seq != n && e.ID != word }), word)
	}
	var found []tracker.Event
	for _, e := range events {
		if e.ID == word {
			return e, nil
		}
		if strings.HasPrefix(e.ID, word) {
			found = append(found, e)
		}
	}
	return theOnly(found, word)
}

func theOnly(found []tracker.Event, word string) (tracker.Event, error) {
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) > 1:
		return tracker.Event{}, refuse("%d events begin with %q; give more of the id", len(found), word)
	}
	return tracker.Event{}, refuse("no event %q in the log", word).because(NoSuchEvent{word})
}

// lastEvent is the newest fact that still counts, of those that no phone sent.
func lastEvent(rec *tracker.Record) (tracker.Event, error) { return lastThat(rec, amendable) }

// lastOfAny is the last event that counts of whatever kind: of the last command, be it
// one that only spoke of earlier events.
func lastOfAny(rec *tracker.Record) (tracker.Event, error) {
	return lastThat(rec, func(e tracker.Event) bool { return e.Kind != tracker.Begun })
}

// lastThat finds the last of anybody at this computer. What a phone sends comes in
// between without being seen here: whoever types last does not mean it.
func lastThat(rec *tracker.Record, is func(tracker.Event) bool) (tracker.Event, error) {
	for _, e := range slices.Backward(rec.Events()) {
		if is(e) && !rec.Voided(e.ID) && !ofPhone(e) {
			return e, nil
		}
	}
	return tracker.Event{}, refuse("nothing was recorded at this computer since the study began, so there is nothing to amend")
}
