package strength

import (
	"slices"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// A Danger is a comparison that will not stand as things go, or a specimen that will
// be told apart from its group, while something can still be done.
type Danger struct {
	Stake                 // Reason, were it ended now, has no kind where only a few of the group are late, or none is yet
	Running int           // of the group that go on past their limit
	Others  int           // of the others that still go on, and could be held to the same
	Code    string        // of the first that goes on
	Left    time.Duration // until the last ones leave their limit; 0 where they have

	Ends      schedule.Stage // what ends the interval
	Ran       time.Duration  // how long it has run for those that go on past their limit; with none, lasted for the group
	OthersRan time.Duration  // and for the others; 0 where there are none
	Alike     time.Time      // when the group will have as much as the others; zero where it has, or none goes on
}

// InDanger lists what is in danger at an instant, in plan order; nothing where all
// goes as planned, and nothing where it is too late.
func InDanger(rec *tracker.Record, now time.Time) (out []Danger) {
	study, drift := rec.Study(), rec.Drift(now)
	for _, t := range study.Treatments {
		for _, d := range drift {
			if d.Interval == schedule.Age {
				continue
			}
			raw, ended := d.Within(study, t.Key), d.IfEnded(study, t.Key)
			for _, g := range ended.Groups {
				if a := study.Adhesive(g.Adhesive); a != nil && !a.SolidWood {
					for _, danger := range endangered(raw, ended, g, a.CuresInWater) {
						out = append(out, danger.beside(study, ended, g, now))
					}
				}
			}
		}
	}
	return out
}

// endangered says whether a group is in danger in one interval.
func endangered(raw, ended tracker.IntervalDrift, g tracker.GroupDrift, curesInWater bool) []Danger {
	own := func(s tracker.SpecimenDrift) bool { return s.Of.Adhesive == g.Adhesive && !s.Done }
	late := filter(raw.Specimens, func(s tracker.SpecimenDrift) bool { return own(s) && s.Verdict == schedule.Late })
	strays := filter(late, func(s tracker.SpecimenDrift) bool { return s.Drift-g.Drift > s.Planned.Late })
	others := filter(raw.Specimens, func(s tracker.SpecimenDrift) bool { return s.Of.Adhesive != g.Adhesive })
	running := filter(others, func(s tracker.SpecimenDrift) bool { return !s.Done })
	follow := filter(running, func(s tracker.SpecimenDrift) bool { return s.Drift <= g.Drift+s.Planned.Late })
	if 2*len(follow) < len(others) {
		follow = nil // most of them have ended: the few would only be set apart as well
	}
	why := slices.DeleteFunc(unequal([]tracker.IntervalDrift{ended})(g.Adhesive), func(u unfair) bool { return u.Kind == CannotTell })
	danger := Danger{Stake: Stake{Who: Party{g.Adhesive, g.Treatment}, Interval: raw.Interval}}
	switch {
	case len(why) > 0 && (len(late) > 0 || len(follow) > 0 && why[0].Kind == Differs):
		danger.Reason, danger.Unless, danger.Others = why[0].Reason, why[0].longerSoak > 0 && !curesInWater, len(follow)
		return []Danger{danger.of(late)}
	case len(why) > 0:
		return nil
	case len(strays) > 0:
		return []Danger{danger.of(strays)}
	case len(late) == 0 && len(running) == 0 && len(ended.Groups) > 1:
		return danger.soon(filter(raw.Specimens, own))
	}
	return nil
}

// beside is a danger with how long the interval lasts for its group and for the others.
func (d Danger) beside(study *tracker.Study, ended tracker.IntervalDrift, g tracker.GroupDrift, now time.Time) Danger {
	var others []time.Duration
	for _, o := range ended.Groups {
		if o.Adhesive != g.Adhesive {
			others = append(others, o.Length)
		}
	}
	for _, iv := range study.IntervalsOf(tracker.Specimen{Adhesive: g.Adhesive, Treatment: g.Treatment}) {
		if iv.Name == d.Interval {
			d.Ends = iv.To
		}
	}
	if d.Running == 0 {
		d.Ran = g.Length
	}
	d.OthersRan = schedule.Median(others)
	if d.Running > 0 && d.OthersRan > d.Ran {
		d.Alike = now.Add(d.OthersRan - d.Ran).In(study.Zone)
	}
	return d
}

// of is a danger with those that go on past their limit.
func (d Danger) of(late []tracker.SpecimenDrift) Danger {
	if d.Running = len(late); d.Running > 0 {
		d.Code = late[0].Of.Code.Whole().String()
		var ran []time.Duration
		for _, s := range late {
			ran = append(ran, s.Actual())
		}
		d.Ran = schedule.Median(ran)
	}
	return d
}

// soon is a danger where the last ones to go on have used up half of what they may be
// late.
func (d Danger) soon(last []tracker.SpecimenDrift) []Danger {
	for _, s := range last {
		left := s.Planned.Late - s.Drift
		if s.Planned.Kind == schedule.Target && left < s.Planned.Late/2 && (d.Left == 0 || left < d.Left) {
			d.Left, d.Code = left, s.Of.Code.Whole().String()
		}
	}
	if d.Left == 0 {
		return nil
	}
	return []Danger{d}
}
