package tracker

import (
	"slices"
	"time"

	"soaktag/schedule"
)

// An IntervalDrift is how one planned interval went across the study. Common
// and Differential are those of schedule.Summarise; they are not Judged for
// limits (at least, at most), which have no target to drift from.
type IntervalDrift struct {
	Interval      string
	Planned       schedule.Planned // the study's own, in force when the interval began; specimens may differ
	Original      schedule.Planned // of the plan that the study began with; None where that had no such interval
	Mixed         bool             // the plan was amended in between: Planned is then the first that specimens went by
	Judged        bool
	Common        time.Duration
	CommonVerdict schedule.Verdict
	Groups        []GroupDrift
	Specimens     []SpecimenDrift
}

// A GroupDrift is that of one adhesive and treatment.
type GroupDrift struct {
	Adhesive, Treatment string
	Planned             schedule.Planned // as it holds for this group
	N                   int              // specimens whose interval has ended
	Length              time.Duration    // median of the actual lengths
	Drift               time.Duration    // median of actual less planned
	Judged              bool             // whether there is a differential drift
	Differential        time.Duration
	Verdict             schedule.Verdict
}

// A SpecimenDrift is that of one specimen.
type SpecimenDrift struct {
	Of      Specimen
	Planned schedule.Planned // as it holds for this one, by the plan in force when it began
	Lo, Hi  time.Duration    // actual length; up to now while it runs
	Drift   time.Duration    // middle of the actual length less planned
	Known   bool             // a partner's age may not be known yet
	Done    bool
	Verdict schedule.Verdict

	Original schedule.Planned // of the plan that the study began with; None where that had no such interval

	edition int              // the plan it went by
	yard    schedule.Planned // what all are held against, where they went by several plans
}

// DriftOriginal is the middle of the actual length less what the original plan
// wanted; false where that had no target.
func (s SpecimenDrift) DriftOriginal() (time.Duration, bool) {
	if s.Original.Kind != schedule.Target || !s.Done {
		return 0, false
	}
	return midLength(s.Lo, s.Hi) - s.Original.Length, true
}

// Drift tells how every planned interval went, up to now, in plan order.
func (r *Record) Drift(now time.Time) []IntervalDrift {
	var order []string
	byName := map[string]*IntervalDrift{}
	for i := range r.specimens {
		life := r.whole(i)
		for _, l := range life.Lapses {
			if !l.Begun || !l.Done && life.Next == "" {
				continue // never begun, or cut off by the end of this life
			}
			d := byName[l.Interval.Name]
			if d == nil {
				d = &IntervalDrift{Interval: l.Interval.Name, Planned: l.Interval.Planned}
				byName[d.Interval], order = d, append(order, d.Interval)
			}
			d.Specimens = append(d.Specimens, r.specimenDrift(life, l, now))
		}
	}
	return r.inPlanOrder(byName, order)
}

func (r *Record) inPlanOrder(byName map[string]*IntervalDrift, met []string) []IntervalDrift {
	var all []IntervalDrift
	take := func(name string) {
		if d := byName[name]; d != nil {
			d.yardstick(r)
			d.summarise(r.study)
			all = append(all, *d)
			delete(byName, name)
		}
	}
	for _, iv := range r.study.Intervals {
		take(iv.Name)
	}
	for _, name := range met {
		take(name)
	}
	return all
}

func (r *Record) specimenDrift(life *Life, l Lapse, now time.Time) SpecimenDrift {
	d := SpecimenDrift{Of: life.Specimen, Planned: l.Interval.Planned, Lo: l.Lo, Hi: l.Hi, Done: l.Done, Verdict: l.Verdict, Known: true,
		Original: l.Original, edition: l.edition}
	planned := l.Interval.Planned
	if !l.Done {
		until := l.until(life, now)
		d.Lo, d.Hi = schedule.Length(l.began(life), until)
		if _, _, v := planned.Judge(l.began(life), until); v == schedule.Late && planned.Kind != schedule.AsPartner {
			d.Verdict = schedule.Late
		}
	}
	target := planned.Length
	if planned.Kind == schedule.AsPartner {
		now := r.partnersNow(life)
		target, d.Known = now.age, now.broken
		if d.Done && !d.Known {
			d.Verdict = schedule.CannotTell
		}
	}
	d.Drift = midLength(d.Lo, d.Hi) - target
	return d
}

// summarise works out common and differential drift over adhesive and
// treatment. Common drift is that of the groups on the study's own plan; a
// group with a plan of its own differs by its own tolerance, and one with a
// limit instead of a target has no drift to compare.
func (d *IntervalDrift) summarise(s *Study) {
	var base, own []schedule.Group
	for _, a := range s.Adhesives {
		for _, t := range s.Treatments {
			g, lengths, planned := d.group(a.Key, t.Key)
			if len(g.Lengths) == 0 {
				continue
			}
			of := GroupDrift{Adhesive: a.Key, Treatment: t.Key, N: len(lengths), Planned: planned}
			of.Drift = schedule.Median(d.drifts(a.Key, t.Key))
			of.Length = schedule.Median(lengths)
			d.Groups = append(d.Groups, of)
			switch {
			case planned == d.Planned:
				base = append(base, g)
			case drifts(planned):
				own = append(own, g)
			}
		}
	}
	if len(base) == 0 && drifts(d.Planned) {
		base = own
	}
	if d.Judged = len(base) > 0 && drifts(d.Planned); d.Judged {
		d.judge(schedule.Summarise(base, d.Planned), own)
	}
}

