package strength

import "slices"

// What stands beside the order: those that cannot be compared, and why.

// strange names adhesives that were treated as planned, but too far from those
// in the order.
func (c comparer) strange() (out []Finding) {
	fair := c.alike()
	for _, g := range c.groups {
		in := slices.ContainsFunc(fair, func(f Group) bool { return f.Adhesive == g.Adhesive })
		if in || len(fair) == 0 || len(c.own(g, false, c.apartByZeros(g.Adhesive))) > 0 || g.Rig != fair[0].Rig || g.State != fair[0].State {
			continue
		}
		for _, f := range fair {
			for _, why := range c.unlike(g, f) {
				out = append(out, Finding{Kind: NotCompared, Group: g, Other: f, Reason: why})
			}
		}
	}
	return out
}

// standing names the adhesives whose comparison does not stand, and why.
func (c comparer) standing() (out []Finding) {
	for _, g := range c.groups {
		for _, u := range c.fair(g.Adhesive) {
			f := Finding{Kind: DoesNotStand, Group: g, Reason: u.Reason}
			if u.longerSoak > 0 {
				f.Kind, f.Than = LongerSoak, c.wonStill(g.Adhesive)
			}
			out = append(out, f)
		}
		if len(shears(g.Survivors())) < 2 && len(g.Survivors()) > 0 && !c.apartByZeros(g.Adhesive) {
			out = append(out, Finding{Kind: NoComparison, Group: g, Reason: few(g.Survivors(), Party{Treatment: g.Treatment})})
		}
	}
	return out
}

// straggled names the groups of which some were treated otherwise.
func (c comparer) straggled() (out []Finding) {
	for _, g := range c.all {
		if g.Treatment == c.treatment.Key && len(g.Stragglers) > 0 && !solidWood(c.study, g.Adhesive) {
			out = append(out, Finding{Kind: Straggled, Group: g})
		}
	}
	return out
}

// elsewhere names specimens of a treatment that were broken on another rig or
// in another state than those that are compared.
func (c comparer) elsewhere() (out []Finding) {
	fair := c.alike()
	for _, g := range c.groups {
		for _, why := range passedOver(c.all, g) {
			out = append(out, Finding{Kind: LeftAside, Group: g, Reason: why})
		}
		if len(fair) > 0 && !g.AllApart() && len(c.own(g, false, c.apartByZeros(g.Adhesive))) == 0 && (g.Rig != fair[0].Rig || g.State != fair[0].State) {
			out = append(out, Finding{Kind: BrokenElsewhere, Group: g, Other: fair[0]})
		}
	}
	return out
}

// untold are the groups of the treatment of which nothing broke in the bond or
// the wood, though a rig pulled at them.
func (c comparer) untold() (out []Group) {
	for _, g := range c.all {
		if g.Treatment == c.treatment.Key && len(g.Survivors()) == 0 && g.AtLeast > 0 && !solidWood(c.study, g.Adhesive) {
			out = append(out, g)
		}
	}
	return out
}

// unbroken names what no rig could break, and what nothing is left of.
func (c comparer) unbroken() (out []Finding) {
	for _, g := range c.untold() {
		out = append(out, Finding{Kind: NotBroken, Group: g, N: g.AtLeast, Of: g.N, MPa: g.Highest()})
	}
	for _, g := range c.all {
		if g.Treatment == c.treatment.Key && g.LeftOut == g.N && g.N > 0 {
			out = append(out, Finding{Kind: NothingLeft, Group: g, N: g.LeftOut})
		}
	}
	return out
}

// wonStill are those that an adhesive which soaked longer was told apart above
// all the same.
func (c comparer) wonStill(key string) (beaten []string) {
	for _, p := range c.made {
		switch {
		case !p.Comparable:
		case p.A == key && p.wins(1):
			beaten = append(beaten, p.B)
		case p.B == key && p.wins(-1):
			beaten = append(beaten, p.A)
		}
	}
	return beaten
}

// gone names what fell apart before any load.
func (c comparer) gone() (out []Finding) {
	for _, g := range c.all {
		if g.Treatment == c.treatment.Key && g.FellApart > 0 {
			out = append(out, Finding{Kind: FellApartFirst, Group: g, N: g.FellApart, Of: g.N})
		}
	}
	return out
}
