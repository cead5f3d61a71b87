package stat

import "fmt"

// An Anova is the split of the squares of one-way groups.
type Anova struct {
	Between, Within     float64 // sums of squares
	DFBetween, DFWithin int
	F                   float64 // (Between/DFBetween) / (Within/DFWithin)
}

// OneWay splits the sum of squares about the overall mean into that between
// the groups and that within them,
//
//	Between = Σ nᵢ (mᵢ - m)²,   Within = Σ (nᵢ-1) sᵢ².
//
// A group may hold one value, as long as another has a spread. Within over
// DFWithin is the pooled variance that TukeyKramer uses. The error wraps
// ErrGroups, ErrRange, or that of Mean.
//
// Check: NIST Statistical Reference Datasets, one-way analysis of variance.
func OneWay(groups [][]float64) (Anova, error) {
	means, ms, df, err := pooled(groups)
	if err != nil {
		return Anova{}, err
	}
	var all []float64
	for _, g := range groups {
		all = append(all, g...)
	}
	m, err := Mean(all)
	if err != nil {
		return Anova{}, fmt.Errorf("all groups: %w", err)
	}
	a := Anova{Within: ms * float64(df), DFBetween: len(groups) - 1, DFWithin: df}
	for i, g := range groups {
		a.Between += float64(len(g)) * (means[i] - m) * (means[i] - m)
	}
	a.F = a.Between / float64(a.DFBetween) / ms
	if checkFinite([]float64{a.Between, a.Within, a.F}) != nil {
		return Anova{}, ErrRange
	}
	return a, nil
}
