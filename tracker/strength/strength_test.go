package strength_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

func try(how tracker.How, reading string, wood *float64) tracker.TryAt {
	return tracker.TryAt{Try: tracker.Try{Rig: "press", How: how, Reading: reading, WoodFailure: wood}}
}

// aside is a try that another was accepted in the place of.
func aside(t tracker.TryAt) tracker.TryAt {
	t.Aside = true
	return t
}

// block is a specimen with a bond of 40 x 45 mm and the tries given.
func block(serial int, adhesive, treatment string, tries ...tracker.TryAt) *tracker.Life {
	return &tracker.Life{State: map[string]string{"dry": "dry", "soaked": "wet"}[treatment], BondLength: 0.04, BondWidth: 0.045, Tries: tries,
		Specimen: tracker.Specimen{Code: labels.New("HBR", serial), Adhesive: adhesive, Treatment: treatment, Board: "A"}}
}

// How a try ended decides what its number means. Common practice, and the
// study's own rule of 80 % wood failure; no published source.
func TestOutcomes(t *testing.T) {
	for _, c := range []struct {
		name  string
		life  *tracker.Life
		want  strength.Outcome
		bound stat.Bound
		mpa   float64 // -1: none
	}{
		{"broke", block(1, "RF", "dry", try(tracker.Separated, "10 MPa", ptr(79.9))), strength.Broke, stat.Exact, 8.856},
		{"at the limit", block(1, "RF", "dry", try(tracker.Separated, "10 MPa", ptr(80))), strength.WoodLimited, stat.AtLeast, 8.856},
		{"not judged", block(1, "RF", "dry", try(tracker.Separated, "10 MPa", nil)), strength.Broke, stat.Exact, 8.856},
		{"first separated", block(1, "RF", "dry", try(tracker.Separated, "10 MPa", nil), try(tracker.Separated, "5 MPa", nil)), strength.Broke, stat.Exact, 8.856},
		{"first fell apart", block(1, "RF", "dry", try(tracker.FellApart, "", nil), try(tracker.Separated, "5 MPa", nil)), strength.FellApart, stat.Zero, 0},
		{"another accepted", block(1, "RF", "dry", aside(try(tracker.Separated, "10 MPa", nil)), try(tracker.Separated, "5 MPa", nil)), strength.Broke, stat.Exact, 4.428},
		{"after a weak rig", block(1, "RF", "dry", try(tracker.FixtureGave, "12 MPa", nil), try(tracker.Separated, "5 MPa", nil)), strength.Broke, stat.Exact, 4.428},
		{"highest", block(1, "RF", "dry", try(tracker.PressLimit, "5 MPa", nil), try(tracker.Slipped, "10 MPa", nil), try(tracker.Stopped, "1 MPa", nil)), strength.Slipped, stat.AtLeast, 8.856},
		{"highest by force", block(1, "RF", "dry", try(tracker.PressLimit, "1 kN", nil), try(tracker.Stopped, "1 MPa", nil)), strength.Stopped, stat.AtLeast, 0.8856},
		{"force", block(1, "RF", "dry", try(tracker.Separated, "18 kN", nil)), strength.Broke, stat.Exact, 10},
		{"bottomed out", block(1, "RF", "dry", try(tracker.BottomedOut, "10 MPa", nil)), strength.NoneYet, stat.None, -1},
		{"fell apart", block(1, "RF", "dry", try(tracker.FellApart, "", nil)), strength.FellApart, stat.Zero, 0},
		{"no tries", block(1, "RF", "dry"), strength.NoneYet, stat.None, -1},
		{"no reading", block(1, "RF", "dry", try(tracker.Separated, "", nil)), strength.Broke, stat.None, -1},
		{"bare ton", block(1, "RF", "dry", try(tracker.Separated, "2 ton", nil)), strength.Broke, stat.None, -1},
	} {
		s := strength.Of(loft(), c.life)
		got := -1.0
		if s.ShearMPa != nil {
			got = *s.ShearMPa
		}
		if s.Outcome != c.want || s.Bound != c.bound || math.Abs(got-c.mpa) > 5e-4 {
			t.Errorf("%s: %s %s %v, want %s %s %v", c.name, s.Outcome, s.Bound, got, c.want, c.bound, c.mpa)
		}
	}
}

