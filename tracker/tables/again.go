package tables

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// A table grows: first the readings, later a column of wood failure. A row then
// tells again of what is on record, with more about it. That is no second event
// but a correction of the first, which stays beside it; one that tells nothing
// more is the first. Two rows of one table stay two events.

// again puts every event that the record knows in other words in its place.
// rows are those that the events were read from.
func (im importer) again(events []tracker.Event, rows []row) {
	k := im.onRecord(events)
	for i, e := range events {
		_, known := im.record.Event(e.ID)
		switch {
		case known && rows[i].get("id") != "":
			events[i] = k.under(e, rows[i])
			k.notSaid(events[i], e, rows[i])
		case !known:
			events[i] = k.place(e)
			k.notSaid(events[i], e, rows[i])
		}
	}
}

// onRecord is what a record holds, by what makes an event the same.
type onRecord struct {
	importer
	byKey map[string][]tracker.Event
	taken map[string]bool // ids that the table has itself, or that were met already
}

func (im importer) onRecord(events []tracker.Event) onRecord {
	k := onRecord{importer: im, byKey: map[string][]tracker.Event{}, taken: map[string]bool{}}
	for _, e := range events {
		k.taken[e.ID] = true
	}
	for _, e := range im.record.Events() {
		key := k.key(e)
		k.byKey[key] = append(k.byKey[key], e)
	}
	return k
}

// key is what makes an event the same as another: what happened to which specimen
// and when, of a try the reading and how it ended, of a clock what it showed.
func (k onRecord) key(e tracker.Event) string {
	code := e.Code
	if s, _, err := k.record.Resolve(code); err == nil {
		code = s.Code.Whole().String()
	}
	var try, clock string
	if e.Try != nil {
		try = quantity.InSI(e.Try.Reading) + " " + string(e.Try.How)
	}
	if e.DeviceTime || e.Kind == tracker.ClockSeen {
		clock = e.Device + " " + inUTC(e.Shown)
	}
	return fmt.Sprintf("%d %q %q %q %s %s %q %q", e.Kind, code, e.Stage, e.End, inUTC(e.At.From), inUTC(k.ofDay(e)), try, clock)
}

// ofDay is when an event was at the latest; of a day alone that was not over when it
// was read, the end of that day, which is what the day means when it is over.
func (k onRecord) ofDay(e tracker.Event) time.Time {
	from := e.At.From.In(k.study.Zone)
	midnight := time.Date(from.Year(), from.Month(), from.Day(), 0, 0, 0, 0, from.Location())
	end := time.Date(from.Year(), from.Month(), from.Day()+1, 0, 0, 0, 0, from.Location())
	cut := e.At.To.Equal(milli(cmp.Or(e.Recorded, k.now))) && e.At.To.Before(end)
	if e.At.Exact() || !e.At.From.Equal(midnight) || !cut {
		return e.At.To
	}
	return end
}

// notSaid warns of who a row says did it, where the entry that it is the same as says
// somebody else: which of the two is a matter of a correction.
func (k onRecord) notSaid(as, e tracker.Event, r row) {
	old, known := k.record.Stands(cmp.Or(as.Target, as.ID))
	if known && e.By != "" && old.By != "" && !strings.EqualFold(old.By, e.By) {
		r.sheet.warn(r.line, "by %q is not recorded, the entry is there already, by %q: soaktag amend correct %d by=%q --reason \"why\" puts that right", e.By, old.By, old.Seq, e.By)
	}
}

// place is e, or where the record has it already, that or a correction of it. What
// tells as much goes before what tells less. What was corrected since is met as it
// first was, too, and stays corrected.
func (k onRecord) place(e tracker.Event) tracker.Event {
	var correction *tracker.Event
	for _, old := range k.byKey[k.key(e)] {
		now, stands := k.record.Stands(old.ID)
		_, more, agree := filled(old, e)
		if !stands || !agree || k.taken[old.ID] || k.taken[now.ID] {
			continue
		}
		fuller, moreNow, agreeNow := filled(now, e)
		switch {
		case !more, !moreNow && agreeNow:
			k.taken[now.ID] = true
			return now
		case agreeNow && correction == nil:
			fuller.ID, fuller.Target = e.ID, now.ID
			correction = &fuller
		}
	}
	if correction == nil {
		return e
	}
	k.taken[correction.Target] = true
	return *correction
}

