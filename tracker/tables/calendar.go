package tables

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"soaktag/schedule"
	"soaktag/schedule/ical"
	"soaktag/tracker"
	"soaktag/tracker/wording"
	"strings"
	"time"
)

// A forecast is a record looked at from one instant, for a calendar.
type forecast struct {
	rec      *tracker.Record
	now      time.Time
	sequence int // grows with the log, as an entry that moves must
}

// Calendar makes one entry of all specimens of a bath (or adhesive and treatment)
// that wait for the same stage at an instant, and one of every dummy. events is
// how many the log has.
func Calendar(rec *tracker.Record, now time.Time, events int64) []ical.Event {
	return forecast{rec, now, int(events)}.entries()
}

func (v forecast) entries() []ical.Event {
	var items []tracker.Due
	for _, d := range v.rec.Due(v.now) {
		if d.Rig == "" && !d.Window.Begins().IsZero() {
			d.State = schedule.Ongoing // one entry, whether due or still running
			items = append(items, d)
		}
	}
	var events []ical.Event
	for _, g := range tracker.GroupDue(items, v.rec.Study().Rule.Blind) {
		events = append(events, v.entry(g))
	}
	return v.withDummies(events)
}

func (v forecast) entry(g tracker.DueGroup) ical.Event {
	first := g.Items[0]
	return ical.Event{
		UID:         calendarUID(v.rec, g.DueKey),
		Start:       v.rec.Study().FirstManned(first.Window.Begins(), first.Window.Closes),
		End:         first.Window.Closes,
		Summary:     fmt.Sprintf("%s: %s of %s, %s", v.rec.Study().Prefix, g.Stage, wording.DueWhom(g), wording.Plural(len(g.Items), "specimen")),
		Description: wording.Work(v.rec.Study(), g) + "\n" + codeList(g.Items),
		Sequence:    v.sequence,
	}
}

// calendarUID names an entry for life: its study, stage and bath or group.
func calendarUID(rec *tracker.Record, key tracker.DueKey) string {
	words := strings.Join([]string{rec.Study().Prefix, string(key.Stage), key.Bath, key.Adhesive, key.Treatment}, "-")
	return strings.ReplaceAll(words, " ", "-") + "-" + studyMark(rec) + "@soaktag"
}

// studyMark tells two studies of one prefix apart: a part of the hash of the
// plan that the study began with.
func studyMark(rec *tracker.Record) string {
	sum := sha256.Sum256(rec.Original().Text)
	return hex.EncodeToString(sum[:4])
}

func codeList(items []tracker.Due) string {
	codes := make([]string, len(items))
	for i, d := range items {
		codes[i] = d.Specimen.Code.String()
	}
	return strings.Join(codes, ", ")
}

// dummies makes one calendar entry of every dummy, due or still to come.
func (v forecast) dummies() []ical.Event {
	var events []ical.Event
	study := v.rec.Study()
	for _, d := range v.rec.Dummies(v.now) {
		events = append(events, ical.Event{
			UID:         strings.ReplaceAll(study.Prefix+"-dummy-"+d.Rig, " ", "-") + "-" + studyMark(v.rec) + "@soaktag",
			Start:       d.Window.Opens,
			End:         d.Window.Closes,
			Summary:     fmt.Sprintf("%s: break a dummy on %s", study.Prefix, d.Rig),
			Description: wording.DummyAsks + "\n" + wording.DummyCommand(study, d.Rig),
			Sequence:    v.sequence,
		})
	}
	return events
}

// withDummies puts the entries of dummies before those that begin later.
func (v forecast) withDummies(events []ical.Event) []ical.Event {
	for _, e := range v.dummies() {
		i := slices.IndexFunc(events, func(other ical.Event) bool { return other.Start.After(e.Start) })
		if i < 0 {
			i = len(events)
		}
		events = slices.Insert(events, i, e)
	}
	return events
}
