package strength

import (
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// fairness gives the reasons why a group was not treated like the others of
// its treatment.
type fairness func(adhesive string) []unfair

// An unfair is one such reason.
type unfair struct {
	Reason
	longerSoak time.Duration // by how much longer it lay in water than the others; 0 where that is not it
}

// unequal looks for groups that were not treated like the others of their
// treatment, in every interval but age: that one concerns retention, and pairs
// of controls.
func unequal(within []tracker.IntervalDrift) fairness {
	return func(adhesive string) (why []unfair) {
		for _, d := range within {
			if d.Interval == schedule.Age {
				continue
			}
			for _, g := range d.Groups {
				if g.Adhesive == adhesive {
					why = append(why, differs(d, g)...)
				}
			}
		}
		return why
	}
}

// among is the drift of every interval within a treatment.
func among(study *tracker.Study, drift []tracker.IntervalDrift, treatment string) (out []tracker.IntervalDrift) {
	for _, d := range drift {
		out = append(out, d.Within(study, treatment))
	}
	return out
}

// differs turns what befell a group in one interval into a reason, if it is one.
func differs(d tracker.IntervalDrift, g tracker.GroupDrift) []unfair {
	who := Party{g.Adhesive, g.Treatment}
	switch {
	case !g.Judged:
		return beyondLimit(d, g)
	case g.Verdict == schedule.CannotTell:
		return []unfair{{Reason: Reason{Kind: CannotTell, Who: who, Interval: d.Interval}}}
	case g.Verdict.Outside():
		u := unfair{Reason: Reason{Kind: Differs, Who: who, Interval: d.Interval, Length: g.Differential}}
		if d.Interval == schedule.Soak && g.Verdict == schedule.Late {
			u.longerSoak = g.Differential
		}
		return []unfair{u}
	}
	return nil
}

// beyondLimit is a reason where half of a group or more broke a limit ("at
// most", "at least") that not all groups broke as badly.
func beyondLimit(d tracker.IntervalDrift, g tracker.GroupDrift) []unfair {
	n, of := broken(d, g.Adhesive)
	if 2*n < of || of == 0 {
		return nil
	}
	alike := true
	for _, other := range d.Groups {
		m, all := broken(d, other.Adhesive)
		alike = alike && 2*m >= all
	}
	if alike {
		return nil
	}
	return []unfair{{Reason: Reason{Kind: BeyondLimit, Who: Party{g.Adhesive, g.Treatment}, Interval: d.Interval, Length: g.Length, N: n, Of: of}}}
}

// broken counts the ended intervals of an adhesive, and those outside.
func broken(d tracker.IntervalDrift, adhesive string) (n, of int) {
	for _, s := range d.Specimens {
		if s.Of.Adhesive == adhesive && s.Done {
			of++
			if s.Verdict.Outside() {
				n++
			}
		}
	}
	return n, of
}

// apart says in which intervals two groups went further apart than the plan
// allows, although neither left the others behind: the middle of many groups
// may lie between them. Of age it is the length that counts. A longer soak may
// be excused.
func apart(drift []tracker.IntervalDrift, a, b Group, excused func(longer Group) bool) (why []Reason) {
	for _, d := range drift {
		x, y := groupIn(d, a), groupIn(d, b)
		if x == nil || y == nil || !x.Judged || !y.Judged {
			continue
		}
		by := x.Drift - y.Drift
		if d.Interval == schedule.Age {
			by = x.Length - y.Length
		}
		longer := a
		if by < 0 {
			longer = b
		}
		if d.Interval == schedule.Soak && excused(longer) {
			continue
		}
		if allowed := max(x.Planned.Early, x.Planned.Late, y.Planned.Early, y.Planned.Late); by > allowed || -by > allowed {
			why = append(why, Reason{Kind: TooFarApart, Who: a.party(), Than: b.party(), Interval: d.Interval, Length: max(by, -by), Allowed: allowed})
		}
	}
	return why
}

func groupIn(d tracker.IntervalDrift, of Group) *tracker.GroupDrift {
	for i, g := range d.Groups {
		if g.Adhesive == of.Adhesive && g.Treatment == of.Treatment {
			return &d.Groups[i]
		}
	}
	return nil
}

// aged gives the reasons why a group of controls as a whole was not of its soaked
// partners' age. A few that were not are stragglers: what is kept is shown with
// and without them.
func aged(adhesive, treatment string, drift []tracker.IntervalDrift) (why []Reason) {
	n, outside, unsure := ages(adhesive, treatment, drift)
	if outside > 0 {
		why = append(why, Reason{Kind: OtherAge, Who: Party{adhesive, treatment}, N: outside, Of: n})
	}
	if unsure > 0 && 2*unsure >= n {
		why = append(why, Reason{Kind: AgeUnsure, Who: Party{adhesive, treatment}, N: unsure, Of: n})
	}
	return why
}

// fewUnsure says of how many nobody can tell, where most are known.
func fewUnsure(adhesive, treatment string, drift []tracker.IntervalDrift) []Reason {
	if n, _, unsure := ages(adhesive, treatment, drift); unsure > 0 && 2*unsure < n {
		return []Reason{{Kind: AgeUnsure, Who: Party{adhesive, treatment}, N: unsure, Of: n}}
	}
	return nil
}

// ages counts the broken specimens of a group, those outside tolerance with the
// rest of it, and those of which nobody can tell.
func ages(adhesive, treatment string, drift []tracker.IntervalDrift) (n, outside, unsure int) {
	for _, d := range drift {
		for _, s := range d.Specimens {
			switch {
			case d.Interval != schedule.Age || s.Of.Adhesive != adhesive || s.Of.Treatment != treatment || !s.Done:
				continue
			case s.Verdict.Outside() && !d.Straggles(s):
				outside++
			case s.Verdict == schedule.CannotTell:
				unsure++
			}
			n++
		}
	}
	return n, outside, unsure
}
