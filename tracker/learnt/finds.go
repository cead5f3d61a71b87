package learnt

import (
	"slices"

	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/stat"
)

// wanted are the ratios that replicates are asked for, from hard to find to plain.
var wanted = []float64{1.25, 1.5, 2}

// mostEach is how many of each are ever proposed; nobody glues up more of one kind.
const mostEach = 50

// Finds is what a number of specimens of each, as planned, finds apart with the scatter that
// was measured in the state they will be broken in. Ratios are of one pair planned beforehand,
// found design.Power of the time.
type Finds struct {
	Treatments []string
	State      string
	N, K       int      // specimens each, adhesives
	Scatter    *Scatter // nil where none was measured in that state
	AtS        float64  // with the scatter as it was measured
	AtMost     float64  // with the most that it may be, 80 % sure
	Expected   float64  // on the mean over what it may be
	Needs      []Need
}

// A Need is how many of each it takes to find a ratio; 0 for more than anybody makes.
type Need struct {
	Ratio               float64
	AtS, AtMost, Expect int
}

// Find works out what a new plan finds with what was measured, a line for each number of
// specimens and state.
func Find(study *tracker.Study, scatters []Scatter) (out []Finds, err error) {
	told, err := design.Tell(study)
	if err != nil {
		return nil, err
	}
	for _, t := range told {
		for _, key := range t.Treatments {
			out = place(out, Finds{State: stateOf(study.Treatment(key)), N: t.N, K: t.K}, key)
		}
	}
	for i := range out {
		if err := out[i].work(scatters); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// place adds a treatment to the line of its number and state.
func place(all []Finds, f Finds, treatment string) []Finds {
	at := slices.IndexFunc(all, func(o Finds) bool { return o.State == f.State && o.N == f.N })
	if at < 0 {
		at, all = len(all), append(all, f)
	}
	all[at].Treatments = append(all[at].Treatments, treatment)
	return all
}

// stateOf is the state that bonds of a treatment are in at their break.
func stateOf(t *tracker.Treatment) string {
	switch {
	case t.State != "":
		return t.State
	case t.Soaked:
		return "wet"
	}
	return "dry"
}

// work fills in what the scatter of the state finds; one of each is compared with nothing.
func (f *Finds) work(scatters []Scatter) (err error) {
	at := slices.IndexFunc(scatters, func(s Scatter) bool { return s.State == f.State })
	if at < 0 || scatters[at].Few() {
		return nil
	}
	f.Scatter = &scatters[at]
	if f.N > 1 {
		if err = f.ratios(); err != nil {
			return err
		}
	}
	for _, ratio := range wanted {
		need, err := f.need(ratio)
		if err != nil {
			return err
		}
		f.Needs = append(f.Needs, need)
	}
	return nil
}

func (f *Finds) ratios() (err error) {
	if f.AtS, err = stat.DetectableRatio(f.N, f.K, f.Scatter.Planned, design.Alpha, design.Power, false); err != nil {
		return err
	}
	if f.AtMost, err = stat.DetectableRatio(f.N, f.K, f.Scatter.AtMost, design.Alpha, design.Power, false); err != nil {
		return err
	}
	f.Expected, err = f.finder().Ratio(design.Alpha, design.Power)
	return err
}

func (f *Finds) finder() stat.Finder {
	return stat.Finder{N: f.N, K: f.K, S: f.Scatter.Planned, DF: f.Scatter.PlanDF}
}

func (f *Finds) need(ratio float64) (n Need, err error) {
	n.Ratio = ratio
	if n.Expect, err = f.finder().Replicates(ratio, design.Alpha, design.Power, mostEach); err != nil {
		return n, err
	}
	if n.AtS, err = f.least(ratio, f.Scatter.Planned); err != nil {
		return n, err
	}
	n.AtMost, err = f.least(ratio, f.Scatter.AtMost)
	return n, err
}

// least is the fewest of each that find the ratio if s is the scatter.
func (f *Finds) least(ratio, s float64) (int, error) {
	for n := 2; n <= mostEach; n++ {
		p, err := stat.Finder{N: n, K: f.K, S: s, DF: 1}.Power(ratio, design.Alpha)
		if err != nil || p >= design.Power {
			return n, err
		}
	}
	return 0, nil
}
