package tables

import (
	"cmp"
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

// Calendar makes one entry of every lot: the specimens, of one bath where it is
// about one, that wait for the same stage in one window, which lies in that of
// each; and one of every dummy. events is
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
	for _, g := range v.rec.Study().DueLots(items) {
		events = append(events, v.entry(g))
	}
	return v.withDummies(append(v.start(), events...))
}

// start is the first glue-up, where the plan has a date for it and nothing is glued.
func (v forecast) start() []ical.Event {
	first, waits := v.rec.Start(v.now)
	if !waits || first.GlueUp.IsZero() {
		return nil
	}
	return []ical.Event{{
		UID:         "first-glue-up-" + studyMark(v.rec) + "@soaktag",
		Start:       first.GlueUp,
		Summary:     v.rec.Study().Prefix + ": first glue-up",
		Description: "before it: " + wording.StartOf(first) + "\n" + wording.StartCommands(first),
		Sequence:    v.sequence,
	}}
}

func (v forecast) entry(g tracker.DueGroup) ical.Event {
	return ical.Event{
		UID:         calendarUID(v.rec, g),
		Start:       v.rec.Study().FirstManned(g.Window.Begins(), g.Window.Closes),
		End:         g.Window.Closes,
		Summary:     v.rec.Study().Prefix + ": " + wording.DueLot(g),
		Description: v.describe(g),
		Sequence:    v.sequence,
	}
}

func (v forecast) describe(g tracker.DueGroup) string {
	if g.Water() {
		return wording.WaterWork(g) + "\n" + wording.WhyWater
	}
	return wording.Work(v.rec.Study(), g) + "\n" + codeList(g.Items)
}

// calendarUID names an entry for life: its study, stage and the first of its
// specimens, or baths where it is about these. A lot keeps it while that one is in it, however it moves and
// whoever joins or leaves.
func calendarUID(rec *tracker.Record, g tracker.DueGroup) string {
	first := g.Items[0]
	for _, d := range g.Items {
		if cmp.Or(cmp.Compare(d.Specimen.Code.Serial, first.Specimen.Code.Serial), cmp.Compare(d.Bath, first.Bath)) < 0 {
			first = d
		}
	}
	name := first.Specimen.Code.String()
	if g.Water() {
		name = rec.Study().Prefix + "-" + first.Bath
	}
	return strings.ReplaceAll(string(g.Stage)+"-"+name, " ", "-") + "-" + studyMark(rec) + "@soaktag"
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
