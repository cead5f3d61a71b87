package schedule

import (
	"slices"
	"time"
)

// A Group is the drifts of the specimens that were meant to be treated alike.
type Group struct {
	Key     string
	Lengths []time.Duration // each specimen's drift: actual - planned; a range by its middle
	Slack   []time.Duration // half the width of each one's range; nil when all are exact
}

// A GroupDrift says how far one group moved, and how far from the others.
type GroupDrift struct {
	Key          string
	N            int
	Median       time.Duration // median drift of the group
	Differential time.Duration // Median less the common drift; of two groups, less the other's Median
	Verdict      Verdict       // of Differential; Running when there is none to give
}

// A Summary is the drift of one interval over all groups.
type Summary struct {
	Common        time.Duration // median over the groups of their medians
	CommonVerdict Verdict       // Running when there is none to give
	Groups        []GroupDrift  // in the order given
}

// Summarise splits drift into what happened to all groups and what happened
// to one of them:
//
//	d_g = median of the drifts in group g
//	D   = median over the groups of d_g       common drift
//	e_g = d_g - D                             differential drift
//
// With D out of tolerance all moved together: the ranking is still fair, but
// the protocol is not the one that was planned. With e_g out of tolerance the
// group was not treated like the others. The median of two medians would
// split the blame in half, so of exactly two groups each is compared with the
// other directly.
//
// Verdicts are against p's tolerances, inclusive: Within, Early, Late, or
// CannotTell where the slack of the times decides. AtLeast, AtMost and None
// have no tolerance and get no verdict (Running); neither do a group without
// specimens, nor an AsPartner whose tolerance depends on each partner. Empty
// groups do not count towards D.
func Summarise(groups []Group, p Planned) Summary {
	var all []spread
	for _, g := range groups {
		if len(g.Lengths) > 0 {
			all = append(all, g.median())
		}
	}
	common := medianSpread(all)
	s := Summary{Common: common.mid, CommonVerdict: p.tolerates(common, len(all))}
	for _, g := range groups {
		s.Groups = append(s.Groups, g.drift(all, common, p))
	}
	return s
}

// A spread is a drift that is known to lie between lo and hi.
type spread struct{ lo, mid, hi time.Duration }

func (a spread) less(b spread) spread { return spread{a.lo - b.hi, a.mid - b.mid, a.hi - b.lo} }

func (g Group) median() spread {
	all := make([]spread, len(g.Lengths))
	for i, d := range g.Lengths {
		all[i] = spread{d, d, d}
		if i < len(g.Slack) {
			slack := min(g.Slack[i], longest) // an open end has no width to add
			all[i] = spread{d - slack, d, d + slack}
		}
	}
	return medianSpread(all)
}

// medianSpread takes the median of each end for itself: a median rises when
// any of its values does, so these bound the true one.
func medianSpread(all []spread) spread {
	var lo, mid, hi []time.Duration
	for _, s := range all {
		lo, mid, hi = append(lo, s.lo), append(mid, s.mid), append(hi, s.hi)
	}
	return spread{Median(lo), Median(mid), Median(hi)}
}

// Median is the middle value, or the mean of the middle two; zero of nothing.
// It sorts d.
func Median(d []time.Duration) time.Duration {
	if len(d) == 0 {
		return 0
	}
	slices.Sort(d)
	a, b := d[(len(d)-1)/2], d[len(d)/2]
	return a + (b-a)/2
}

// drift compares one group with the others. A single group has nothing to
// differ from.
func (g Group) drift(all []spread, common spread, p Planned) GroupDrift {
	if len(g.Lengths) == 0 {
		return GroupDrift{Key: g.Key}
	}
	own := g.median()
	var e spread
	switch len(all) {
	case 1:
	case 2:
		other := all[0]
		if other == own {
			other = all[1]
		}
		e = own.less(other)
	default:
		e = own.less(common)
	}
	return GroupDrift{g.Key, len(g.Lengths), own.mid, e.mid, p.tolerates(e, len(all))}
}

// tolerates judges a drift by p's tolerances.
func (p Planned) tolerates(s spread, groups int) Verdict {
	relative := p.Kind == AsPartner && !p.Assumed
	if groups == 0 || (p.Kind != Target && !relative) {
		return Running
	}
	return judge(s.lo, s.hi, -p.Early, p.Late)
}
