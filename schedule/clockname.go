package schedule

import (
	"fmt"
	"strings"
	"time"
)

// What a zone's clocks are called before and after a change, EST and EDT, settles
// what the change makes doubtful. Only the names of the study's own zone are read:
// the same letters mean other clocks elsewhere.

// clockName is what the zone's clocks are called at an instant, in small letters;
// empty where that is a number, which is no name.
func clockName(t time.Time, zone *time.Location) string {
	name, _ := t.In(zone).Zone()
	if strings.ContainsAny(name, "+-0123456789") {
		return ""
	}
	return strings.ToLower(name)
}

// cutName takes the name of the zone's clocks off the end of a time. The names are
// those of the year around what words count from.
func (r *reader) cutName(s string) (rest, name string) {
	i := strings.LastIndexByte(s, ' ')
	if i < 0 {
		return s, ""
	}
	for month := -13; month <= 13; month++ {
		if s[i+1:] == clockName(r.base.AddDate(0, month, 0), r.zone) {
			return s[:i], s[i+1:]
		}
	}
	return s, ""
}

// instant is when the clocks showed wall; where they were named, by that name,
// which leaves no doubt. A time that a change jumped over was shown by neither, and
// is what the one named would have shown.
func (r *reader) instant(wall time.Time) (time.Time, []Doubt) {
	found, skipped := instants(wall, r.zone)
	if r.named == "" {
		return choose(found, skipped)
	}
	may := found
	if len(found) == 0 {
		may = Readings(skipped, Missing, r.zone)
	}
	if r.wrong = nil; len(may) > 1 && clockName(may[0], r.zone) == clockName(may[1], r.zone) {
		return choose(found, skipped) // the name settles nothing
	}
	for i, t := range may {
		shown := t
		if len(found) == 0 { // by the clocks of the other side of the change
			shown = may[1-i]
		}
		if clockName(shown, r.zone) == r.named {
			return t, nil
		}
	}
	t, doubts := choose(found, skipped)
	_, offset := Written(t, r.zone)
	r.wrong = fmt.Errorf("the clocks of %s were not on %s then; leave that out, or write the offset: %s", r.zone, strings.ToUpper(r.named), offset)
	return t, doubts
}

// Readings lists what an instant that was taken for a doubtful time may be instead,
// itself first; nothing where the clock change leaves no such doubt about it.
func Readings(taken time.Time, d Doubt, zone *time.Location) []time.Time {
	switch d {
	case Twice:
		if found, _ := instants(onWall(taken, zone), zone); len(found) > 1 {
			return found
		}
	case Missing:
		change, _ := taken.In(zone).ZoneBounds()
		jump := offset(taken, zone) - offset(change.Add(-1), zone)
		if !change.IsZero() && jump > 0 && taken.Sub(change) < jump {
			return []time.Time{taken, taken.Add(-jump)}
		}
	}
	return nil
}

// onWall is what the clocks of a zone show, with no zone.
func onWall(t time.Time, zone *time.Location) time.Time {
	return t.UTC().Add(offset(t, zone))
}

// Written gives the two ways to write an instant without doubt, as ParseTime reads
// them: by what the zone calls its clocks then, empty where that is a number or
// settles nothing, and with the offset from UTC.
func Written(t time.Time, zone *time.Location) (named, offset string) {
	at := t.In(zone)
	other := Readings(t, Twice, zone)
	if clockName(t, zone) != "" && (other == nil || clockName(other[0], zone) != clockName(other[1], zone)) {
		named = at.Format("2006-01-02 15:04 MST")
	}
	return named, at.Format("2006-01-02 15:04Z07:00")
}
