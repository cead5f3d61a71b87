package stat

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/integrate/quad"
)

// A quantile asks for the distribution some fifty times, and a comparison of
// k groups for many quantiles. All of them rest on the same range of k
// normals, so that is worked out once, on a grid, and read off between its
// points by the cubic that has the right height and slope at both ends.
const (
	gridStep = 1.0 / 32
	gridEnd  = 16 // the range of k normals is wider once in 1e20 or less
)

// A rangeTable holds heights and slopes of the distribution of the range.
type rangeTable struct{ height, slope []float64 }

// rangeTables keeps the table of every K (*rangeTable) that was asked for. A table
// costs some hundred thousand exponentials and depends on nothing else, and one
// look at results asks for the same few again and again.
var rangeTables sync.Map

// tabled returns d with a table of its range. The table goes with the value:
// the same d with other degrees of freedom may use it too.
func (d Studentised) tabled() Studentised {
	if d.table != nil {
		return d
	}
	kept, ok := rangeTables.Load(d.K)
	if !ok {
		kept, _ = rangeTables.LoadOrStore(d.K, d.newTable())
	}
	d.table = kept.(*rangeTable)
	return d
}

func (d Studentised) newTable() *rangeTable {
	t := &rangeTable{}
	for i := range int(gridEnd/gridStep) + 1 {
		w := float64(i) * gridStep
		t.height = append(t.height, d.normalRange(w))
		t.slope = append(t.slope, d.normalSlope(w))
	}
	return t
}

// normalSlope is the slope of normalRange,
//
//	W'(w) = k (k-1) ∫ φ(z) φ(z-w) (Φ(z) - Φ(z-w))^(k-2) dz.
func (d Studentised) normalSlope(w float64) float64 {
	k := float64(d.K)
	f := func(z float64) float64 { return math.Exp(-(z*z+(z-w)*(z-w))/2) * math.Pow(inside(z, w), k-2) }
	return k * (k - 1) / (2 * math.Pi) * quad.Fixed(f, -8, 8, nodes, quad.Legendre{}, 0)
}

// within is the probability that the range of k standard normals is at most w.
func (d Studentised) within(w float64) float64 {
	if d.table == nil {
		return d.normalRange(w)
	}
	if w >= gridEnd {
		return 1
	}
	return d.table.at(w / gridStep)
}

// at is Hermite's cubic between two grid points; x in steps of the grid.
func (t *rangeTable) at(x float64) float64 {
	i := int(math.Floor(x))
	u := x - float64(i)
	v := 1 - u
	return v*v*((1+2*u)*t.height[i]+u*gridStep*t.slope[i]) + u*u*((1+2*v)*t.height[i+1]-v*gridStep*t.slope[i+1])
}