func TestEndingsAreLeftOut(t *testing.T) {
	for end, want := range map[tracker.Ending]strength.Outcome{tracker.Lost: strength.Lost, tracker.Damaged: strength.Damaged, tracker.Withdrawn: strength.Withdrawn} {
		l := block(1, "RF", "dry", try(tracker.Separated, "10 MPa", nil))
		l.End = end
		r := strength.Sums(loft(), []*tracker.Life{l, block(2, "RF", "dry", try(tracker.Separated, "9 MPa", nil))}, nil)
		if r.Specimens[0].Outcome != want || r.Groups[0].LeftOut != 1 || r.Groups[0].N != 2 || len(r.Groups) != 1 {
			t.Errorf("%s: %+v %+v", end, r.Specimens[0], r.Groups)
		}
	}
}

// Faces supersede what was judged at the break, by the mean of the halves.
func TestFacesSupersedeTheBreak(t *testing.T) {
	l := block(1, "RF", "dry", try(tracker.Separated, "10 MPa", ptr(100)))
	if s := strength.Of(loft(), l); !s.Provisional || s.Outcome != strength.WoodLimited {
		t.Errorf("before faces: %+v", s)
	}
	l.Halves = [2]*tracker.Faces{{WoodFailure: 60, Mode: "mixed"}}
	if s := strength.Of(loft(), l); !s.HalfRead() || s.Outcome != strength.WoodLimited || *s.WoodFailure != 100 {
		t.Errorf("one half read: %+v, wood %v", s, *s.WoodFailure)
	}
	l.Tries[0].WoodFailure = nil
	if s := strength.Of(loft(), l); !s.HalfRead() || *s.WoodFailure != 60 || s.Mode != "mixed" {
		t.Errorf("one half read, nothing judged at the press: %+v, wood %v", s, *s.WoodFailure)
	}
	l.Tries[0].WoodFailure = ptr(100)
	l.Halves = [2]*tracker.Faces{{WoodFailure: 90, Mode: "SF"}, {WoodFailure: 60, Mode: "mixed"}}
	s := strength.Of(loft(), l)
	if s.Provisional || s.Outcome != strength.Broke || *s.WoodFailure != 75 || s.Mode != "SF, mixed" {
		t.Errorf("after faces: %+v, wood %v", s, *s.WoodFailure)
	}
}

// Worked example of the uncertainty, by hand: gauge 0 to 25 MPa, class 1.6 %,
// division 0.2, area 1 %, friction 3 %; 6.1 % at 10.3 MPa, 24 % at 2.0 MPa.
// Source of the method: JCGM 100:2008.
func TestUncertaintyOfTheWorkedExample(t *testing.T) {
	study := loft()
	study.Rigs[0].Gauge.AreaError, study.Rigs[0].Gauge.Friction = 0.01, 0.03
	for reading, want := range map[string]string{"10.3 MPa": "6.1", "2.0 MPa": "23.6"} {
		s := strength.Of(study, block(1, "RF", "dry", try(tracker.Separated, reading, nil)))
		if got := fmt.Sprintf("%.1f", 100**s.PlusMinus / *s.ShearMPa); got != want {
			t.Errorf("%s: %s %%, want %s", reading, got, want)
		}
	}
	study.Rigs[0].Gauge.Class = 0
	if s := strength.Of(study, block(1, "RF", "dry", try(tracker.Separated, "9 MPa", nil))); s.PlusMinus != nil {
		t.Error("an unknown class has an uncertainty")
	}
}

// A measured bond carries what the plan says of measuring it and of the caliper; one that
// was not measured, a rule's half millimetre. By hand at 10.3 MPa as above, in %: gauge
// 3.88, needle 0.49, friction 3, area 1, on each side of 40 and 45 mm 0.25 and 0.22 for
// measuring, 0.05 and 0.04 for the caliper; 2 sqrt(sum of squares / 3) = 5.8.
func TestUncertaintyOfAMeasuredBond(t *testing.T) {
	study := loft()
	study.Rigs[0].Gauge.AreaError, study.Rigs[0].Gauge.Friction = 0.01, 0.03
	study.Specimen.MeasuredWithin, study.Specimen.Caliper = 0.1e-3, 0.02e-3
	l := block(1, "RF", "dry", try(tracker.Separated, "10.3 MPa", nil))
	for _, c := range []struct {
		nominal bool
		want    string
	}{{false, "5.8"}, {true, "6.1"}} {
		l.Nominal = c.nominal
		s := strength.Of(study, l)
		if got := fmt.Sprintf("%.1f", 100**s.PlusMinus / *s.ShearMPa); got != c.want {
			t.Errorf("nominal %v: %s %%, want %s", c.nominal, got, c.want)
		}
	}
}

