package tracker

import (
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker/quantity"
)

// doubleScan is how close two readings of the same thing must be to be one
// thing read twice.
const doubleScan = time.Minute

// writtenLate is how long after the fact a typed entry counts as written up later.
const writtenLate = time.Hour

// WrittenUp reports whether an event was written down well after it happened, and
// by how much: by a person or from a table, not from a photograph, which was taken
// on the spot.
func (e Event) WrittenUp() (by time.Duration, late bool) {
	happened := e.Kind == Staged || e.Kind == Tried || e.Kind == Ended
	if !happened || e.At.IsZero() || e.Via == "photo" && e.At.Exact() {
		return 0, false
	}
	by = e.Recorded.Sub(e.At.Mid())
	return by, by > writtenLate
}

// A folder lives one life, fact by fact.
type folder struct {
	record *Record
	*way
	life  *Life
	over  *TryAt // the try that ended the life
	broke string // the event of the try that ends it, known before where somebody settled that
	last  fact   // the last stage fact taken
}

func (f *folder) take(x fact) {
	if f.record.Voided(x.ID) {
		return
	}
	f.note(x)
	switch x.Kind {
	case Staged:
		f.stage(x)
	case Tried:
		f.try(x)
	case Measured:
		f.measure(x)
	case FacesRead:
		f.faces(x)
	case Photographed:
		f.photo(x)
	case Ended:
		f.end(x)
	case Moved:
		f.life.Specimen.Bath = x.Bath
	case Issued, Relabelled:
		f.issue(x)
	}
}

// mark hangs a remark on the event of x.
func (f *folder) mark(x fact, rule Rule, about About) { f.hang(x, Mark{Rule: rule, About: about}) }

// ask hangs a mark that asks on the event of x; the remedy is zero where only
// somebody's word can put it right.
func (f *folder) ask(x fact, rule Rule, about About, remedy Remedy) {
	asks := x.Kind != Photographed || rule == RulePicture // a picture decides nothing, but may be none
	f.hang(x, Mark{Rule: rule, About: about, Remedy: remedy, Asks: asks})
}

func (f *folder) hang(x fact, m Mark) {
	m.Event, m.Code, m.At = x.ID, f.life.code, x.on
	m.Remedy.Code = f.labelled(m.Remedy, x.on)
	m.Accepted = f.record.acceptance(m)
	f.life.Marks = append(f.life.Marks, m)
}

// labelled is the code that a remedy names, as it stands on the block of this life: for
// what is written up with its time the label of then, else the one of now.
func (f *folder) labelled(r Remedy, then time.Time) string {
	own := f.life.Specimen.Code
	if r.Code == "" || r.Do == Relabel || len(f.record.exchanges) == 0 {
		return r.Code
	}
	if r.Do != WriteUp && r.Do != WriteUpBreak {
		then = ever
	}
	return f.record.Label(own, then).String()
}

// ever is later than any exchange that ends.
var ever = time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)

// remedy is something to do about the specimen of this life.
func (f *folder) remedy(do Do) Remedy { return Remedy{Do: do, Code: f.life.Specimen.Code.String()} }

// writeUp is the remedy for a stage that was never recorded.
func (f *folder) writeUp(stage schedule.Stage) Remedy {
	r := f.remedy(WriteUp)
	r.Stage = stage
	return r
}

