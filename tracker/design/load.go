package design

import (
	"errors"
	"fmt"
	"math"
	"strconv"
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
	Stored         Energy            // let go at the break, with UsualGive
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

// Expectations are strengths that a person gives instead of the table's, each
// with its source. The narrowest counts: of a treatment, else of its state.
type Expectations struct {
	Dry, Wet    *Strength
	ByTreatment map[string]Strength // by the treatment's key
}

// Loads returns what every treatment asks of every rig, rigs first, in the
// order of the plan. Strength is the one given, else the table's for the
// species: green where the treatment is broken wet, otherwise at the moisture of
// the driest board (12 % where none is given), which asks the most.
//
// Where a strength cannot be known the loads of that treatment are left out
// and the error says why, each reason once; the others stand. Without a bond
// area there are none.
func Loads(s *tracker.Study, given Expectations) ([]Load, error) {
	area := quantity.Rectangle(s.Specimen.BondLength, s.Specimen.BondWidth)
	if !(area > 0) || len(s.Rigs) == 0 {
		return nil, nil
	}
	strengths, err := expectedStrengths(s, given)
	var loads []Load
	for _, r := range s.Rigs {
		for i, t := range s.Treatments {
			if strengths[i].Shear > 0 {
				loads = append(loads, loadOf(r, t, strengths[i], area))
			}
		}
	}
	return loads, err
}

// expectedStrengths returns one strength a treatment, zero where none is known.
func expectedStrengths(s *tracker.Study, given Expectations) ([]Strength, error) {
	strengths := make([]Strength, len(s.Treatments))
	var reasons []error
	told := map[string]bool{}
	for i, t := range s.Treatments {
		var err error
		if strengths[i], err = given.strength(s, t); err != nil && !told[err.Error()] {
			reasons, told[err.Error()] = append(reasons, err), true
		}
	}
	return strengths, errors.Join(reasons...)
}

func (e Expectations) strength(s *tracker.Study, t tracker.Treatment) (Strength, error) {
	byState := e.Dry
	if t.State == wet {
		byState = e.Wet
	}
	if own, ok := e.ByTreatment[t.Key]; ok {
		return own, nil
	}
	switch {
	case byState != nil:
		return *byState, nil
	case strings.TrimSpace(s.Wood.Species) == "":
		return Strength{}, errors.New("the plan names no wood, so the load of a break cannot be foreseen; add species to [wood], or " + giveShear)
	}
	return ShearOf(s.Wood.Species, t.State, driest(s.Wood.Boards))
}

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

func loadOf(r tracker.Rig, t tracker.Treatment, strength Strength, area quantity.Area) Load {
	l := Load{
		Rig: r.Name, Treatment: t.Key, State: t.State, Strength: strength, Area: area,
		Expected: quantity.Force(float64(strength.Shear) * float64(area)), Unknown: UnknownLimits(r),
	}
	l.Needed, l.Stored = Needed(l.Expected), Stored(l.Expected, UsualGive)
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

// LoadWarnings returns what is wrong between the loads and the rigs they
// belong to, rig by rig: parts too weak, limits not known, readings at the ends
// of the gauge. Each rig gets one warning of a rule, for the treatment that is
// worst, and those it holds for as well are named.
func LoadWarnings(loads []Load) []Warning {
	var w []Warning
	for len(loads) > 0 {
		n := 1
		for n < len(loads) && loads[n].Rig == loads[0].Rig {
			n++
		}
		w = append(w, rigWarnings(loads[:n])...)
		loads = loads[n:]
	}
	return w
}

func rigWarnings(loads []Load) []Warning {
	w := append(tooWeak(loads), unknownLimits(loads[0])...)
	for _, b := range []Band{BandBeyond, BandHigh, BandLow} {
		w = append(w, gaugeEnds(loads, b)...)
	}
	return w
}

// tooWeak compares the worst load with the weakest part.
func tooWeak(loads []Load) []Warning {
	worst, times, broken := Load{}, 1.0, []string{}
	for _, l := range loads {
		if n, ok := l.Times(); ok && n > 1 {
			broken = append(broken, l.Treatment)
			if n > times {
				worst, times = l, n
			}
		}
	}
	if len(broken) == 0 {
		return nil
	}
	text := fmt.Sprintf("the rig %q is too weak by a factor of %s (%s): a break of %s should need at most %.3g of what the %s may carry, %s",
		worst.Rig, figure(times, 2), strings.Join(broken, ", "), worst.force(worst.Expected), WorkingShare, worst.Weakest, worst.force(*worst.WorkingLimit))
	hint := fmt.Sprintf("it would take a limit of %s, or a bond of %s", worst.force(worst.Needed), worst.square(worst.Suits))
	return []Warning{{"rig-too-weak", "rig.parts", text, hint}}
}

func unknownLimits(l Load) []Warning {
	if len(l.Unknown) == 0 {
		return nil
	}
	text := fmt.Sprintf("the rig %q has no working limit for %s, and %s has to carry the break too", l.Rig, strings.Join(l.Unknown, ", "), those(len(l.Unknown)))
	hint := fmt.Sprintf("look for the rated load and add it; %s is needed, and a breaking strength is not a limit", l.force(l.Needed))
	return []Warning{{"limit-unknown", "rig.parts", text, hint}}
}

func those(n int) string {
	if n == 1 {
		return "it"
	}
	return "each of them"
}

// gaugeEnds warns of the treatments whose reading falls in one band.
func gaugeEnds(loads []Load, b Band) []Warning {
	var where []string
	for _, l := range loads {
		if l.Band() == b {
			where = append(where, fmt.Sprintf("%s at %s %%", l.Treatment, figure(100**l.GaugeShare, 2)))
		}
	}
	if len(where) == 0 {
		return nil
	}
	rule, hint := "gauge-high", "a gauge with a longer span, or a smaller bond"
	switch b {
	case BandBeyond:
		rule = "gauge-beyond"
	case BandLow:
		rule, hint = "gauge-low", "a gauge with a shorter span, or a larger bond"
	}
	text := fmt.Sprintf("the rig %q would be read %s of its span: %s", loads[0].Rig, map[Band]string{
		BandBeyond: "past the end", BandHigh: "over 85 %", BandLow: "under 15 %"}[b], strings.Join(where, ", "))
	return []Warning{{rule, "rig.gauge", text, hint + "; 25 to 75 % is best"}}
}

// inInches reports whether the rig's gauge is marked in inch units, in which its
// owner thinks.
func (l Load) inInches() bool {
	return l.Reading != nil && (l.Reading.Unit == "psi" || l.Reading.Unit == "lbf" || l.Reading.Unit == "US ton")
}

// force writes a force to three figures.
func (l Load) force(f quantity.Force) string {
	if l.inInches() {
		return figure(f.LBF(), 3) + " lbf"
	}
	return figure(f.KN(), 3) + " kN"
}

// square writes an area as the square that has it.
func (l Load) square(a quantity.Area) string {
	side, unit := math.Sqrt(a.MM2()), "mm"
	if l.inInches() {
		side, unit = math.Sqrt(a.IN2()), "in"
	}
	return fmt.Sprintf("%[1]s %[2]s x %[1]s %[2]s", figure(side, 2), unit)
}

// figure writes x to n significant figures, never with an exponent.
func figure(x float64, n int) string {
	return strconv.FormatFloat(figures(x, n), 'f', -1, 64)
}
