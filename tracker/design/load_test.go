package design

import (
	"errors"
	"strings"
	"testing"

	"soaktag/tracker"
)

// ash is the study of the example plan with its wood and its press.
func ash(rigs ...tracker.Rig) *tracker.Study {
	s := loft(4, 4)
	s.Wood.Species, s.Rigs = "white ash", rigs
	s.Treatments[0].State, s.Treatments[1].State = "dry", "wet"
	return s
}

// TestLoads checks worked sums: white ash, 1910 psi at 12 % (Wood Handbook table
// 5-3b), on 1800 mm2 with a ram of 15.94 cm2; the rest is arithmetic of ours and
// the 0.6 common practice, no published source.
func TestLoads(t *testing.T) {
	loads, err := Loads(ash(pressRig()), Expectations{})
	if err != nil || len(loads) != 2 {
		t.Fatalf("%d loads, %v", len(loads), err)
	}
	dry, soaked := loads[0], loads[1]
	near(t, "dry, kN", dry.Expected.KN(), 23.7, 0.05)
	near(t, "needed, kN", dry.Needed.KN(), 39.5, 0.05)
	near(t, "reading, MPa", dry.Reading.Value, 14.9, 0.05)
	near(t, "share of span", *dry.GaugeShare, 0.596, 0.005)
	near(t, "wet, kN", soaked.Expected.KN(), 9.308*1.8, 0.01)
	if dry.Weakest != "shear tool" || *dry.WorkingLimit != 50e3 || dry.StopAt.String() != "25 MPa" || len(dry.Unknown) != 0 {
		t.Errorf("dry: %+v", dry)
	}
	if dry.Band() != BandMiddle || soaked.Band() != BandMiddle || len(LoadWarnings(loads)) != 0 {
		t.Errorf("bands %v, %v; warnings %v", dry.Band(), soaked.Band(), LoadWarnings(loads))
	}
	near(t, "stored, J", float64(dry.Stored), 59, 0.5)
}

// TestDriestBoardAsksMost: at 9.6 % ash is stronger than at 12 %.
func TestDriestBoardAsksMost(t *testing.T) {
	s := ash(pressRig())
	s.Wood.Boards[1].Moisture, s.Wood.Boards[2].Moisture = 0.096, 0.11
	loads, err := Loads(s, Expectations{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "dry at 9.6 %, kN", loads[0].Expected.KN(), 25.4, 0.05)
	near(t, "wet, kN", loads[1].Expected.KN(), 9.308*1.8, 0.01)
}

// TestFrameTooWeak: a first-timer's frame with a scale of 1000 lbf and a bond of
// 3 in2 in white ash is too weak by a factor of ten, and says so in pounds.
func TestFrameTooWeak(t *testing.T) {
	s := ash(frameRig(t))
	s.Specimen.BondLength, s.Specimen.BondWidth = 1.5*0.0254, 2*0.0254
	loads, err := Loads(s, Expectations{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "dry, lbf", loads[0].Expected.LBF(), 1910*3, 1e-6)
	times, _ := loads[0].Times()
	near(t, "times", times, 9.55, 1e-9)
	rules := map[string]Warning{}
	for _, w := range LoadWarnings(loads) {
		rules[w.Rule] = w
	}
	weak := rules["rig-too-weak"]
	for _, want := range []string{`"frame"`, "a factor of 9.6", "5730 lbf", "scale", "1000 lbf", "dry, soaked"} {
		if !strings.Contains(weak.Text, want) {
			t.Errorf("%q does not say %q", weak.Text, want)
		}
	}
	if !strings.Contains(weak.Hint, "9550 lbf") || !strings.Contains(weak.Hint, "0.56 in x 0.56 in") {
		t.Errorf("hint %q", weak.Hint)
	}
	if w := rules["limit-unknown"]; !strings.Contains(w.Text, "chain") {
		t.Errorf("unknown limit: %+v", w)
	}
	if w := rules["gauge-beyond"]; !strings.Contains(w.Text, "past the end") || !strings.Contains(w.Text, "dry at 570 %") {
		t.Errorf("gauge: %+v", w)
	}
}

func TestGaugeLow(t *testing.T) {
	r := pressRig()
	r.Gauge.SpanPressure, r.Gauge.DivisionPressure = 100e6, 1e6
	loads, _ := Loads(ash(r), Expectations{})
	w := LoadWarnings(loads)
	if len(w) != 1 || w[0].Rule != "gauge-low" || !strings.Contains(w[0].Text, "dry at 15 %, soaked at 11 %") {
		t.Errorf("%+v", w)
	}
}

// TestGiven: what the person gives with its source comes first, the narrowest
// of all; only then is the species looked up.
func TestGiven(t *testing.T) {
	s := ash(pressRig())
	s.Wood.Species = "bubinga"
	given := Expectations{Dry: &Strength{Shear: 15e6, Source: "own trial of May", Status: FromPlan}}
	loads, err := Loads(s, given)
	var unknown *UnknownWood
	if len(loads) != 1 || !errors.As(err, &unknown) {
		t.Fatalf("%+v, %v", loads, err)
	}
	near(t, "given, kN", loads[0].Expected.KN(), 27, 1e-9)
	given.ByTreatment = map[string]Strength{"soaked": {Shear: 5e6, Source: "a table", Status: FromPlan}}
	if loads, err = Loads(s, given); err != nil || len(loads) != 2 || loads[1].Strength.Source != "a table" {
		t.Errorf("%+v, %v", loads, err)
	}
	s.Wood.Species = ""
	if _, err := Loads(s, Expectations{}); err == nil || !strings.Contains(err.Error(), "names no wood") || strings.Contains(err.Error(), "\n") {
		t.Errorf("no wood: %v", err)
	}
}

func TestNoRigNoLoad(t *testing.T) {
	if loads, err := Loads(ash(), Expectations{}); loads != nil || err != nil {
		t.Errorf("%v, %v", loads, err)
	}
	bare := tracker.Rig{Name: "press", Gauge: tracker.Gauge{}}
	loads, err := Loads(ash(bare), Expectations{})
	if err != nil || loads[0].GaugeShare != nil || loads[0].WorkingLimit != nil || loads[0].StopAt != nil || loads[0].Reading != nil {
		t.Errorf("%+v, %v", loads, err)
	}
	if w := LoadWarnings(loads); len(w) != 0 {
		t.Errorf("%+v", w)
	}
}
