package strength

import (
	"math"

	"soaktag/tracker/stat"
)

// The unit of every sum is the bonded block, not the saw cut: specimens sawn
// from one glue-up share its spread and count once, by the mean of their
// readings. A specimen that names no bonded block is one of its own.

// blocks sorts specimens by bonded block, in the order in which blocks are met.
func blocks(of []Specimen) (all [][]Specimen) {
	at := map[string]int{}
	for _, s := range of {
		key := "block " + s.block
		if s.block == "" {
			key = "code " + s.Code
		}
		i, met := at[key]
		if !met {
			i = len(all)
			at[key], all = i, append(all, nil)
		}
		all[i] = append(all[i], s)
	}
	return all
}

// shears are the strengths of specimens, one a bonded block.
func shears(of []Specimen) (xs []float64) {
	for _, block := range blocks(of) {
		if x, err := stat.Mean(readings(block)); err == nil {
			xs = append(xs, x)
		}
	}
	return xs
}

// readings are the strengths of specimens, each for itself.
func readings(of []Specimen) (xs []float64) {
	for _, s := range of {
		if s.ShearMPa != nil {
			xs = append(xs, *s.ShearMPa)
		}
	}
	return xs
}

// observations are strengths for a fit, one a bonded block. A block's mean is
// a bound if any of its readings is one.
func observations(of []Specimen) (out []stat.Observation) {
	for _, block := range blocks(of) {
		x, err := stat.Mean(readings(block))
		if err != nil {
			continue
		}
		o := stat.Observation{Value: x}
		for _, s := range block {
			if s.Bound.Censored() {
				o.Bound = o.Bound.And(s.Bound)
			}
		}
		out = append(out, o)
	}
	return out
}

// Logs are the natural logarithms of the strengths, in MPa, of those that count in means:
// one a bonded block, the mean of its own.
func (g *Group) Logs() (logs []float64) {
	for _, block := range blocks(g.Survivors()) {
		if m, err := stat.Mean(logarithms(readings(block))); err == nil {
			logs = append(logs, m)
		}
	}
	return logs
}

// LogBounds are the logarithms of all strengths read, one a bonded block, those at which
// something else than the bond gave way as lower bounds.
func (g *Group) LogBounds() (out []stat.Observation) {
	for _, o := range observations(g.Loaded()) {
		if o.Value > 0 {
			o.Value = math.Log(o.Value)
			out = append(out, o)
		}
	}
	return out
}