// A reading past the end of the gauge is said to be that, once, and not merely
// to be high on it. The gauge here ends at 25 MPa.
func TestAReadingOverTheGauge(t *testing.T) {
	for reading, want := range map[string]string{"25.1 MPa": "over the gauge: 25.1 MPa is over the gauge's span", "25 MPa": "high on the gauge: 25 MPa is over 85 % of the gauge's span",
		"21.25 MPa": "", "3.7 MPa": "low on the gauge: 3.7 MPa is under 15 % of the gauge's span"} {
		got := ""
		for _, m := range strength.Of(loft(), block(1, "RF", "dry", try(tracker.Separated, reading, nil))).Marks {
			got += m.Rule + ": " + wording.StrengthMark(m)
		}
		if got != want {
			t.Errorf("%s: marks %q, want %q", reading, got, want)
		}
	}
	l := block(1, "RF", "dry", try(tracker.Separated, "28 MPa", nil))
	l.Marks = []tracker.Mark{{Rule: "over the gauge"}}
	if s := strength.Of(loft(), l); len(s.Marks) != 1 {
		t.Errorf("marked twice: %+v", s.Marks)
	}
}

// Pounds and inches come to the same stress as newtons and millimetres.
func TestUnitsDoNotMatter(t *testing.T) {
	a := strength.Of(loft(), block(1, "RF", "dry", try(tracker.Separated, "10 MPa", nil)))
	psi := fmt.Sprintf("%.12f psi", quantity.Pressure(10e6).PSI())
	lbf := fmt.Sprintf("%.12f lbf", quantity.Force(*a.ForceN).LBF())
	for _, reading := range []string{psi, lbf, "100 bar"} {
		b := strength.Of(loft(), block(1, "RF", "dry", try(tracker.Separated, reading, nil)))
		if math.Abs(*a.ShearMPa / *b.ShearMPa - 1) > 1e-9 {
			t.Errorf("%s: %v, want %v", reading, *b.ShearMPa, *a.ShearMPa)
		}
	}
}

// Doubling the ram area doubles every strength and changes no ratio; the
// order of the specimens changes nothing.
func TestScaleAndOrderDoNotMatter(t *testing.T) {
	lives := demoLives(t)
	a := strength.Sums(loft(), lives, nil)
	study := loft()
	study.Rigs[0].RamArea *= 2
	for i, j := 0, len(lives)-1; i < j; i, j = i+1, j-1 {
		lives[i], lives[j] = lives[j], lives[i]
	}
	b := strength.Sums(study, lives, nil)
	for i := range a.Groups {
		if math.Abs(*b.Groups[i].MeanSurvivors / *a.Groups[i].MeanSurvivors - 2) > 1e-9 {
			t.Errorf("group %d does not double", i)
		}
	}
	for i := range a.Retention {
		if math.Abs(*b.Retention[i].Low / *a.Retention[i].Low - 1) > 1e-9 || math.Abs(*b.Retention[i].PairedHigh / *a.Retention[i].PairedHigh - 1) > 1e-9 {
			t.Errorf("retention %d changes with scale", i)
		}
	}
	for i := range a.Comparisons {
		if math.Abs(*b.Comparisons[i].Ratio / *a.Comparisons[i].Ratio - 1) > 1e-9 || a.Comparisons[i].ToldApart != b.Comparisons[i].ToldApart {
			t.Errorf("comparison %d changes with scale", i)
		}
	}
}

// One specimen each: no interval, a warning, no letters, one of four boxes.
func TestOneEachGetsABox(t *testing.T) {
	lives := []*tracker.Life{
		block(1, "RF", "soaked", try(tracker.Separated, "9 MPa", ptr(95))),
		block(2, "UF", "soaked", try(tracker.Separated, "7 MPa", ptr(5))),
		block(3, "CAS", "soaked", try(tracker.FellApart, "", nil)),
		block(4, "EPX", "soaked", try(tracker.FixtureGave, "7 MPa", nil)),
		block(5, "CAS", "dry", try(tracker.Separated, "9 MPa", ptr(5))),
	}
	lives[2].Tries[0].Rig = ""
	r := strength.Sums(loft(), lives, nil)
	for i, want := range []strength.Box{strength.BoxWoodBroke, strength.BoxBondBroke, strength.BoxFellApart, strength.BoxNoAnswer} {
		if got := strength.BoxOf(r.Specimens[i]); got != want {
			t.Errorf("specimen %d: %s, want %s", i+1, got, want)
		}
	}
	if len(r.Letters) != 0 {
		t.Errorf("letters %v", r.Letters)
	}
	for _, g := range r.Groups {
		if g.Low != nil || g.SD != nil || len(g.Warnings) == 0 {
			t.Errorf("%s: %+v", g.Adhesive, g)
		}
	}
	if len(r.Retention) != 1 || *r.Retention[0].Ratio != 0 || r.Retention[0].Comparable || r.Retention[0].Low != nil {
		t.Errorf("retention of a zero: %+v", r.Retention)
	}
}