// drifts reports whether a plan has a target to drift from.
func drifts(p schedule.Planned) bool {
	return p.Kind == schedule.Target || p.Kind == schedule.AsPartner
}

// judge takes the summary of the groups on the study's plan and compares those
// with a plan of their own with its common drift.
func (d *IntervalDrift) judge(sum schedule.Summary, own []schedule.Group) {
	d.Common, d.CommonVerdict = sum.Common, sum.CommonVerdict
	verdicts := map[string]schedule.GroupDrift{}
	for _, g := range sum.Groups {
		verdicts[g.Key] = g
	}
	for i := range d.Groups {
		g := &d.Groups[i]
		if v, ok := verdicts[g.key()]; ok {
			g.Judged, g.Differential, g.Verdict = true, v.Differential, v.Verdict
		}
		for _, other := range own {
			if other.Key == g.key() && g.Planned != d.Planned {
				g.Judged, g.Differential, g.Verdict = true, schedule.Median(slices.Clone(other.Lengths))-d.Common, beside(other, d.Common, g.Planned)
			}
		}
	}
}

// beside judges how far a group departs from a common drift, by a tolerance of its own.
func beside(g schedule.Group, common time.Duration, p schedule.Planned) schedule.Verdict {
	moved := slices.Clone(g.Lengths)
	for i := range moved {
		moved[i] -= common
	}
	return schedule.Summarise([]schedule.Group{{Key: g.Key, Lengths: moved, Slack: g.Slack}}, p).CommonVerdict
}

func (g GroupDrift) key() string { return g.Adhesive + "\x00" + g.Treatment }

// group collects the drifts, and the lengths, of the ended intervals of one
// adhesive and treatment.
func (d *IntervalDrift) group(adhesive, treatment string) (g schedule.Group, lengths []time.Duration, p schedule.Planned) {
	g.Key = adhesive + "\x00" + treatment
	for _, s := range d.Specimens {
		if s.Of.Adhesive == adhesive && s.Of.Treatment == treatment && s.Done && s.Known {
			plan, off := s.against()
			g.Lengths = append(g.Lengths, off)
			g.Slack = append(g.Slack, s.Hi/2-s.Lo/2)
			lengths = append(lengths, midLength(s.Lo, s.Hi))
			p = plan
		}
	}
	return g, lengths, p
}

// drifts collects the drifts of a group, each against the plan that its
// specimen went by.
func (d *IntervalDrift) drifts(adhesive, treatment string) (all []time.Duration) {
	for _, s := range d.Specimens {
		if s.Of.Adhesive == adhesive && s.Of.Treatment == treatment && s.Done && s.Known {
			all = append(all, s.Drift)
		}
	}
	return all
}

// DriftAsks reports whether one of the intervals left its limits, or may have,
// and nobody accepted it: as a mark on the event that ended it, or because it is
// still running past its limit.
func (r *Record) DriftAsks(intervals []IntervalDrift) bool {
	running := func(sp SpecimenDrift) bool { return !sp.Done && sp.Verdict == schedule.Late }
	if slices.ContainsFunc(intervals, func(iv IntervalDrift) bool { return slices.ContainsFunc(iv.Specimens, running) }) {
		return true
	}
	return slices.ContainsFunc(r.Marks(), func(m Mark) bool { return m.Open() && m.aboutLength(intervals) })
}

// OfInterval is the interval whose length a mark is about; empty where it is about
// something else. A control broken before its partner is about its age.
func (m Mark) OfInterval() string {
	switch a := m.About.(type) {
	case PartnerInBath:
		return schedule.Age
	case OffPlan:
		return a.Interval
	}
	return ""
}

// aboutLength reports whether a mark is about how long one of the intervals, or
// the age of a control, was.
func (m Mark) aboutLength(intervals []IntervalDrift) bool {
	switch a := m.About.(type) {
	case PartnerInBath:
		return true
	case OffPlan:
		return slices.ContainsFunc(intervals, func(iv IntervalDrift) bool { return iv.Interval == a.Interval })
	}
	return false
}

// Strays are the specimens outside their limits or perhaps outside, unless the
// whole interval moved that way: then only those that went the other way, or
// straggled behind their group.
func (d IntervalDrift) Strays() []SpecimenDrift {
	return slices.DeleteFunc(slices.Clone(d.Specimens), func(sp SpecimenDrift) bool {
		return !d.Straggles(sp) && (sp.Verdict == schedule.Within || sp.Verdict == schedule.Running || sp.Verdict == d.CommonVerdict)
	})
}

// SoakedLonger reports whether some group soaked longer than the others: that may
// have cost it strength, and cannot have helped it.
func (d IntervalDrift) SoakedLonger() bool {
	return d.Interval == schedule.Soak && slices.ContainsFunc(d.Groups, func(g GroupDrift) bool { return g.Verdict == schedule.Late })
}

// Actual is the middle of what is known of a length; of one without an upper end
// its lower one.
func (s SpecimenDrift) Actual() time.Duration { return midLength(s.Lo, s.Hi) }
