package strength

import (
	"slices"

	"soaktag/tracker/stat"
)

// A Pooled is what specimens of several adhesives come to when somebody takes
// them together on purpose: the share that still holds at each strength, by
// the product limit of Kaplan and Meier (1958), wood-limited and at-least readings
// as lower bounds and what fell apart at 0. No distribution is assumed.
type Pooled struct {
	Treatment    string
	N, AtLeast   int         // bonded blocks, and those of them that are lower bounds
	Steps        []stat.Step // strengths in MPa
	Median       *float64    // nil where less than half broke
	MedianLow    *float64
	MedianHigh   *float64
	RigsOrStates int // more than one: these were not broken alike
}

// Pool takes the broken specimens of some adhesives together, treatment by
// treatment in the order in which they are met; a bonded block counts once.
// Those left out or not broken yet do not count.
func (r Report) Pool(adhesives []string) (out []Pooled) {
	of := map[string][]Specimen{}
	var order []string
	for _, s := range r.Specimens {
		if !slices.Contains(adhesives, s.Adhesive) || s.ShearMPa == nil || s.Bound == stat.None {
			continue
		}
		if of[s.Treatment] == nil {
			order = append(order, s.Treatment)
		}
		of[s.Treatment] = append(of[s.Treatment], s)
	}
	for _, t := range order {
		if p, err := pooled(t, of[t]); err == nil {
			out = append(out, p)
		}
	}
	return out
}

func pooled(treatment string, of []Specimen) (p Pooled, err error) {
	obs, conditions := observations(of), map[[2]Text]bool{}
	p = Pooled{Treatment: treatment, N: len(obs)}
	for _, o := range obs {
		if o.Bound.MayBeMore() {
			p.AtLeast++
		}
	}
	for _, s := range of {
		if s.Bound != stat.Zero {
			conditions[[2]Text{s.Rig, s.State}] = true
		}
	}
	p.RigsOrStates = len(conditions)
	p.Steps, err = stat.KaplanMeier(obs, level)
	p.Median, p.MedianLow, p.MedianHigh = stat.MedianSurvival(p.Steps)
	return p, err
}
