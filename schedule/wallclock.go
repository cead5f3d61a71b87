package schedule

import "time"

// A Doubt is something about a time that a person should be asked about. It
// reads after "the time ...".
type Doubt string

const (
	Future  Doubt = "in the future"
	Twice   Doubt = "exists twice"   // the clock was put back over it; the first is taken
	Missing Doubt = "does not exist" // the clock was put forward over it; see instant
)

// farthest is more than any zone's offset from UTC ever was.
const farthest = 26 * time.Hour

// instant finds when the clocks of a zone showed what wall shows (its zone is
// not looked at). Clocks put back show a time twice: the first is taken.
// Clocks put forward never show some times, and once, in Apia on 30 December
// 2011, a whole day: then the clock is read as if it had not been put forward
// yet, which is later by the size of the change.
func instant(wall time.Time, zone *time.Location) (time.Time, []Doubt) {
	utc := time.Date(wall.Year(), wall.Month(), wall.Day(), wall.Hour(), wall.Minute(), wall.Second(), wall.Nanosecond(), time.UTC)
	var found []time.Time
	var skipped time.Time
	for t := utc.Add(-farthest); !t.After(utc.Add(farthest)); {
		begins, ends := t.In(zone).ZoneBounds()
		_, offset := t.In(zone).Zone()
		at := utc.Add(-time.Duration(offset) * time.Second)
		early, late := at.Before(begins), !ends.IsZero() && !at.Before(ends)
		if !early && !late {
			found = append(found, at)
		}
		// Past the end of this offset, and next found before the beginning
		// of the following one: the change between them jumped over it.
		if late && before(utc, ends, zone) {
			skipped = at
		}
		if ends.IsZero() {
			break
		}
		t = ends
	}
	return choose(found, skipped)
}

// before reports whether the clock that starts at the instant given would
// have shown utc's digits only before it started.
func before(utc, starts time.Time, zone *time.Location) bool {
	_, offset := starts.In(zone).Zone()
	return utc.Add(-time.Duration(offset) * time.Second).Before(starts)
}

func choose(found []time.Time, skipped time.Time) (time.Time, []Doubt) {
	switch len(found) {
	case 0:
		return skipped, []Doubt{Missing}
	case 1:
		return found[0], nil
	}
	return found[0], []Doubt{Twice}
}
