package tracker

import (
	"time"

	"soaktag/schedule"
)

// An IntervalDrift is how one planned interval went across the study. Common
// and Differential are those of schedule.Summarise; they are not Judged for
// limits (at least, at most), which have no target to drift from.
type IntervalDrift struct {
	Interval      string
	Planned       schedule.Planned // the study's own; specimens may differ
	Judged        bool
	Common        time.Duration
	CommonVerdict schedule.Verdict
	Groups        []GroupDrift
	Specimens     []SpecimenDrift
}

// A GroupDrift is that of one adhesive and treatment.
type GroupDrift struct {
	Adhesive, Treatment string
	N                   int           // specimens whose interval has ended
	Length              time.Duration // median of the actual lengths
	Drift               time.Duration // median of actual less planned
	Differential        time.Duration
	Verdict             schedule.Verdict
}

// A SpecimenDrift is that of one specimen.
type SpecimenDrift struct {
	Of      Specimen
	Lo, Hi  time.Duration // actual length; up to now while it runs
	Drift   time.Duration // middle of the actual length less planned
	Known   bool          // a partner's age may not be known yet
	Done    bool
	Verdict schedule.Verdict
}

// Drift tells how every planned interval went, up to now, in plan order.
func (r *Record) Drift(now time.Time) []IntervalDrift {
	var order []string
	byName := map[string]*IntervalDrift{}
	for i := range r.specimens {
		life := r.whole(i)
		for _, l := range life.Lapses {
			if !l.Begun {
				continue
			}
			d := byName[l.Interval.Name]
			if d == nil {
				d = &IntervalDrift{Interval: l.Interval.Name, Planned: r.basePlanned(l.Interval)}
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

// basePlanned is the study's own plan for an interval; where only a treatment
// has it, that.
func (r *Record) basePlanned(iv schedule.Interval) schedule.Planned {
	for _, own := range r.study.Intervals {
		if own.Name == iv.Name {
			return own.Planned
		}
	}
	return iv.Planned
}

func (r *Record) specimenDrift(life *Life, l Lapse, now time.Time) SpecimenDrift {
	d := SpecimenDrift{Of: life.Specimen, Lo: l.Lo, Hi: l.Hi, Done: l.Done, Verdict: l.Verdict, Known: true}
	planned := l.Interval.Planned
	if !l.Done {
		d.Lo, d.Hi = schedule.Length(l.began(life), schedule.At(now))
		if _, _, v := planned.Judge(l.began(life), schedule.At(now)); v == schedule.Late && planned.Kind != schedule.AsPartner {
			d.Verdict = schedule.Late
		}
	}
	target := planned.Length
	if planned.Kind == schedule.AsPartner {
		target, d.Known = r.partnerAge(life)
		if d.Done && !d.Known {
			d.Verdict = schedule.CannotTell
		}
	}
	d.Drift = midLength(d.Lo, d.Hi) - target
	return d
}

// summarise works out common and differential drift over adhesive and treatment.
func (d *IntervalDrift) summarise(s *Study) {
	var groups []schedule.Group
	for _, a := range s.Adhesives {
		for _, t := range s.Treatments {
			if g, lengths := d.group(a.Key, t.Key); len(g.Lengths) > 0 {
				groups = append(groups, g)
				own := GroupDrift{Adhesive: a.Key, Treatment: t.Key, N: len(lengths)}
				own.Drift, _ = median(g.Lengths)
				own.Length, _ = median(lengths)
				d.Groups = append(d.Groups, own)
			}
		}
	}
	k := d.Planned.Kind
	d.Judged = len(groups) > 0 && (k == schedule.Target || k == schedule.AsPartner)
	if !d.Judged {
		return
	}
	sum := schedule.Summarise(groups, d.Planned)
	d.Common, d.CommonVerdict = sum.Common, sum.CommonVerdict
	for i := range d.Groups {
		d.Groups[i].Differential, d.Groups[i].Verdict = sum.Groups[i].Differential, sum.Groups[i].Verdict
	}
}

// group collects the drifts, and the lengths, of the ended intervals of one
// adhesive and treatment.
func (d *IntervalDrift) group(adhesive, treatment string) (g schedule.Group, lengths []time.Duration) {
	for _, s := range d.Specimens {
		if s.Of.Adhesive == adhesive && s.Of.Treatment == treatment && s.Done && s.Known {
			g.Lengths = append(g.Lengths, s.Drift)
			g.Slack = append(g.Slack, s.Hi/2-s.Lo/2)
			lengths = append(lengths, midLength(s.Lo, s.Hi))
		}
	}
	return g, lengths
}
