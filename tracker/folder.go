package tracker

import (
	"fmt"
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

// A folder lives one life, fact by fact.
type folder struct {
	record *Record
	*way
	life *Life
	over *TryAt // the try that ended the life
	last fact   // the last stage fact taken
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
func (f *folder) mark(x fact, rule string, asks bool, format string, args ...any) {
	asks = asks && x.Kind != Photographed // a picture decides nothing
	m := Mark{Rule: rule, Text: fmt.Sprintf(format, args...), Asks: asks, Event: x.ID,
		Code: f.life.code, At: x.on}
	m.Accepted = f.record.acceptance(m)
	f.life.Marks = append(f.life.Marks, m)
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
	if len(r.swaps) > 0 {
		f.label(x)
	}
	if !x.Recorded.IsZero() && x.on.After(x.Recorded.Add(time.Minute)) {
		f.mark(x, "in the future", true, "%s lies after the moment it was written down", r.clockTime(x.on))
	}
	f.doubt(x)
	late := x.Recorded.Sub(x.on)
	if happened && late > writtenLate && (!x.at.Exact() || x.Via == "typed") {
		f.mark(x, "written up later", false, "written up %s after it happened", schedule.Short(late))
	}
}

// ProbableCode begins the Doubt of an entry whose label was recognised among the
// codes that exist, not decoded. The time may be in doubt as well.
const ProbableCode = "probable code: "

// unconfirmed reports whether an entry waits to be compared with its photograph:
// until then it does not count, unless the plan says so.
func (f *folder) unconfirmed(x fact) bool {
	return strings.HasPrefix(x.Doubt, ProbableCode) && !f.record.study.Rule.CountProbable &&
		f.record.acceptance(Mark{Event: x.ID, Rule: "probable code"}) == ""
}

// doubt marks what whoever made the entry was not sure of.
func (f *folder) doubt(x fact) {
	text, probable := strings.CutPrefix(x.Doubt, ProbableCode)
	switch {
	case probable:
		f.mark(x, "probable code", true, "%s", text)
	case text != "":
		f.mark(x, "time in doubt", true, "%s", text)
	}
}

// label marks an entry that was not read from the label of its specimen.
func (f *folder) label(x fact) {
	switch j, known := f.record.index(x.Code); {
	case !known:
		f.mark(x, "code explained", false, "read as %s, which was later found to mean this specimen", x.Code)
	case f.record.specimens[j].Code != f.life.Specimen.Code:
		f.mark(x, "exchanged", false, "read from the label of %s: the two labels were exchanged then", x.Code)
	}
}

// clock marks a time that a device's own clock gave.
func (f *folder) clock(x fact) {
	seen := f.record.nearestClock(x.Event)
	if seen == nil && x.Via == "photo" {
		return // a camera's clock is believed until somebody photographs a better one
	}
	if seen == nil {
		f.mark(x, "clock unknown", true, "the clock of %s was never compared: soaktag log --stage clock --device %s --shown TIME", x.Device, x.Device)
		return
	}
	ahead := seen.Shown.Sub(seen.At.Mid())
	word := "fast"
	if ahead < 0 {
		word = "slow"
	}
	f.mark(x, "clock corrected", false, "the clock of %s was %s %s: it showed %s, the time was %s", x.Device,
		schedule.Short(ahead.Abs()), word, f.record.clockTime(x.Event.At.Mid()), f.record.clockTime(x.on))
}

// clockTime writes an instant for people, in the study's zone.
func (r *Record) clockTime(t time.Time) string {
	zone := time.UTC
	if r.study != nil && r.study.Zone != nil {
		zone = r.study.Zone
	}
	return t.In(zone).Format("Mon 2 Jan 2006 15:04")
}

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
		f.mark(x, "bond size", true, "%s %s is far from the plan (%.4g mm); a slip of the pen? soaktag amend correct puts it right",
			strings.ReplaceAll(v.Name, "_", " "), v.Text, planned.MM())
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
		f.mark(x, "not broken yet", true, "fracture faces of a specimen whose break was never recorded: soaktag break %s --reading READING --at TIME", f.life.Specimen.Code)
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
		f.mark(x, "not lost", true, "found, and never recorded as lost, damaged or withdrawn")
	case x.End == Found:
		f.life.End, f.life.EndNote = "", ""
	case f.over != nil && x.End != Withdrawn: // somebody decided that one
		f.mark(x, "after the break", true, "%s after it was broken: its strength is known and still counts; to leave it out: soaktag log %s --stage withdrawn", x.End, f.life.Specimen.Code)
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
		f.mark(x, "relabelled", false, "label issue %d: %s", x.Issue, orElse(x.Reason, "no reason given"))
	}
}

// done reports whether a stage has been gone through.
func (f *folder) done(stage schedule.Stage) bool {
	return slices.ContainsFunc(f.life.Steps, func(s Step) bool { return s.Stage == stage })
}
