package tables

import (
	"cmp"
	"strconv"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// specimenTable lists every specimen in the order dealt.
func specimenTable(r *tracker.Record) table {
	type life = *tracker.Life
	return newTable("specimens", "every specimen, in the order dealt", []column[life]{
		words("code", "the printed code, without the half", func(l life) string { return l.Specimen.Code.Whole().String() }),
		words("name", "the person's own mark", func(l life) string { return l.Specimen.Name }),
		words("adhesive", "the plan's key", func(l life) string { return l.Specimen.Adhesive }),
		words("treatment", "the plan's key", func(l life) string { return l.Specimen.Treatment }),
		words("board", "block of the design", func(l life) string { return l.Specimen.Board }),
		words("bonded_block", "specimens sawn from one glue-up share it", func(l life) string { return l.Specimen.BondedBlock }),
		words("bath", "bath it lies in, or is meant for", func(l life) string { return l.Specimen.Bath }),
		count("glue_up_order", "place in the glue-up order", func(l life) int { return l.Specimen.Order }),
		amount("bond_length_mm", "mm", "bond length", func(l life) *float64 { return above(l.BondLength.MM()) }),
		amount("bond_width_mm", "mm", "bond width", func(l life) *float64 { return above(l.BondWidth.MM()) }),
		truth("nominal_area", "length and width are the plan's, not measured", func(l life) bool { return l.Nominal }),
		amount("mass_before_g", "g", "mass before the soak", func(l life) *float64 { return above(l.MassBefore.G()) }),
		amount("mass_after_g", "g", "mass after the soak", func(l life) *float64 { return above(l.MassAfter.G()) }),
		words("state", "state at break, or now", func(l life) string { return l.State }),
		words("next_stage", "next open stage, a later pass with its number; empty when there is none", func(l life) string { return string(schedule.Pass(l.Next, l.Pass)) }),
		words("ended", "lost, damaged or withdrawn", func(l life) string { return string(l.End) }),
		count("open_marks", "marks that still ask", openMarks),
		words("parent", "the earlier specimen from whose halves it was re-glued", func(l life) string { return l.Specimen.Parent }),
	}, r.Lives())
}

func openMarks(l *tracker.Life) (n int) {
	for _, m := range l.Marks {
		if m.Open() {
			n++
		}
	}
	return n
}

// A told is an event with what the record makes of it.
type told struct {
	tracker.Event
	corrected schedule.Span
	voided    bool
	pass      int // through the bath, of planned cycles; else 0
}

// eventTable lists every event in the order of the log.
func eventTable(r *tracker.Record) table {
	var all []told
	passes := passes(r)
	for _, e := range r.Events() {
		all = append(all, told{e, r.Corrected(e), r.Voided(e.ID), passes[e.ID]})
	}
	return newTable("events", "every event in the order of the log; voided ones too", append(eventCore(), eventRest()...), all)
}

// passes says of every event that was a pass of planned cycles which it was.
func passes(r *tracker.Record) map[string]int {
	by := map[string]int{}
	for _, life := range r.Lives() {
		for _, step := range life.Steps {
			if step.Pass > 0 {
				by[step.Event] = step.Pass
			}
		}
	}
	return by
}

func eventCore() []column[told] {
	return []column[told]{
		words("event", "id", func(e told) string { return e.ID }),
		words("kind", "what was recorded", func(e told) string { return e.Kind.String() }),
		words("specimen", "code or name as it was read", func(e told) string { return e.Code }),
		words("half", "1 or 2; empty when not read", func(e told) string { return nonZero(e.Half) }),
		words("stage", "stage gone through", func(e told) string { return string(e.Stage) }),
		moment("at", "when it happened, by the clock that was read", func(e told) time.Time { return middle(e.At) }),
		moment("corrected_at", "when it happened, device clocks corrected", func(e told) time.Time { return middle(e.corrected) }),
		moment("not_before", "earliest instant, corrected; empty when open", func(e told) time.Time { return e.corrected.From }),
		moment("not_after", "latest instant, corrected; empty when open", func(e told) time.Time { return e.corrected.To }),
		moment("recorded_at", "when it was written down", func(e told) time.Time { return e.Recorded }),
		words("by", "who", func(e told) string { return e.By }),
		words("device", "on which device", func(e told) string { return e.Device }),
		truth("device_clock", "at is the device's own reading", func(e told) bool { return e.DeviceTime }),
		words("via", "scan, typed, bath, import, photo or salvage", func(e told) string { return e.Via }),
		truth("voided", "does not count", func(e told) bool { return e.voided }),
	}
}

func eventRest() []column[told] {
	return []column[told]{
		words("bath", "bath", func(e told) string { return e.Bath }),
		words("reading", "reading of a try, as read", func(e told) string { return e.try().Reading }),
		words("rig", "rig of a try", func(e told) string { return e.try().Rig }),
		words("ended", "how a try or a specimen ended", func(e told) string { return string(e.try().How) + string(e.End) }),
		amount("wood_failure_pct", "%", "wood failure, judged at the break or read on the faces", told.wood),
		words("failure_mode", "failure mode", told.mode),
		{field{Name: "shallow", Type: "boolean", Description: "faces: a few fibres only failed in the wood"}, told.shallow},
		words("measured", "what was measured", told.measured),
		words("target", "event it voids, replaces or accepts", func(e told) string { return e.Target }),
		words("other", "the other code of an exchange or a new label; of an amended plan the event of the plan it was made from", func(e told) string { return e.Other }),
		words("photo", "the photograph, a file of this folder named by the SHA-256 of its bytes", told.photo),
		words("note", "remark", func(e told) string { return e.Note }),
		words("reason", "reason given", func(e told) string { return e.Reason }),
		words("added", "specimens that an amendment added", told.added),
		words("pass", "which pass through the bath it was, where the plan has several; put back after the last it stays the last", func(e told) string { return nonZero(e.pass) }),
		words("notebook", "the other copy of the study that it was written in; empty: this one", func(e told) string { return e.Notebook }),
	}
}

func nonZero(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// try is the event's try, or an empty one.
func (e told) try() tracker.Try {
	if e.Try == nil {
		return tracker.Try{}
	}
	return *e.Try
}

// added lists the codes of what an amendment dealt; what a study begins with
// stands in specimens.csv.
func (e told) added() string {
	if e.Kind != tracker.PlanAmended {
		return ""
	}
	var codes []string
	for _, s := range e.Dealt {
		codes = append(codes, s.Code.Whole().String())
	}
	return strings.Join(codes, " ")
}

func (e told) wood() *float64 {
	if e.Faces != nil {
		return &e.Faces.WoodFailure
	}
	return e.try().WoodFailure
}

func (e told) mode() string {
	if e.Faces != nil {
		return e.Faces.Mode
	}
	return e.try().Mode
}

func (e told) shallow() string {
	if e.Faces == nil {
		return ""
	}
	return strconv.FormatBool(e.Faces.Shallow)
}

func (e told) photo() string {
	if e.Photo == "" {
		return ""
	}
	return photoPath(e.Photo, e.PhotoType)
}

func (e told) measured() string {
	var all []string
	for _, v := range e.Values {
		all = append(all, v.Name+" = "+v.Text)
	}
	return list(all)
}

// A drifted is one specimen in one interval, with its group's numbers.
type drifted struct {
	Interval
	DriftGroup
	of DriftSpecimen
}

// driftTable has a row for every specimen and interval.
func driftTable(d Drift) table {
	var all []drifted
	for _, i := range d.Intervals {
		for _, s := range i.Specimens {
			all = append(all, drifted{i, i.group(s), s})
		}
	}
	return newTable("drift", "every planned interval of every specimen, and its group's drift", []column[drifted]{
		words("interval", "name of the interval", func(x drifted) string { return x.Interval.Interval }),
		words("code", "the printed code", func(x drifted) string { return x.of.Code }),
		words("name", "the person's own mark", func(x drifted) string { return string(x.of.Name) }),
		words("adhesive", "the plan's key", func(x drifted) string { return x.of.adhesive }),
		words("treatment", "the plan's key", func(x drifted) string { return x.of.treatment }),
		words("kind", "target, at least, at most, as soaked", func(x drifted) string { return x.Kind }),
		amount("planned_h", "h", "target or limit", func(x drifted) *float64 { return cmp.Or(x.of.PlannedH, x.TargetH, x.PlannedH) }),
		amount("planned_original_h", "h", "target or limit of the plan that the study began with", func(x drifted) *float64 { return x.of.OriginalH }),
		amount("early_h", "h", "tolerance early", func(x drifted) *float64 { return x.EarlyH }),
		amount("late_h", "h", "tolerance late", func(x drifted) *float64 { return x.LateH }),
		amount("actual_h", "h", "length, so far while it runs", func(x drifted) *float64 { return x.of.ActualH }),
		amount("plus_minus_h", "h", "half the width of what is known of it", func(x drifted) *float64 { return x.of.PlusMinusH }),
		amount("drift_h", "h", "actual less planned", func(x drifted) *float64 { return x.of.DriftH }),
		amount("drift_original_h", "h", "actual less planned_original", func(x drifted) *float64 { return x.of.DriftOriginalH }),
		words("verdict", "within, early, late, running, cannot tell", func(x drifted) string { return x.of.Verdict }),
		amount("group_median_h", "h", "median drift of its adhesive and treatment", func(x drifted) *float64 { return x.MedianH }),
		amount("common_h", "h", "median over the groups", func(x drifted) *float64 { return x.CommonH }),
		words("common", "within, outside, cannot tell", func(x drifted) string { return string(x.Common) }),
		amount("differential_h", "h", "group's median less the common drift", func(x drifted) *float64 { return x.DifferentialH }),
		words("differential", "within, outside, cannot tell", func(x drifted) string { return string(x.Differential) }),
	}, all)
}

// group finds the group that a specimen counts with.
func (i Interval) group(of DriftSpecimen) DriftGroup {
	for _, g := range i.Groups {
		if g.Adhesive == of.adhesive && g.Treatment == of.treatment {
			return g
		}
	}
	return DriftGroup{}
}