// Across rigs the numbers stand and are not comparable; states are not pooled.
func TestRigsAndStatesAreConditions(t *testing.T) {
	var lives []*tracker.Life
	for i := range 4 {
		d := block(i+1, "RF", "dry", try(tracker.Separated, fmt.Sprintf("%d kN", 20+i), nil))
		d.Tries[0].Rig = "jig"
		w := block(i+11, "RF", "soaked", try(tracker.Separated, fmt.Sprintf("%d MPa", 8+i), nil))
		if i == 3 {
			w.Tries[0].State = "re-dried"
		}
		lives = append(lives, d, w)
	}
	r := strength.Sums(loft(), lives, nil)
	if len(r.Groups) != 3 || r.Groups[2].State != "re-dried" {
		t.Fatalf("%d groups: %+v", len(r.Groups), r.Groups)
	}
	x := r.Retention[0]
	if x.Ratio == nil || x.Comparable || !strings.Contains(strings.Join(reasons(x.Reasons), ";"), "different rigs") || !strings.Contains(strings.Join(reasons(x.Reasons), ";"), "1 more") {
		t.Errorf("retention: %+v", x)
	}
}

// One specimen on another rig is left out with a word, of retention and of
// comparisons alike; what is left stands.
func TestWhatIsLeftOutIsSaid(t *testing.T) {
	var lives []*tracker.Life
	for i := range 4 {
		for k, adhesive := range []string{"RF", "UF"} {
			reading := fmt.Sprintf("%d MPa", 8+i+4*k)
			lives = append(lives, block(20*k+2*i+1, adhesive, "dry", try(tracker.Separated, reading, nil)),
				block(20*k+2*i+2, adhesive, "soaked", try(tracker.Separated, reading, nil)))
		}
	}
	last := block(19, "RF", "soaked", try(tracker.Separated, "20 kN", nil))
	last.Tries[0].Rig = "jig"
	r := strength.Sums(loft(), append(lives, last), nil)
	want := []string{"1 more of RF soaked was broken on another rig and is left out"}
	for _, x := range r.Retention {
		if !x.Comparable || x.Adhesive == "RF" && !slices.Equal(reasons(x.Reasons), want) || x.Adhesive != "RF" && len(x.Reasons) > 0 {
			t.Errorf("retention of %s: comparable %v, %q", x.Adhesive, x.Comparable, reasons(x.Reasons))
		}
	}
	for _, c := range r.Comparisons {
		if !c.Comparable || c.Treatment == "soaked" && !slices.Equal(reasons(c.Reasons), want) || c.Treatment == "dry" && len(c.Reasons) > 0 {
			t.Errorf("%s and %s %s: comparable %v, %q", c.A, c.B, c.Treatment, c.Comparable, reasons(c.Reasons))
		}
	}
	if len(r.Retention) != 2 || len(r.Comparisons) != 2 {
		t.Errorf("%d retentions, %d comparisons", len(r.Retention), len(r.Comparisons))
	}
}

// An adhesive that only looks weaker because its wood broke shares a letter
// with the stronger one, although the readings are told apart.
func TestAWoodLimitedLoserSharesALetter(t *testing.T) {
	for wood, same := range map[float64]bool{0: false, 90: true} {
		var lives []*tracker.Life
		for i := range 4 {
			lives = append(lives, block(i+1, "RF", "dry", try(tracker.Separated, fmt.Sprintf("%d kN", 30+i), ptr(0))),
				block(i+11, "UF", "dry", try(tracker.Separated, fmt.Sprintf("%d kN", 10+i), ptr(wood))))
		}
		r := strength.Sums(loft(), lives, nil)
		if l := r.Letters["dry"]; (l["RF"] == l["UF"]) != same || !r.Comparisons[0].ToldApart {
			t.Errorf("wood failure %v: letters %v, %+v", wood, l, r.Comparisons)
		}
	}
}

