package tables

import (
	"math"
	"time"

	"soaktag/tracker/design"
)

// A CheckSitting is what is glued in one go. Times are null without a calendar,
// those of planing also where the plan sets no limit to the surface's age.
type CheckSitting struct {
	Number         int          `json:"number"`
	From           *string      `json:"from"`
	To             *string      `json:"to"`
	PlaneNotBefore *string      `json:"plane_not_before"`
	PlaneBefore    *string      `json:"plane_before"`
	Bonds          []CheckBond  `json:"bonds"` // in the order to glue
	Batches        []CheckBatch `json:"batches"`
}

// A CheckBond is a specimen with the numbers of its clamps.
type CheckBond struct {
	Code      string `json:"code"`
	Adhesive  string `json:"adhesive"`
	Treatment string `json:"treatment"`
	Board     string `json:"board"`
	Clamps    []int  `json:"clamps"`
}

// A CheckBatch is one mixing of an adhesive.
type CheckBatch struct {
	Adhesive   string    `json:"adhesive"`
	Bonds      int       `json:"bonds"`
	MixG       *float64  `json:"mix_g"` // waste included
	PartsG     []float64 `json:"parts_g"`
	PotLifeMin *float64  `json:"pot_life_min"`
}

func newCheckSitting(s design.Sitting, zone *time.Location) CheckSitting {
	o := CheckSitting{
		Number: s.Number, From: dated(s.From, zone), To: dated(s.To, zone), Bonds: []CheckBond{}, Batches: []CheckBatch{},
		PlaneNotBefore: dated(s.Planing.NotBefore, zone), PlaneBefore: dated(s.Planing.Before, zone),
	}
	for _, b := range s.Bonds {
		o.Bonds = append(o.Bonds, CheckBond{b.Code.String(), b.Adhesive, b.Treatment, b.Board, append([]int{}, b.Clamps...)})
	}
	for _, b := range s.Batches {
		o.Batches = append(o.Batches, newCheckBatch(b))
	}
	return o
}

func newCheckBatch(b design.Batch) CheckBatch {
	milligrams := func(g float64) float64 { return math.Round(g*1000) / 1000 }
	o := CheckBatch{Adhesive: b.Adhesive, Bonds: b.Bonds(), PartsG: []float64{}}
	if b.Mix > 0 {
		g := milligrams(b.Mix.G())
		o.MixG = &g
	}
	for _, m := range b.Parts() {
		o.PartsG = append(o.PartsG, milligrams(m.G()))
	}
	if life := b.Life.Minutes(); life > 0 {
		o.PotLifeMin = &life
	}
	return o
}

// dated writes an instant in a zone; null where there is none.
func dated(at time.Time, zone *time.Location) *string {
	if at.IsZero() {
		return nil
	}
	text := at.In(zone).Format(time.RFC3339)
	return &text
}
