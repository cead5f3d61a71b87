package design

import (
	"strings"
	"testing"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// TestLift checks worked sums: four specimens of 86.4 cm3 in wood of 680 kg/m3
// (arithmetic of ours; twice the lift is common practice, no published source).
func TestLift(t *testing.T) {
	blank := VolumeOf(tracker.Box{Length: 0.048, Width: 0.045, Thickness: 0.020})
	near(t, "specimen, cm3", (2 * blank).CM3(), 86.4, 1e-9)
	lift := Lift(8*blank, 680)
	near(t, "lift, kg", lift.KG(), 0.110, 0.0005)
	near(t, "lift, N", lift.KG()*9.80665, 1.08, 0.005)
	for name, c := range map[string]struct{ density, want float64 }{"steel": {float64(SteelDensity), 0.25}, "granite": {2650, 0.35}} {
		got, err := Ballast(lift, quantity.Density(c.density))
		if err != nil {
			t.Error(err)
		}
		near(t, name+", kg", got.KG(), c.want, 0.005)
	}
	near(t, "single steel, kg", lift.KG()/(1-998.0/7850), 0.126, 0.0005)
	near(t, "single granite, kg", lift.KG()/(1-998.0/2650), 0.176, 0.0005)
	near(t, "wood that sinks", Lift(8*blank, 1190).KG(), 0, 0)
	if _, err := Ballast(lift, 680); err == nil || !strings.Contains(err.Error(), "floats") {
		t.Errorf("ballast of wood: %v", err)
	}
}

// TestWater: 5 volumes of water to 1 of wood (EN 84; its example, 100 ml to
// 50 x 25 x 15 mm, is 5.3).
func TestWater(t *testing.T) {
	near(t, "water, L", (WaterRatio*quantity.Volume(346e-6)).CM3()/1e3, 1.73, 1e-9)
	near(t, "EN 84 example", 100/VolumeOf(tracker.Box{Length: 0.050, Width: 0.025, Thickness: 0.015}).CM3(), 5.3, 0.05)
}

// TestCeiling: Wood Handbook chapter 4, from memory; ash of G 0.55.
func TestCeiling(t *testing.T) {
	near(t, "most moisture, %", MaxMoisture(0.55).Percent(), 117, 0.5)
	for _, g := range []float64{0, -1, 2} {
		near(t, "no such wood", float64(MaxMoisture(g)), 0, 0)
	}
}

// TestEquilibrium checks equation 4-5 of the Wood Handbook (coefficients from
// memory) against points that were read: 60 C 55 % 8.4, 21.1 C 25 % 5.3 and 60 %
// 11.1; and against worked sums for the two standard climates.
func TestEquilibrium(t *testing.T) {
	for _, c := range []struct{ c, h, want, within float64 }{
		{60, 0.55, 8.4, 0.05}, {21.1, 0.25, 5.4, 0.05}, {21.1, 0.60, 11.0, 0.05}, {20, 0.65, 12.0, 0.05}, {23, 0.50, 9.2, 0.05},
		{21.1, 0.25, 5.3, 0.15}, {21.1, 0.60, 11.1, 0.15}, {20, 0, 0, 1e-12},
	} {
		m, err := EquilibriumMoisture(quantity.Temperature(c.c), quantity.Share(c.h))
		if err != nil {
			t.Error(err)
		}
		near(t, "moisture, %", m.Percent(), c.want, c.within)
	}
	for _, h := range []quantity.Share{-0.1, 1.1} {
		if _, err := EquilibriumMoisture(20, h); err == nil {
			t.Errorf("humidity of %v passes", h)
		}
	}
}

// TestWaterChanges: nine changes in 14 d, at the end of days 1 and 2 and seven
// more (EN 84).
func TestWaterChanges(t *testing.T) {
	const day = 24 * time.Hour
	at := WaterChanges(14 * day)
	if len(at) != 9 || at[0] != day || at[1] != 2*day || at[8] >= 14*day {
		t.Errorf("14 d: %v", at)
	}
	if n := len(WaterChanges(day)); n != 0 {
		t.Errorf("one day wants %d changes", n)
	}
}

func TestBaths(t *testing.T) {
	s := loft(4, 4)
	s.Wood.Species = "white ash"
	d, err := BlankDensity(s)
	if err != nil || d.Status != Confirmed || !strings.Contains(d.Source, "Ash, White") {
		t.Fatal(d, err)
	}
	near(t, "density", d.Density.KGM3(), 672, 1e-9)
	s.Wood.Density = 680
	baths := Baths(s)
	if len(baths) != 6 || baths[0].Name != "B1" || baths[0].Specimens != 4 {
		t.Fatalf("%+v", baths)
	}
	near(t, "wood, cm3", baths[0].Wood.CM3(), 345.6, 1e-9)
	near(t, "water, L", baths[0].Water.CM3()/1e3, 1.73, 0.005)
	near(t, "lift, kg", baths[0].Lift.KG(), 0.110, 0.0005)
	near(t, "steel, kg", baths[0].Steel.KG(), 0.25, 0.005)
	if c := ConfoundingOf(baths); c.Own != 6 || len(c.Shared) != 0 {
		t.Errorf("a bath each: %+v", c)
	}
	for i := range s.Adhesives {
		s.Adhesives[i].Bath = "tub"
	}
	if c := ConfoundingOf(Baths(s)); c.Own != 0 || len(c.Shared) != 1 || c.Shared[0].Name != "tub" {
		t.Errorf("one bath: %+v", c)
	}
	s.Treatments = s.Treatments[:1]
	if baths := Baths(s); baths != nil {
		t.Errorf("nothing soaked: %+v", baths)
	}
}

func TestBlankDensity(t *testing.T) {
	s := &tracker.Study{Wood: tracker.Wood{Species: "bath sponge", Density: 650}}
	if d, err := BlankDensity(s); err != nil || d.Density != 650 || d.Status != FromPlan {
		t.Errorf("given: %v %v", d, err)
	}
	s.Wood.Density = 0
	if _, err := BlankDensity(s); err == nil {
		t.Error("an unknown wood has a density")
	}
	s.Wood = tracker.Wood{Species: "white ash", Boards: []tracker.Board{{Moisture: 0.08}, {Moisture: 0.10}, {}}}
	d, _ := BlankDensity(s)
	near(t, "at 9 %", d.Density.KGM3(), 1000*0.6*1.09, 1e-9)
}
