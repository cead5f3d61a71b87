package strength

import (
	"slices"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// A Stake is what does not stand for want of like treatment, whatever is accepted:
// the comparisons of a group with the others of its treatment, or what an adhesive
// keeps of its controls' strength. It needs no break: it is known as soon as the
// intervals have ended.
type Stake struct {
	Who      Party
	Kept     bool   // what it keeps; else the comparisons of it
	Interval string // in which it was not treated alike
	Reason   Reason // why
	Unless   bool   // it stands all the same where Who comes out above the others
}

// AtStake lists what does not stand at an instant, comparisons first, in plan order.
func AtStake(rec *tracker.Record, now time.Time) []Stake {
	study, drift := rec.Study(), rec.Drift(now)
	return append(comparisonsAtStake(study, drift), keptAtStake(study, drift)...)
}

// StakesOf are those that marks bear on: accepting the marks leaves them as they are.
func StakesOf(rec *tracker.Record, now time.Time, marks []tracker.Mark) []Stake {
	type bears struct {
		interval string
		who      Party
	}
	on := map[bears]bool{}
	for _, m := range marks {
		sp, _, err := rec.Resolve(m.Code)
		if interval := m.OfInterval(); interval != "" && err == nil {
			on[bears{interval, Party{sp.Adhesive, sp.Treatment}}] = true
		}
	}
	if len(on) == 0 {
		return nil
	}
	return slices.DeleteFunc(AtStake(rec, now), func(s Stake) bool {
		return !on[bears{s.Interval, s.Reason.Who}] && !on[bears{s.Interval, s.Reason.Than}]
	})
}

func comparisonsAtStake(study *tracker.Study, drift []tracker.IntervalDrift) (out []Stake) {
	for _, t := range study.Treatments {
		within := among(study, drift, t.Key)
		fair := unequal(within)
		var alike []Group
		for _, a := range study.Adhesives {
			if a.SolidWood {
				continue
			}
			why := fair(a.Key)
			for _, u := range why {
				out = append(out, Stake{Who: Party{a.Key, t.Key}, Interval: u.Interval, Reason: u.Reason, Unless: u.longerSoak > 0 && !a.CuresInWater})
			}
			if len(why) == 0 {
				alike = append(alike, Group{Adhesive: a.Key, Treatment: t.Key})
			}
		}
		out = append(out, pairsAtStake(within, alike)...)
	}
	return out
}

// pairsAtStake are pairs too far apart although neither left the others behind.
func pairsAtStake(within []tracker.IntervalDrift, alike []Group) (out []Stake) {
	for i, a := range alike {
		for _, b := range alike[i+1:] {
			for _, why := range apart(within, a, b, func(Group) bool { return false }) {
				out = append(out, Stake{Who: a.party(), Interval: why.Interval, Reason: why, Unless: why.Interval == schedule.Soak})
			}
		}
	}
	return out
}

func keptAtStake(study *tracker.Study, drift []tracker.IntervalDrift) (out []Stake) {
	dry := control(study)
	if dry == "" {
		return nil
	}
	for _, a := range study.Adhesives {
		for _, why := range aged(a.Key, dry, drift) {
			out = append(out, Stake{Who: Party{Adhesive: a.Key}, Kept: true, Interval: schedule.Age, Reason: why})
		}
		for _, t := range study.Treatments {
			if t.Control {
				continue
			}
			for _, why := range apart(drift, Group{Adhesive: a.Key, Treatment: dry}, Group{Adhesive: a.Key, Treatment: t.Key}, func(Group) bool { return false }) {
				out = append(out, Stake{Who: Party{Adhesive: a.Key}, Kept: true, Interval: why.Interval, Reason: why})
			}
		}
	}
	return out
}