// acceptance returns the reason with which a mark was accepted.
func (r *Record) acceptance(m Mark) string {
	for _, e := range r.byTarget[m.Event] {
		if e.Kind == Accepted && (e.Rule == m.Rule || e.Rule == "") && !r.Voided(e.ID) && r.visible(e) {
			return orElse(e.Reason, "accepted")
		}
	}
	return ""
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// note marks what is odd about any entry, whatever it says.
func (f *folder) note(x fact) {
	r := f.record
	happened := x.Kind == Staged || x.Kind == Tried || x.Kind == Ended
	if x.DeviceTime && happened {
		f.clock(x)
	}
	if len(r.exchanges) > 0 {
		f.label(x)
	}
	if !x.Recorded.IsZero() && x.on.After(x.Recorded.Add(time.Minute)) {
		f.ask(x, RuleFuture, InFuture{r.local(x.on)}, Remedy{})
	}
	f.doubt(x)
	if x.Target != "" {
		f.settledApart(x)
	}
	late := x.Recorded.Sub(x.on)
	if happened && late > writtenLate && (!x.at.Exact() || x.Via == "typed") {
		f.mark(x, RuleWrittenLate, WrittenLate{late})
	}
}

// unconfirmed reports whether an entry waits to be compared with its photograph:
// until then it does not count, unless the plan says so.
func (f *folder) unconfirmed(x fact) bool {
	_, probable := x.DoubtOf()
	return probable && !f.record.study.Rule.CountProbable &&
		f.record.acceptance(Mark{Event: x.ID, Rule: RuleProbableCode}) == ""
}

// doubt marks what whoever made the entry was not sure of.
func (f *folder) doubt(x fact) {
	text, probable := x.DoubtOf()
	picture, unseen := strings.CutPrefix(text, DoubtfulPicture)
	switch {
	case probable:
		f.ask(x, RuleProbableCode, InDoubt{text}, Remedy{})
	case unseen:
		f.ask(x, RulePicture, InDoubt{picture}, Remedy{})
	case text != "":
		f.ask(x, RuleTimeDoubt, InDoubt{text}, Remedy{})
	}
}

// label marks an entry that was not read from the label of its specimen.
func (f *folder) label(x fact) {
	switch j, known := f.record.index(x.Code); {
	case !known:
		f.mark(x, RuleExplained, Explained{x.Code})
	case f.record.specimens[j].Code != f.life.Specimen.Code:
		f.mark(x, RuleExchanged, Swapped{x.Code})
	}
}

// nearlyRight is by how much a clock may be off before that is told of every entry. The
// time is corrected all the same; of what is shown, to the minute, it changes nothing.
const nearlyRight = 30 * time.Second

// clock marks a time that a device's own clock gave.
func (f *folder) clock(x fact) {
	seen := f.record.nearestClock(x.Event)
	if seen == nil && x.Via == "photo" {
		return // a camera's clock is believed until somebody photographs a better one
	}
	if seen == nil {
		f.ask(x, RuleClockUnknown, Unclocked{x.Device}, Remedy{Do: CompareClock, Device: x.Device})
		return
	}
	ahead := seen.Shown.Sub(seen.At.Mid())
	if ahead.Abs() < nearlyRight {
		return
	}
	f.mark(x, RuleClockOff, Clocked{Device: x.Device, Ahead: ahead,
		Showed: f.record.local(x.Event.At.Mid()), Was: f.record.local(x.on)})
}

// local is an instant in the zone of the study.
func (r *Record) local(t time.Time) time.Time { return t.In(r.Zone()) }

// measure takes measured values. Text that does not read as its quantity was
// refused when it was typed; here it is passed over.
func (f *folder) measure(x fact) {
	for _, v := range x.Values {
		switch v.Name {
		case "bond_length":
			f.length(x, &f.life.BondLength, f.record.study.Specimen.BondLength, v)
		case "bond_width":
			f.length(x, &f.life.BondWidth, f.record.study.Specimen.BondWidth, v)
		case "mass_before":
			f.mass(&f.life.MassBefore, v.Text)
		case "mass_after":
			f.mass(&f.life.MassAfter, v.Text)
		case "state":
			f.life.State = v.Text
		}
	}
}

// farOff is how many times the plan a measured bond may be, or the plan it: a
// saw is not that far off, a decimal point is.
const farOff = 1.5

func (f *folder) length(x fact, to *quantity.Length, planned quantity.Length, v Value) {
	l, err := quantity.ParseLength(v.Text)
	if err != nil {
		return
	}
	*to, f.life.Nominal = l, false
	if planned > 0 && (l > farOff*planned || planned > farOff*l) {
		f.ask(x, RuleBondSize, OddSize{v, planned, f.record.study.Units}, Remedy{Do: Correct, Event: x.ID})
	}
}

func (f *folder) mass(to *quantity.Mass, text string) {
	if m, err := quantity.ParseMass(text); err == nil {
		*to = m
	}
}

// faces takes a reading of the fracture faces of one half.
func (f *folder) faces(x fact) {
	if x.Faces == nil || x.Half != 1 && x.Half != 2 {
		return
	}
	f.life.Halves[x.Half-1] = x.Faces
	if len(f.life.Tries) == 0 {
		f.ask(x, RuleNotBroken, FacesFirst{}, f.remedy(WriteUpBreak))
	}
}

// photo takes a photograph of the specimen.
func (f *folder) photo(x fact) {
	f.life.Photos = append(f.life.Photos, PhotoAt{x.ID, x.Half, x.at, x.Photo, x.PhotoType, x.Note})
}

// end takes a specimen out of the count, or back into it. What was broken
// stays broken: its strength is known, whatever became of the halves.
func (f *folder) end(x fact) {
	switch {
	case x.End == Found && f.life.End == "":
		f.ask(x, RuleNotLost, NeverLost{}, Remedy{})
	case x.End == Found:
		f.life.End, f.life.EndNote = "", ""
	case f.over != nil && x.End != Withdrawn: // somebody decided that one
		f.ask(x, RuleAfterBreak, EndedBroken{x.End}, f.remedy(Withdraw))
	default:
		f.life.End, f.life.EndNote = x.End, x.Note
	}
}

func (f *folder) issue(x fact) {
	for half := range f.life.Issue {
		if x.Half == 0 || x.Half == half+1 {
			f.life.Issue[half] = max(f.life.Issue[half], x.Issue)
		}
	}
	if x.Kind == Relabelled && x.Other == "" {
		f.mark(x, RuleRelabelled, NewLabel{x.Issue, x.Reason})
	}
}

// done reports whether a stage has been gone through.
func (f *folder) done(stage schedule.Stage) bool {
	return slices.ContainsFunc(f.life.Steps, func(s Step) bool { return s.Stage == stage })
}
