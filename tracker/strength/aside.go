package strength

import (
	"fmt"
	"slices"

	"soaktag/schedule"
)

// What stands beside the order: those that cannot be compared, and why.

// strange names adhesives that were treated as planned, but too far from those
// in the order.
func (w wording) strange() (out []string) {
	fair := w.alike()
	for _, g := range w.groups {
		in := slices.ContainsFunc(fair, func(f Group) bool { return f.Adhesive == g.Adhesive })
		if in || len(fair) == 0 || len(w.own(g, false)) > 0 || g.Rig != fair[0].Rig || g.State != fair[0].State {
			continue
		}
		for _, f := range fair {
			for _, why := range w.comparer.unlike(g, f) {
				out = append(out, fmt.Sprintf("%s is not compared with %s: %s", w.name(g.Adhesive), w.name(f.Adhesive), why))
			}
		}
	}
	return out
}

// unequal names the adhesives whose comparison does not stand, and why.
func (w wording) unequal() (out []string) {
	for _, g := range w.groups {
		for _, u := range w.fair(g.Adhesive) {
			text := w.name(g.Adhesive) + ": its comparison does not stand: " + u.text
			if u.longerSoak > 0 {
				text = fmt.Sprintf("%s soaked %s longer than the others%s", w.name(g.Adhesive), schedule.Short(u.longerSoak), w.wonStill(g.Adhesive))
			}
			out = append(out, text)
		}
		if len(shears(g.survivors())) < 2 {
			out = append(out, w.name(g.Adhesive)+" cannot be compared: "+few(g.survivors(), g.Treatment))
		}
	}
	return out
}

// elsewhere names specimens of a treatment that were broken on another rig or
// in another state than those that are compared.
func (w wording) elsewhere() (out []string) {
	fair := w.alike()
	for _, g := range w.groups {
		out = append(out, passedOver(w.all, g)...)
		if len(fair) > 0 && len(w.own(g, false)) == 0 && (g.Rig != fair[0].Rig || g.State != fair[0].State) {
			out = append(out, fmt.Sprintf("%s, %s, was broken on %s %s, not like the others on %s %s: not compared with them",
				w.name(g.Adhesive), w.mean(g), g.Rig, g.State, fair[0].Rig, fair[0].State))
		}
	}
	return out
}

// untold are the groups of the treatment of which nothing broke in the bond or
// the wood, though a rig pulled at them.
func (w wording) untold() (out []Group) {
	for _, g := range w.all {
		if g.Treatment == w.treatment.Key && len(g.survivors()) == 0 && g.AtLeast > 0 && !solidWood(w.study, g.Adhesive) {
			out = append(out, g)
		}
	}
	return out
}

// highest is the highest reading that a group bore; 0 without any.
func (g Group) highest() float64 {
	most := 0.0
	for _, s := range g.loaded() {
		most = max(most, *s.ShearMPa)
	}
	return most
}

// unbroken names what no rig could break, and what nothing is left of.
func (w wording) unbroken() (out []string) {
	for _, g := range w.untold() {
		out = append(out, fmt.Sprintf("%s: the rig gave way or stopped first in %d of %d, the highest at %s: it has no place in the order and may be the strongest",
			w.name(g.Adhesive), g.AtLeast, g.N, w.stress(g.highest())))
	}
	for _, g := range w.all {
		if g.Treatment == w.treatment.Key && g.LeftOut == g.N && g.N > 0 {
			out = append(out, fmt.Sprintf("%s: nothing left to break, %d lost, damaged or withdrawn", w.name(g.Adhesive), g.LeftOut))
		}
	}
	return out
}

// wonStill says what a longer soak leaves of an adhesive's comparisons: those
// that it won all the same.
func (w wording) wonStill(key string) string {
	var beaten []string
	for _, p := range w.made {
		switch {
		case !p.Comparable || !p.ToldApart:
		case p.A == key && p.wins(1):
			beaten = append(beaten, w.name(p.B))
		case p.B == key && p.wins(-1):
			beaten = append(beaten, w.name(p.A))
		}
	}
	if len(beaten) == 0 {
		return ", so its comparison does not stand"
	}
	return " and still came out above " + list(beaten) + ": that stands, any other comparison with it does not"
}

// gone names what fell apart before any load.
func (w wording) gone() (out []string) {
	for _, g := range w.all {
		if g.Treatment == w.treatment.Key && g.FellApart > 0 {
			out = append(out, fmt.Sprintf("%s: %s fell apart before any load%s", w.name(g.Adhesive), w.howMany(g), w.zeros(g)))
		}
	}
	return out
}

func (w wording) howMany(g Group) string {
	if g.FellApart == g.N && g.N > 1 {
		return fmt.Sprintf("all %d", g.N)
	}
	return fmt.Sprintf("%d of %d", g.FellApart, g.N)
}

func (w wording) zeros(g Group) string {
	if g.Mean == nil || g.MeanSurvivors == nil {
		return ""
	}
	return fmt.Sprintf(" (mean of the others %s, with the zeros %s)", w.stress(*g.MeanSurvivors), w.stress(*g.Mean))
}
