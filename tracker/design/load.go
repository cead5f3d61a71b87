package design

import (
	"errors"
	"strings"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// A Load is what breaking one treatment on one rig is expected to ask of the
// rig, and what the rig can give. Expected is what breaks the wood, for a good
// bond is as strong as its wood; a weak one reads lower. Pointers are nil where
// the plan does not say what it takes to know.
type Load struct {
	Rig, Treatment string
	State          string   // at the break, as the plan names it
	Strength       Strength // of the wood, with its source
	Area           quantity.Area
	Expected       quantity.Force // strength x bond area
	Needed         quantity.Force // Expected / WorkingShare
	Weakest        string         // the part with the smallest working limit known; empty without any
	WorkingLimit   *quantity.Force
	Unknown        []string          // parts whose limit the plan does not give
	Reading        *quantity.Reading // expected on the gauge
	GaugeShare     *float64          // of the gauge's span; 0.5 is the middle
	StopAt         *quantity.Reading // the reading at which to stop pumping
	Suits          quantity.Area     // the bond area that the weakest part could take; zero when not known
	Stored         quantity.Energy   // let go at the break: by GiveOf
	Give           quantity.Length
	GiveStatus     Status // FromPlan where it was measured
}

// Times returns how many times its working limit the weakest part would have
// to carry: over 1 it is too weak. False when no limit is known.
func (l Load) Times() (float64, bool) {
	if l.WorkingLimit == nil {
		return 0, false
	}
	return float64(l.Needed) / float64(*l.WorkingLimit), true
}

// Band says where on the gauge the expected reading falls.
func (l Load) Band() Band {
	if l.GaugeShare == nil {
		return BandUnknown
	}
	return BandOf(*l.GaugeShare)
}

// Loads returns what every treatment asks of every rig, rigs first, in the
// order of the plan. Its Strength is the plan's: expected of the treatment,
// else of the wood in its state; and where the plan gives none, the table's for
// the species: green where the treatment is broken wet, otherwise at the moisture
// of the driest board (12 % where none is given), which asks the most.
//
// Where a strength cannot be known the loads of that treatment are left out
// and the error says why, each reason once; the others stand. Without a bond
// area there are none.
func Loads(s *tracker.Study) ([]Load, error) {
	area := quantity.Rectangle(s.Specimen.BondLength, s.Specimen.BondWidth)
	if !(area > 0) || len(s.Rigs) == 0 {
		return nil, nil
	}
	strengths, reasons := expectedStrengths(s)
	var loads []Load
	for _, r := range s.Rigs {
		for i, t := range s.Treatments {
			if strengths[i].Shear > 0 {
				loads = append(loads, loadOf(r, t, strengths[i], area))
			}
		}
	}
	return loads, errors.Join(reasons...)
}

// expectedStrengths returns one strength a treatment, zero where none is known,
// and why.
func expectedStrengths(s *tracker.Study) ([]Strength, []error) {
	strengths := make([]Strength, len(s.Treatments))
	var reasons []error
	told := map[string]bool{}
	for i, t := range s.Treatments {
		var err error
		if strengths[i], err = expectedStrength(s, t); err != nil && !told[err.Error()] {
			reasons, told[err.Error()] = append(reasons, err), true
		}
	}
	return strengths, reasons
}

func expectedStrength(s *tracker.Study, t tracker.Treatment) (Strength, error) {
	ofWood := s.Wood.Dry
	if t.State == wet {
		ofWood = s.Wood.Wet
	}
	switch {
	case t.Expected.Shear > 0:
		return fromPlan(t.Expected), nil
	case ofWood.Shear > 0:
		return fromPlan(ofWood), nil
	case strings.TrimSpace(s.Wood.Species) == "":
		return Strength{}, &UnknownShear{"the plan names no wood", "add species to [wood], or " + GiveShear}
	}
	return ShearOf(s.Wood.Species, t.State, driest(s.Wood.Boards))
}

func fromPlan(g tracker.GivenShear) Strength { return Strength{g.Shear, g.Source, FromPlan} }

// driest is the least moisture given of the boards; zero without any.
func driest(boards []tracker.Board) quantity.Share {
	least := quantity.Share(0)
	for _, b := range boards {
		if b.Moisture > 0 && (least == 0 || b.Moisture < least) {
			least = b.Moisture
		}
	}
	return least
}

// MostStored is the most energy that a break on a rig lets go; zero without loads.
func MostStored(rig string, loads []Load) quantity.Energy {
	most := quantity.Energy(0)
	for _, l := range loads {
		if l.Rig == rig {
			most = max(most, l.Stored)
		}
	}
	return most
}

func loadOf(r tracker.Rig, t tracker.Treatment, strength Strength, area quantity.Area) Load {
	l := Load{
		Rig: r.Name, Treatment: t.Key, State: t.State, Strength: strength, Area: area,
		Expected: quantity.Force(float64(strength.Shear) * float64(area)), Unknown: UnknownLimits(r),
	}
	l.Give, l.GiveStatus = GiveOf(r)
	l.Needed, l.Stored = Needed(l.Expected), Stored(l.Expected, l.Give)
	if part, ok := Weakest(r); ok {
		l.Weakest, l.WorkingLimit = part.Name, &part.WorkingLimit
		l.Suits = SuitingArea(part.WorkingLimit, strength.Shear)
	}
	l.onGauge(r)
	return l
}

// onGauge works out what the gauge will show.
func (l *Load) onGauge(r tracker.Rig) {
	if at, ok := ReadingAt(r, l.Expected); ok {
		l.Reading = &at
	}
	if at, ok := StopReading(r); ok {
		l.StopAt = &at
	}
	if span, ok := Span(r); ok {
		share := float64(l.Expected) / float64(span)
		l.GaugeShare = &share
	}
}
