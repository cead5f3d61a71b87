package wording

import (
	"fmt"
	"slices"
	"strings"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
	"soaktag/tracker/strength"
)

// mostStragglers is how many are told one by one.
const mostStragglers = 3

// Stragglers says who was treated otherwise than its group, and how: "012 soak
// 29 d instead of 7 d 1 h".
func Stragglers(all []strength.Straggler) string {
	var parts []string
	for i, s := range all {
		if i == mostStragglers && len(all) > mostStragglers+1 {
			return strings.Join(parts, ", ") + fmt.Sprintf(", %d more", len(all)-i)
		}
		parts = append(parts, fmt.Sprintf("%s %s %s instead of %s", And([]string{s.Called}), s.Interval, schedule.Short(s.Length), schedule.Short(s.Usual)))
	}
	return strings.Join(parts, ", ")
}

// stragglersOf names them.
func stragglersOf(all []strength.Straggler) string {
	names := calledOf(all)
	if len(names) > mostStragglers {
		return fmt.Sprintf("%d of them", len(names))
	}
	return And(names)
}

func calledOf(all []strength.Straggler) (names []string) {
	for _, s := range all {
		if !slices.Contains(names, s.Called) {
			names = append(names, s.Called)
		}
	}
	return names
}

// themOrIt stands for some stragglers that were named.
func themOrIt(all []strength.Straggler) string { return oneOr(len(calledOf(all)), "it", "them") }

// stragglers names those of a group, with its mean with and without them.
func (t teller) stragglers() string {
	text, g := Stragglers(t.Group.Stragglers), t.Group
	if g.MeanWithout == nil {
		return text
	}
	e, them := g.Estimate(), themOrIt(g.Stragglers)
	return fmt.Sprintf("%s; mean %s%s with %s, %s without", text, atLeast(e.Bound), t.stress(*e.Value), them, t.stress(*g.MeanWithout))
}

// InRow says in the row of a group who straggled, and its mean without them;
// empty where nobody did.
func InRow(g strength.Group, u quantity.System) string {
	if len(g.Stragglers) != 1 {
		return InNarrowRow(g, u)
	}
	s := g.Stragglers[0]
	return And([]string{s.Called}) + " " + s.Interval + " " + schedule.Short(s.Length) + meanWithout(g, u)
}

// InNarrowRow is InRow where there is no room for names.
func InNarrowRow(g strength.Group, u quantity.System) string {
	if len(g.Stragglers) == 0 {
		return ""
	}
	return fmt.Sprintf("%d drifted", len(calledOf(g.Stragglers))) + meanWithout(g, u)
}

func meanWithout(g strength.Group, u quantity.System) string {
	if g.MeanWithout == nil {
		return ""
	}
	return ": " + StressCell(u, g.MeanWithout) + " without"
}

// KeptWithout says of a strength left who straggled in either group, and what is
// left without them; empty where nobody did.
func KeptWithout(r strength.Retention) string {
	if len(r.Stragglers) == 0 {
		return ""
	}
	text := Stragglers(r.Stragglers)
	if r.RatioWithout == nil {
		return text
	}
	left := bounded(r.Bound, Percent(r.RatioWithout))
	if phrase := r.Bound.Phrase(); phrase != "" {
		left = phrase + " " + Percent(r.RatioWithout)
	}
	text += fmt.Sprintf("; without %s %s %%", themOrIt(r.Stragglers), left)
	if limits := ofRatio(r.Bound, r.LowWithout, r.HighWithout, Percent); limits != "-" && !r.Bound.Censored() {
		text += " (" + limits + ")"
	}
	return text
}

// LengthsOfStragglers names the stragglers of a group in one interval behind its
// median: "012 29 d".
func LengthsOfStragglers(all []tracker.SpecimenDrift) string {
	var parts []string
	for i, s := range all {
		if i == mostStragglers && len(all) > mostStragglers+1 {
			return strings.Join(parts, ", ") + fmt.Sprintf(", %d more", len(all)-i)
		}
		by := schedule.Short(s.Actual())
		if s.Planned.Kind == schedule.AsPartner { // a length says nothing without its partner's
			by = Signed(s.Drift)
		}
		parts = append(parts, And([]string{s.Of.Called()})+" "+by)
	}
	return strings.Join(parts, ", ")
}
