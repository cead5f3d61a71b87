package tables

import (
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/strength"
)

// Drift is the drift of a study as other programs read it, drift/1. Hours;
// null is not known, or does not apply.
type Drift struct {
	Intervals []Interval `json:"intervals"`
}

// An Interval is one planned interval over the whole study.
type Interval struct {
	Interval  string          `json:"interval"`
	Kind      string          `json:"kind"`      // "target", "at least", "at most", "as soaked"
	PlannedH  *float64        `json:"planned_h"` // target or limit; null for relative ages
	EarlyH    *float64        `json:"early_h"`   // tolerances; null for limits
	LateH     *float64        `json:"late_h"`
	CommonH   *float64        `json:"common_h"` // null for limits
	Common    strength.Text   `json:"common"`
	OriginalH *float64        `json:"planned_original_h"` // of the plan that the study began with; null where that had none, and for relative ages
	Mixed     bool            `json:"mixed_plans"`        // amended in between: planned_h is the first plan that specimens went by, and groups are judged by it
	Groups    []DriftGroup    `json:"groups"`
	Specimens []DriftSpecimen `json:"specimens"`
}

// A DriftGroup is that of one adhesive and treatment.
type DriftGroup struct {
	Adhesive      string        `json:"adhesive"`
	Treatment     string        `json:"treatment"`
	TargetH       *float64      `json:"target_h"` // planned length, or limit, as it holds for this group
	N             int           `json:"n"`
	MedianH       *float64      `json:"median_h"` // of actual less planned
	LengthH       *float64      `json:"length_h"` // median of the actual lengths
	DifferentialH *float64      `json:"differential_h"`
	Differential  strength.Text `json:"differential"`
}

// A DriftSpecimen is that of one specimen. A running interval has the length
// so far and no drift yet.
type DriftSpecimen struct {
	Code       string        `json:"code"`
	Name       strength.Text `json:"name"`
	ActualH    *float64      `json:"actual_h"`
	PlusMinusH *float64      `json:"plus_minus_h"`
	DriftH     *float64      `json:"drift_h"`
	Verdict    string        `json:"verdict"` // within, early, late, running, cannot tell

	PlannedH       *float64 `json:"planned_h"` // by the plan in force when it began; null for relative ages
	OriginalH      *float64 `json:"planned_original_h"`
	DriftOriginalH *float64 `json:"drift_original_h"`

	adhesive, treatment string
}

// NewDrift gives the drift of a record its outward shape.
func NewDrift(of []tracker.IntervalDrift) Drift {
	d := Drift{Intervals: []Interval{}}
	for _, in := range of {
		d.Intervals = append(d.Intervals, newInterval(in))
	}
	return d
}

func newInterval(in tracker.IntervalDrift) Interval {
	out := Interval{Interval: in.Interval, Groups: []DriftGroup{}, Specimens: []DriftSpecimen{}}
	out.plan(in.Planned)
	out.OriginalH, out.Mixed = lengthOf(in.Original), in.Mixed
	if in.Judged {
		out.CommonH, out.Common = hours(in.Common), judged(in.CommonVerdict)
	}
	for _, g := range in.Groups {
		out.Groups = append(out.Groups, newGroup(g))
	}
	for _, s := range in.Specimens {
		out.Specimens = append(out.Specimens, newSpecimen(s))
	}
	return out
}

func (i *Interval) plan(p schedule.Planned) {
	switch p.Kind {
	case schedule.Target:
		i.Kind, i.PlannedH = "target", hours(p.Length)
	case schedule.AtLeast:
		i.Kind, i.PlannedH = "at least", hours(p.Length)
	case schedule.AtMost:
		i.Kind, i.PlannedH = "at most", hours(p.Length)
	case schedule.AsPartner:
		i.Kind = "as soaked"
	default:
		i.Kind = "none"
	}
	if p.Kind == schedule.Target || p.Kind == schedule.AsPartner && !p.Assumed {
		i.EarlyH, i.LateH = hours(p.Early), hours(p.Late)
	}
}

func newGroup(g tracker.GroupDrift) DriftGroup {
	out := DriftGroup{Adhesive: g.Adhesive, Treatment: g.Treatment, N: g.N}
	if g.N > 0 {
		out.MedianH, out.LengthH = hours(g.Drift), hours(g.Length)
	}
	if g.Planned.Kind != schedule.AsPartner {
		out.TargetH = hours(g.Planned.Length)
	}
	if g.Judged {
		out.DifferentialH, out.Differential = hours(g.Differential), judged(g.Verdict)
	}
	return out
}

func newSpecimen(s tracker.SpecimenDrift) DriftSpecimen {
	out := DriftSpecimen{Code: s.Of.Code.Whole().String(), Name: strength.Text(s.Of.Name), Verdict: s.Verdict.String(),
		adhesive: s.Of.Adhesive, treatment: s.Of.Treatment}
	out.PlannedH, out.OriginalH = lengthOf(s.Planned), lengthOf(s.Original)
	if s.Lo < -century || s.Hi > century {
		return out // an end that is open has no length
	}
	out.ActualH, out.PlusMinusH = hours(s.Lo/2+s.Hi/2), hours(s.Hi/2-s.Lo/2)
	if s.Done && s.Known {
		out.DriftH = hours(s.Drift)
	}
	if off, ok := s.DriftOriginal(); ok {
		out.DriftOriginalH = hours(off)
	}
	return out
}

// lengthOf is a planned target or limit in hours; nil for others.
func lengthOf(p schedule.Planned) *float64 {
	if p.Kind == schedule.None || p.Kind == schedule.AsPartner {
		return nil
	}
	return hours(p.Length)
}

// century is longer than any study; what exceeds it is not known.
const century = 100 * 365 * schedule.Day

// hours is a length in hours, nil for one that has no end.
func hours(d time.Duration) *float64 {
	if d > century || d < -century {
		return nil
	}
	h := d.Hours()
	return &h
}

// judged writes a verdict on a whole group: within, outside or cannot tell.
func judged(v schedule.Verdict) strength.Text {
	switch {
	case v == schedule.Within || v == schedule.CannotTell:
		return strength.Text(v.String())
	case v.Outside():
		return "outside"
	}
	return ""
}