// under is place for a row with an id that the study has: it must be that event.
func (k onRecord) under(e tracker.Event, r row) tracker.Event {
	old, _ := k.record.Event(e.ID)
	now, stands := k.record.Stands(e.ID)
	if !k.settled(r.get("at")) {
		e.At = old.At
	}
	_, more, agree := filled(old, e)
	fuller, moreNow, agreeNow := filled(now, e)
	first, last := k.key(e) == k.key(old), k.key(e) == k.key(now)
	switch {
	case !stands, first && agree && !more, last && agreeNow && !moreNow:
		return e
	case first && agree && agreeNow, last && agreeNow:
		sum := sha256.Sum256(fmt.Appendf(nil, "%q %q", e.ID, further(e)))
		fuller.ID, fuller.Target = "csv-"+hex.EncodeToString(sum[:16]), now.ID
		return fuller
	}
	r.problem("id %q is event %d of the study, which says otherwise: soaktag amend correct %d FIELD=VALUE --reason \"why\" puts that right; or give the row another id",
		r.get("id"), old.Seq, old.Seq)
	return e
}

// settled reports whether a time will be the same when it is read again another day.
func (im importer) settled(text string) bool {
	now, _, err := schedule.ParseTime(text, im.now, im.study.Zone)
	later, _, errLater := im.later(text, 400)
	return err == nil && errLater == nil && now.From.Equal(later.From) && now.To.Equal(later.To)
}

// filled is old with what e says beyond it. more: that is something; agree: they
// contradict each other in nothing that was seen. Who says so and with what remark
// may differ.
func filled(old, e tracker.Event) (fuller tracker.Event, more, agree bool) {
	f := filler{Event: old, agree: true}
	f.Recorded, f.Seq = e.Recorded, 0
	f.one(&f.Half, e.Half)
	f.who(e.By)
	f.remark(e.Note)
	if f.Try != nil && e.Try != nil {
		f.try(*f.Try, *e.Try)
	}
	if f.Faces != nil && e.Faces != nil {
		f.faces(*f.Faces, *e.Faces)
	}
	f.Values = slices.Clone(f.Values)
	for _, v := range e.Values {
		f.value(v)
	}
	return f.Event, f.more, f.agree
}

// A filler fills an event in.
type filler struct {
	tracker.Event
	more, agree bool
}

func (f *filler) one(old *int, now int) {
	f.agree = f.agree && (*old == now || *old == 0 || now == 0)
	f.more = f.more || *old == 0 && now != 0
	*old = cmp.Or(*old, now)
}

// word fills a word in, in any case.
func (f *filler) word(old *string, now string) {
	f.agree = f.agree && (strings.EqualFold(*old, now) || *old == "" || now == "")
	f.more = f.more || *old == "" && now != ""
	*old = cmp.Or(*old, now)
}

func (f *filler) who(by string) {
	f.more = f.more || f.By == "" && by != ""
	f.By = cmp.Or(f.By, by)
}

// remark adds what is remarked beside what was.
func (f *filler) remark(note string) {
	switch {
	case strings.Contains(strings.ToLower(f.Note), strings.ToLower(note)):
		return
	case f.Note == "":
		f.Note = note
	default:
		f.Note += "; " + note
	}
	f.more = true
}

func (f *filler) try(old, now tracker.Try) {
	f.word(&old.Rig, now.Rig)
	f.word(&old.Mode, now.Mode)
	switch {
	case now.WoodFailure == nil:
	case old.WoodFailure == nil:
		old.WoodFailure, f.more = now.WoodFailure, true
	default:
		f.agree = f.agree && *old.WoodFailure == *now.WoodFailure
	}
	f.Try = &old
}

func (f *filler) faces(old, now tracker.Faces) {
	f.word(&old.Mode, now.Mode)
	f.agree = f.agree && old.WoodFailure == now.WoodFailure
	f.more = f.more || now.Shallow && !old.Shallow
	old.Shallow = old.Shallow || now.Shallow
	f.Faces = &old
}

func (f *filler) value(v tracker.Value) {
	i := slices.IndexFunc(f.Values, func(old tracker.Value) bool { return old.Name == v.Name })
	if i >= 0 {
		f.agree = f.agree && quantity.InSI(f.Values[i].Text) == quantity.InSI(v.Text)
		return
	}
	f.Values, f.more = append(f.Values, v), true
}

// further is what an event says beyond what makes it the same as another.
func further(e tracker.Event) string {
	text := fmt.Sprintf("%d %q %q", e.Half, e.By, e.Note)
	if e.Try != nil {
		text += fmt.Sprintf(" %q %q", e.Try.Rig, e.Try.Mode)
		if e.Try.WoodFailure != nil {
			text += " " + digits(*e.Try.WoodFailure)
		}
	}
	if e.Faces != nil {
		text += fmt.Sprintf(" %q %t", e.Faces.Mode, e.Faces.Shallow)
	}
	for _, v := range e.Values {
		text += " " + v.Name + " " + quantity.InSI(v.Text)
	}
	return text
}