// Drift: soak differing, or age of the control, stands beside the number. A
// group that soaked longer and won, won; unless it cures in water.
func TestDriftMakesGroupsUnequal(t *testing.T) {
	drift := func(adhesive string) []tracker.IntervalDrift {
		week := schedule.Planned{Kind: schedule.Target, Length: 168 * time.Hour, Early: 4 * time.Hour, Late: 4 * time.Hour}
		soak := tracker.IntervalDrift{Interval: "soak", Planned: week}
		for _, a := range loft().Adhesives {
			by := time.Duration(0)
			if a.Key == adhesive {
				by = 30 * time.Hour
			}
			soak.Specimens = append(soak.Specimens, tracker.SpecimenDrift{Of: tracker.Specimen{Adhesive: a.Key, Treatment: "soaked"}, Planned: week,
				Lo: week.Length + by, Hi: week.Length + by, Drift: by, Known: true, Done: true})
		}
		return []tracker.IntervalDrift{soak.Within(loft(), "soaked"),
			{Interval: "age", Judged: true, Specimens: []tracker.SpecimenDrift{{Of: tracker.Specimen{Adhesive: adhesive, Treatment: "dry"},
				Done: true, Verdict: schedule.CannotTell}}},
		}
	}
	r := strength.Sums(loft(), demoLives(t), drift("RF"))
	for _, x := range r.Retention {
		if x.Comparable != (x.Adhesive != "RF") || (x.Adhesive == "RF" && len(x.Reasons) != 2) {
			t.Errorf("%s comparable %v: %v", x.Adhesive, x.Comparable, reasons(x.Reasons))
		}
	}
	for _, c := range r.Comparisons {
		apart := c.A != "RF" || c.B != "EPX" // their own scatters do not show it
		if c.Treatment == "soaked" && c.Comparable != apart {
			t.Errorf("%s, %s: %v although the one soaked longer won", c.A, c.B, reasons(c.Reasons))
		}
		said := slices.Equal(reasons(c.Reasons), []string{"RF soaked longer (+1 d 6 h) and still won: the comparison stands"})
		if won := c.Treatment == "soaked" && (c.A == "RF" || c.B == "RF") && apart; said != won || !said && len(c.Reasons) > 0 && (apart || c.Treatment == "dry") {
			t.Errorf("%s, %s %s: reasons %q", c.A, c.B, c.Treatment, reasons(c.Reasons))
		}
	}
	won := "soaked: RF soaked 1 d 6 h longer than the others and still came out above CAS, UF, PVA and PUR: that stands, any other comparison with it does not"
	if !slices.Contains(findings(r), won) {
		t.Errorf("%q is not among %q", won, findings(r))
	}
	r = strength.Sums(loft(), demoLives(t), drift("PUR"))
	for _, c := range r.Comparisons {
		if c.Treatment == "soaked" && c.Comparable == (c.A == "PUR" || c.B == "PUR") {
			t.Errorf("%s, %s comparable %v: %v", c.A, c.B, c.Comparable, reasons(c.Reasons))
		}
	}
	if _, has := r.Letters["soaked"]["PUR"]; has {
		t.Error("an adhesive treated otherwise has letters")
	}
}

// JSON has null for what is not known, and never null for a list.
func TestJSONHasNoNullLists(t *testing.T) {
	for _, lives := range [][]*tracker.Life{nil, demoLives(t), {block(1, "RF", "dry")}} {
		text, err := json.Marshal(tables.NewResults(loft(), strength.Sums(loft(), lives, nil)))
		if err != nil {
			t.Fatal(err)
		}
		for _, list := range []string{"specimens", "groups", "retention", "comparisons", "letters", "marks", "warnings", "reasons", "pairs_left_out"} {
			if bytes.Contains(text, []byte(`"`+list+`":null`)) {
				t.Errorf("%s is null in %s", list, text)
			}
		}
	}
}

// Whatever is typed as reading and wood failure, nothing panics and JSON can
// be written, which it cannot with a NaN.
func FuzzSums(f *testing.F) {
	f.Add("10 MPa", 50.0, "separated")
	f.Add("1e308 MPa", math.NaN(), "stopped")
	f.Add("0 psi", 100.0, "fell apart")
	f.Fuzz(func(t *testing.T, reading string, wood float64, how string) {
		lives := []*tracker.Life{block(1, "RF", "dry", try(tracker.How(how), reading, &wood)), block(2, "RF", "soaked", try("separated", reading, &wood)),
			block(3, "UF", "soaked", try("separated", "3 MPa", nil)), block(4, "UF", "soaked", try("separated", "4 MPa", nil))}
		if _, err := json.Marshal(tables.NewResults(loft(), strength.Sums(loft(), lives, nil))); err != nil {
			t.Error(err)
		}
	})
}
