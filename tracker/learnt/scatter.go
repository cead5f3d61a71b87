package learnt

import (
	"slices"

	"soaktag/tracker/stat"
)

const (
	fewest   = 4   // degrees of freedom; with less a scatter is too little to plan by
	unalike  = .05 // Bartlett's p below which groups do not scatter alike
	tooMany  = .2  // share of wood-limited readings above which they narrow the scatter
	sureness = .8  // of the upper limit that is told beside it
)

// A Scatter is how much specimens of one adhesive and treatment that were broken in one state
// scattered: the standard deviation of the logarithms of their strengths, which is close to
// their coefficient of variation.
type Scatter struct {
	State       string
	Studies     []string // titles
	Readings    int      // bonded blocks that count
	WoodLimited int      // readings of them, at which the wood gave way first
	Read        int
	stat.Scatter
	Limits  stat.Limits // 95 %, two-sided
	AtMost  float64     // 80 % sure
	Apart   []OfStudy   // where the groups do not scatter alike: each study by itself
	Planned float64     // the scatter to plan by: S, or the largest of Apart that has enough degrees of freedom
	PlanDF  float64     // of it
	Fitted  float64     // where Narrowed: the scatter with those readings as lower bounds; 0 where they tell too little
	fitDF   float64
}

// OfStudy is the scatter within one study.
type OfStudy struct {
	Title string
	S     float64
	DF    int
}

// Few reports that it is too little to plan by.
func (s Scatter) Few() bool { return s.PlanDF < fewest || s.Narrowed() && s.fitDF < fewest }

// Unalike reports that the groups do not scatter alike.
func (s Scatter) Unalike() bool { return s.Alike < unalike }

// Narrowed reports that so many readings are wood-limited that the true scatter is larger.
func (s Scatter) Narrowed() bool { return float64(s.WoodLimited) > tooMany*float64(s.Read) }

// Scatters are those of each state that specimens were broken in, by name. A group of one
// adds nothing, and a state without two of one kind has none.
func Scatters(past []Past) (out []Scatter) {
	for _, state := range states(past) {
		if s, ok := scatterIn(state, past); ok {
			out = append(out, s)
		}
	}
	return out
}

func states(past []Past) (names []string) {
	for _, p := range past {
		for _, g := range p.bonded() {
			names = append(names, string(g.State))
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}

func scatterIn(state string, past []Past) (Scatter, bool) {
	s := Scatter{State: state}
	var groups [][]float64
	for _, p := range past {
		own := s.read(p)
		if of, err := stat.PoolScatter(own); err == nil {
			s.Studies = append(s.Studies, p.Study.Title)
			s.Apart = append(s.Apart, OfStudy{p.Study.Title, of.S, of.DF})
		}
		groups = append(groups, own...)
	}
	pooled, err := stat.PoolScatter(inOrder(groups))
	if err != nil {
		return Scatter{}, false
	}
	s.Scatter = pooled
	s.fit(past)
	return s.plan(), true
}

// read takes the groups of a study that were broken in the state and have two blocks or more.
func (s *Scatter) read(p Past) (groups [][]float64) {
	for _, g := range p.bonded() {
		logs := g.Logs()
		if string(g.State) != s.State || len(logs) < 2 {
			continue
		}
		groups = append(groups, logs)
		s.Readings += len(logs)
		s.Read += g.Broke + g.WoodLimited
		s.WoodLimited += g.WoodLimited
	}
	return groups
}

// fit takes wood-limited readings as lower bounds, where they are many.
func (s *Scatter) fit(past []Past) {
	if !s.Narrowed() {
		return
	}
	var groups [][]stat.Observation
	for _, p := range past {
		for _, g := range p.bonded() {
			if string(g.State) == s.State && len(g.LogBounds()) > 1 {
				groups = append(groups, g.LogBounds())
			}
		}
	}
	s.Fitted, s.fitDF, _ = stat.CensoredScatter(groups) // 0 says that they tell too little
}

// inOrder sorts groups, so that sums round the same whatever order they came in.
func inOrder(groups [][]float64) [][]float64 {
	for _, g := range groups {
		slices.Sort(g)
	}
	slices.SortFunc(groups, slices.Compare)
	return groups
}

// plan adds the limits, and what to plan by.
func (s Scatter) plan() Scatter {
	s.Planned, s.PlanDF = s.S, float64(s.DF)
	if s.Unalike() {
		s.PlanDF = s.DFHeld
	} else {
		s.Apart = nil
	}
	s.Limits, _ = stat.ScatterLimits(s.S, s.PlanDF, 0.95)
	for _, of := range s.Apart {
		if of.DF >= fewest && of.S > s.Planned {
			s.Planned, s.PlanDF = of.S, float64(of.DF)
		}
	}
	if s.Fitted > s.Planned {
		s.Planned, s.PlanDF = s.Fitted, s.fitDF
	}
	s.AtMost, _ = stat.ScatterAtMost(s.Planned, s.PlanDF, sureness)
	return s
}
