package strength

import (
	"soaktag/tracker"
	"soaktag/tracker/stat"
)

const level = 0.95 // of every interval

// Survived reports whether s counts in means: it broke or was wood-limited,
// and its strength is known.
func (s Specimen) Survived() bool {
	return (s.Outcome == Broke || s.Outcome == WoodLimited) && s.ShearMPa != nil
}

// metNoRig reports whether s has no rig and state of its own to be grouped by.
func (s Specimen) metNoRig() bool {
	switch s.Outcome {
	case FellApart, Lost, Damaged, Withdrawn:
		return true
	}
	return false
}

// groups sorts the specimens that are done with into groups, in plan order,
// then in the order in which rigs and states were first met.
func groups(study *tracker.Study, all []Specimen) []Group {
	out := []Group{}
	for _, a := range study.Adhesives {
		for _, t := range study.Treatments {
			out = append(out, cell(a.Key, t.Key, all)...)
		}
	}
	for i := range out {
		out[i].sums(study.Rule)
	}
	return out
}

// cell makes the groups of one adhesive and treatment.
func cell(adhesive, treatment string, all []Specimen) []Group {
	var made []Group
	var rigless []Specimen
	for _, s := range all {
		switch {
		case s.Adhesive != adhesive || s.Treatment != treatment || s.Outcome == NoneYet:
		case s.metNoRig():
			rigless = append(rigless, s)
		default:
			made = enter(made, s)
		}
	}
	if len(rigless) > 0 {
		if len(made) == 0 {
			made = []Group{{Adhesive: adhesive, Treatment: treatment, State: rigless[0].State}}
		}
		home := largest(made)
		home.Members = append(home.Members, rigless...)
	}
	return made
}

// enter adds s to the group of its rig and state.
func enter(made []Group, s Specimen) []Group {
	for i := range made {
		if made[i].Rig == s.Rig && made[i].State == s.State {
			made[i].Members = append(made[i].Members, s)
			return made
		}
	}
	return append(made, Group{Adhesive: s.Adhesive, Treatment: s.Treatment, Rig: s.Rig, State: s.State, Members: []Specimen{s}})
}

// largest returns the group with most members, the first of equals.
func largest(of []Group) *Group {
	best := &of[0]
	for i := range of {
		if len(of[i].Members) > len(best.Members) {
			best = &of[i]
		}
	}
	return best
}

// Survivors returns the members that count in means.
func (g *Group) Survivors() (out []Specimen) {
	for _, s := range g.Members {
		if s.Survived() {
			out = append(out, s)
		}
	}
	return out
}

// counted returns the members that count in means with zeros.
func (g *Group) counted() (out []Specimen) {
	for _, s := range g.Members {
		if s.Survived() || s.Outcome == FellApart {
			out = append(out, s)
		}
	}
	return out
}

// sums counts the members and works out what they give together.
func (g *Group) sums(rule tracker.Limits) {
	g.count()
	xs := shears(g.Survivors())
	g.Blocks = len(xs)
	g.MeanSurvivors, g.SDSurvivors = spread(xs)
	if e, err := stat.TInterval(xs, level); err == nil {
		g.Low, g.High = ends(e)
	}
	g.Mean, g.SD = spread(shears(g.counted()))
	g.WoodFailure = g.wood()
	g.warn()
	g.share()
	g.fit(rule)
}

func (g *Group) count() {
	g.N = len(g.Members)
	for _, s := range g.Members {
		switch s.Outcome {
		case Broke:
			g.Broke++
		case WoodLimited:
			g.WoodLimited++
		case FellApart:
			g.FellApart++
		case Lost, Damaged, Withdrawn:
			g.LeftOut++
		default:
			g.AtLeast++
		}
	}
}

// spread returns mean and standard deviation, nil where there are too few.
func spread(xs []float64) (mean, sd *float64) {
	if m, err := stat.Mean(xs); err == nil {
		mean = &m
	}
	if s, err := stat.SD(xs); err == nil {
		sd = &s
	}
	return mean, sd
}

func (g *Group) wood() *float64 {
	var xs []float64
	for _, s := range g.Members {
		if s.WoodFailure != nil {
			xs = append(xs, *s.WoodFailure)
		}
	}
	mean, _ := spread(xs)
	return mean
}

func (g *Group) tally(is func(Specimen) bool) (n int) {
	for _, s := range g.Members {
		if is(s) {
			n++
		}
	}
	return n
}
