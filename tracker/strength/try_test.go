package strength_test

import (
	"math"
	"testing"

	"soaktag/tracker"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
)

func TestOneTryMeansWhatResultsSay(t *testing.T) {
	for _, c := range []struct {
		name  string
		try   tracker.Try
		bound stat.Bound
		mpa   float64
	}{
		{"the bond gave way", tracker.Try{Rig: "press", Reading: "10 MPa", How: tracker.Separated}, stat.Exact, 8.856},
		{"just under the limit", tracker.Try{Rig: "press", Reading: "10 MPa", How: tracker.Separated, WoodFailure: ptr(79.9)}, stat.Exact, 8.856},
		{"the wood gave way", tracker.Try{Rig: "press", Reading: "10 MPa", How: tracker.Separated, WoodFailure: ptr(95)}, stat.AtLeast, 8.856},
		{"stopped", tracker.Try{Rig: "press", Reading: "10 MPa", How: tracker.Stopped}, stat.AtLeast, 8.856},
		{"force", tracker.Try{Reading: "18 kN", How: tracker.Separated}, stat.Exact, 10},
	} {
		life := block(1, "RF", "dry")
		got, err := strength.OfTry(loft(), life, c.try)
		if err != nil || got.Bound != c.bound || math.Abs(got.Stress.MPa()-c.mpa) > 5e-4 {
			t.Errorf("%s: %v %v, %v; want %v %v", c.name, got.Bound, got.Stress.MPa(), err, c.bound, c.mpa)
		}
		life.Tries = []tracker.TryAt{{Try: c.try}}
		if s := strength.Of(loft(), life); s.Bound != got.Bound || *s.ShearMPa != got.Stress.MPa() {
			t.Errorf("%s: results say %v %v", c.name, s.Bound, *s.ShearMPa)
		}
	}
	if got, err := strength.OfTry(loft(), nil, tracker.Try{Reading: "18 kN", How: tracker.Separated}); err != nil || got.Stress != 0 || got.Force.N() != 18000 {
		t.Errorf("without a life: %+v, %v", got, err)
	}
	if _, err := strength.OfTry(loft(), nil, tracker.Try{Rig: "unknown", Reading: "9 MPa", How: tracker.Separated}); err == nil {
		t.Error("a pressure on an unknown rig is a force")
	}
}
