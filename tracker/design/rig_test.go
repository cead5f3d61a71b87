package design

import (
	"fmt"
	"strings"
	"testing"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// pressRig is the press of the example plan.
func pressRig() tracker.Rig {
	return tracker.Rig{
		Name: "press", RamArea: 15.94e-4,
		Gauge: tracker.Gauge{Span: quantity.Reading{Value: 25, Unit: "MPa"}, Division: quantity.Reading{Value: 0.2, Unit: "MPa"}},
		Parts: []tracker.Part{{Name: "frame", WorkingLimit: 98e3}, {Name: "shear tool", WorkingLimit: 50e3}},
	}
}

// frameRig is a pulling frame with a scale of 1000 lbf and a chain of unknown
// strength.
func frameRig(t *testing.T) tracker.Rig {
	t.Helper()
	return tracker.Rig{
		Name:  "frame",
		Gauge: tracker.Gauge{ReadsForce: true, Span: quantity.Reading{Value: 1000, Unit: "lbf"}, Division: quantity.Reading{Value: 5, Unit: "lbf"}},
		Parts: []tracker.Part{{Name: "scale", WorkingLimit: force(t, "1000 lbf")}, {Name: "chain"}},
	}
}

func force(t *testing.T, s string) quantity.Force {
	t.Helper()
	f, err := quantity.ParseForce(s)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// TestRigSums checks worked sums of a press with a ram of 15.94 cm2 (arithmetic
// of ours; the 0.6 is common practice, no published source).
func TestRigSums(t *testing.T) {
	near(t, "needed, kN", Needed(23.7e3).KN(), 39.5, 1e-9)
	near(t, "area for 30 kN and maple, mm2", SuitingArea(30e3, 16.1e6).MM2(), 1118, 0.5)
	near(t, "no shear", SuitingArea(30e3, 0).MM2(), 0, 0)
	at, ok := ReadingAt(pressRig(), 23.7e3)
	if !ok || at.Unit != "MPa" {
		t.Errorf("reading %v, %v", at, ok)
	}
	near(t, "expected reading, MPa", at.Value, 14.9, 0.05)
	near(t, "needed reading, MPa", at.Value/WorkingShare, 24.8, 0.05)
	span, _ := Span(pressRig())
	near(t, "span, kN", span.KN(), 39.85, 1e-9)
	if b := BandOf(23.7e3 / float64(span)); b != BandMiddle {
		t.Errorf("the expected reading is %v", b)
	}
}

// TestForceAndStress checks worked sums of the same press (arithmetic of ours).
func TestForceAndStress(t *testing.T) {
	near(t, "bore of 45.05 mm, cm2", quantity.Circle(0.04505).CM2(), 15.94, 0.005)
	f, err := quantity.Reading{Value: 10.3, Unit: "MPa"}.Force(15.94e-4)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "10.3 MPa, N", f.N(), 16418, 0.5)
	near(t, "10.3 MPa, lbf", f.LBF(), 3691, 0.5)
	bond := quantity.Rectangle(0.040, 0.045)
	near(t, "stress, MPa", quantity.Stress(f, bond).MPa(), 9.12, 0.005)
	near(t, "stress, psi", quantity.Stress(f, bond).PSI(), 1323, 0.5)
	division, _ := quantity.Reading{Value: 0.2, Unit: "MPa"}.Force(15.94e-4)
	near(t, "a division, N", division.N(), 319, 0.5)
	near(t, "a division, MPa", quantity.Stress(division, bond).MPa(), 0.18, 0.005)
}

func TestStopReading(t *testing.T) {
	if at, ok := StopReading(pressRig()); !ok || at.String() != "25 MPa" { // 50 kN would be 31.4 MPa
		t.Errorf("press: %v %v", at, ok)
	}
	weak := pressRig()
	weak.Parts[1].WorkingLimit = 30e3 // 18.82 MPa, down to a division of 0.2
	if at, ok := StopReading(weak); !ok || at.String() != "18.8 MPa" {
		t.Errorf("weak press: %v %v", at, ok)
	}
	if at, ok := StopReading(frameRig(t)); !ok || at.String() != "1000 lbf" {
		t.Errorf("frame: %v %v", at, ok)
	}
	if _, ok := StopReading(tracker.Rig{RamArea: 1e-3, Gauge: tracker.Gauge{Span: quantity.Reading{Value: 25, Unit: "MPa"}}, Parts: []tracker.Part{{Name: "jack"}}}); ok {
		t.Error("a stop without any limit known")
	}
	psi := tracker.Rig{RamArea: 2.47 * 0.0254 * 0.0254, Parts: []tracker.Part{{Name: "jack", WorkingLimit: force(t, "3 US ton")}}}
	psi.Gauge.Span = quantity.Reading{Value: 10000, Unit: "psi"}
	if at, ok := StopReading(psi); !ok || at.String() != "2420 psi" { // 6000 lbf / 2.47 in2 = 2429, down to three figures
		t.Errorf("psi: %v %v", at, ok)
	}
}

// TestDial: what is foreseen is told in the unit on the dial, whatever it is.
func TestDial(t *testing.T) {
	for _, unit := range []string{"MPa", "psi", "bar", "kgf/cm2", "lbf", "US ton", "kN", "t", "kgf"} {
		r := tracker.Rig{RamArea: 1e-3, Gauge: tracker.Gauge{Span: quantity.Reading{Value: 400, Unit: unit}}}
		at, ok := ReadingAt(r, 1000)
		back, _ := at.Force(r.RamArea)
		if !ok || at.Unit != unit {
			t.Errorf("a dial in %s shows %v", unit, at)
		}
		near(t, unit, back.N(), 1000, 0.5)
		r.Gauge.Division, r.Gauge.Span = r.Gauge.Span, quantity.Reading{}
		if again, _ := ReadingAt(r, 1000); again != at {
			t.Errorf("by its division in %s: %v", unit, again)
		}
	}
	if at, ok := ReadingAt(tracker.Rig{RamArea: 1e-3}, 1000); ok {
		t.Errorf("a dial of unknown unit shows %v", at)
	}
}

func TestBands(t *testing.T) {
	for share, want := range map[float64]Band{0.1499: BandLow, 0.15: BandUsable, 0.25: BandMiddle, 0.75: BandMiddle, 0.76: BandUsable, 0.85: BandUsable, 0.86: BandHigh, 1: BandHigh, 1.01: BandBeyond, -1: BandUnknown} {
		if got := BandOf(share); got != want {
			t.Errorf("%v: %v, want %v", share, got, want)
		}
	}
	span, _ := Span(pressRig())
	near(t, "15 % of 25 MPa", 0.15*float64(span)/15.94e-4/1e6, 3.75, 1e-9)
	near(t, "85 % of 25 MPa", 0.85*float64(span)/15.94e-4/1e6, 21.25, 1e-9)
}

// TestEnergy checks worked sums (arithmetic of ours; the give of 5 mm is common
// practice, no published source).
func TestEnergy(t *testing.T) {
	near(t, "25 kN with 5 mm, J", float64(Stored(25e3, UsualGive)), 62, 0.51)
	near(t, "strap of 2 kN stretched 60 mm, J", float64(Stored(2e3, 0.060)), 60, 1e-9)
}

// TestRate checks strokes of 2.0 cm3 on 15.94 cm2 against the head speed of
// ASTM D905 (5 mm/min).
func TestRate(t *testing.T) {
	ram, stroke := quantity.Area(15.94e-4), quantity.Volume(2e-6)
	near(t, "travel a stroke, mm", float64(stroke)/float64(ram)*1e3, 1.25, 0.005)
	near(t, "strokes a minute", Strokes(HeadSpeed, ram, stroke), 4, 0.05)
	near(t, "no stroke volume", Strokes(HeadSpeed, ram, 0), 0, 0)
	r := tracker.Rig{RamArea: ram, Stroke: stroke}
	near(t, "of a rig", StrokesOf(r), 4, 0.05)
	r.Rate = 2 * HeadSpeed
	near(t, "at its own rate", StrokesOf(r), 8, 0.1)
}

// A limit that somebody wrote in round numbers is told in round numbers, whatever the gauge reads.
func TestStopReadingIsRound(t *testing.T) {
	for _, unit := range []string{"lbf", "kN", "kgf", "US ton", "long ton", "t", "N"} {
		for n := 1; n <= 2000; n += 7 {
			limit, err := quantity.ParseForce(fmt.Sprint(n, " ", unit))
			if err != nil {
				t.Fatal(err)
			}
			rig := tracker.Rig{Gauge: tracker.Gauge{ReadsForce: true, Span: quantity.Reading{Value: 3000, Unit: unit}}, Parts: []tracker.Part{{Name: "frame", WorkingLimit: limit}}}
			for _, division := range []float64{0, 1, 0.1} {
				rig.Gauge.Division = quantity.Reading{Value: division, Unit: unit}
				at, ok := StopReading(rig)
				if _, digits, _ := strings.Cut(strings.Fields(at.String())[0], "."); !ok || len(digits) > 1 || at.Value > float64(n) {
					t.Errorf("%d %s in steps of %v: %s", n, unit, division, at)
				}
			}
		}
	}
}
