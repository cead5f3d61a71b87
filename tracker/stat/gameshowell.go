package stat

import (
	"fmt"
	"math"
)

// GamesHowell compares every pair of groups whose spreads may differ, the
// difference mean(A) - mean(B) with limits that hold for all pairs at once,
//
//	d ± q(level; k, df) sqrt((vA + vB)/2),   v = s²/n,
//
// df those of Welch for the pair (see WelchDifference). As in TukeyKramer, SE
// is the root above. A pair with a group of one value comes back without
// limits, with a warning and a PAdjusted of 1: it shows nothing.
//
// The error wraps ErrGroups for fewer than two groups, ErrLevel, or that of
// Mean.
//
// It errs more than it says where groups are small: at 5 % any pair of nine equal
// groups of three is told apart in 9.0 %, of four in 7.8, of eight in 6.3, any of five of
// three in 5.8 (60,000 studies each, ± 0.1, with R's qtukey), of nine of two in 12.5 (1,000).
//
// Source: Games and Howell (1976), J. Educational Statistics 1, 113-125.
func GamesHowell(groups [][]float64, level float64) ([]Pair, error) {
	if len(groups) < 2 {
		return nil, ErrGroups
	}
	var pairs []Pair
	d := Studentised{K: len(groups)}.tabled()
	for a := range groups {
		for b := a + 1; b < len(groups); b++ {
			p, err := d.gamesHowell(groups, a, b, level)
			if err != nil {
				return nil, fmt.Errorf("groups %d and %d: %w", a+1, b+1, err)
			}
			pairs = append(pairs, p)
		}
	}
	return pairs, nil
}

// gamesHowell takes Welch's comparison of the pair and widens it to k groups.
func (d Studentised) gamesHowell(groups [][]float64, a, b int, level float64) (Pair, error) {
	e, err := WelchDifference(groups[a], groups[b], level)
	if err != nil {
		return Pair{}, err
	}
	e.Method = "Games-Howell, own spread of each group"
	if _, err := inRange(e.Value); err != nil {
		return Pair{}, err
	}
	if e.Limits == nil {
		return Pair{a, b, e, 1}, nil
	}
	// Rounding can leave Welch's degrees of freedom a hair under one.
	d.DF = max(1, e.DF)
	q, err := d.Quantile(level)
	if err != nil {
		return Pair{}, err
	}
	e.SE /= math.Sqrt2
	e.Limits = &Limits{e.Value - q*e.SE, e.Value + q*e.SE}
	if checkFinite([]float64{e.Limits.Low, e.Limits.High}) != nil {
		return Pair{}, ErrRange
	}
	return Pair{a, b, e, d.beyond(math.Abs(e.Value), e.SE)}, nil
}

// beyond is the probability of a range wider than diff over se. Without any
// spread there is nothing to judge a difference by.
func (d Studentised) beyond(diff, se float64) float64 {
	switch {
	case diff == 0 || se == 0:
		return 1
	case math.IsInf(diff/se, 1):
		return 0
	}
	return d.Beyond(diff / se)
}
