package design

import (
	"math"
	"testing"
	"time"

	"soaktag/tracker/quantity"
)

// TestClampSums checks worked sums (arithmetic of ours).
func TestClampSums(t *testing.T) {
	bond := quantity.Area(1800e-6)
	near(t, "3.0 kN on 1800 mm2, MPa", quantity.Stress(3000, bond).MPa(), 1.67, 0.005)
	near(t, "1.2 MPa, kN", ClampForce(1.2e6, bond).KN(), 2.16, 1e-9)
	near(t, "on a caul of 100 x 45 mm, MPa", quantity.Stress(3000, 4500e-6).MPa(), 0.67, 0.005)
}

func TestClampings(t *testing.T) {
	s := loft(4, 4)
	s.Specimen.Pressure = 1.2e6
	s.Adhesives[4].Contact, s.Adhesives[1].Pressure = true, 1.7e6
	c := Clampings(s)
	if c[0].Bonds != 8 || !c[4].Contact || c[4].Force != 0 {
		t.Errorf("%+v", c)
	}
	near(t, "CAS, kN", c[0].Force.KN(), 2.16, 1e-9)
	near(t, "RF, kN", c[1].Force.KN(), 3.06, 1e-9)
	for _, x := range [][3]int{{16, 6, 3}, {48, 48, 1}, {16, 0, 1}, {0, 0, 0}} {
		if got := GlueUps(x[0], x[1]); got != x[2] {
			t.Errorf("%d bonds in %d clamps: %d sittings, want %d", x[0], x[1], got, x[2])
		}
	}
}

// TestGlueSums checks worked sums (arithmetic of ours; 1 % is ISO 6238).
func TestGlueSums(t *testing.T) {
	net, _ := Glue(1800e-6, 0.2, 1, 48, Waste)
	near(t, "48 bonds, g", net.G(), 17.3, 0.05)
	net, mix := Glue(1800e-6, 0.2, 1, 8, Waste)
	near(t, "8 bonds, g", net.G(), 2.9, 0.05)
	near(t, "half again, g", mix.G(), 4.3, 0.05)
	five := quantity.Ratio{5, 1}
	near(t, "hardener, g", mix.G()*float64(SmallestPart(five)), 0.72, 0.005)
	near(t, "1 % of it, g", mix.G()*float64(SmallestPart(five))*float64(MixTolerance), 0.007, 0.0005)
	if WeighingError(mix, five, 0.01e-3) > MixTolerance || WeighingError(mix, five, 0.1e-3) < MixTolerance {
		t.Error("0.01 g should do, 0.1 g should not")
	}
	near(t, "least on 0.1 g, g", LeastBatch(five, 0.1e-3).G(), 30, 1e-9)
	near(t, "coarsest scale, g", LargestDivision(mix, five).G(), 0.0144, 1e-9)
	if !math.IsInf(float64(WeighingError(0, five, 1)), 1) {
		t.Error("nothing can be weighed well")
	}
}

// TestOnePartIsAllOfIt: what is not mixed cannot be weighed wrongly.
func TestOnePartIsAllOfIt(t *testing.T) {
	near(t, "no ratio", float64(SmallestPart(nil)), 1, 0)
	near(t, "three parts", float64(SmallestPart(quantity.Ratio{100, 20, 5})), 5.0/125, 1e-12)
}

func TestPots(t *testing.T) {
	s := loft(4, 4)
	s.Scale = 0.1e-3
	if w := TooLittle(s, LayOut(s).Sittings); w != nil {
		t.Errorf("one part: %+v", w)
	}
	s.Adhesives[4].Mix = quantity.Ratio{5, 1}
	pots := Pots(s, LayOut(s).Sittings)
	if p := pots[4]; p.Adhesive != "EPX" || p.Pots != 4 || p.Bonds != 2 || len(p.Least.Ratio) != 2 {
		t.Fatalf("%+v", p)
	}
	near(t, "a pot, g", pots[4].Mix.G(), 1.08, 1e-9)
	w := TooLittle(s, LayOut(s).Sittings)[0].What.(CoarseScale)
	near(t, "its smaller part, g", w.Part.G(), 0.18, 1e-9)
	near(t, "least batch, g", w.LeastBatch.G(), 30, 1e-9)
	s.Adhesives[4].PotLife, s.Specimen.TimePerBond = 8*time.Minute, 5*time.Minute
	near(t, "the part of a pot that lasts for one bond, g", TooLittle(s, LayOut(s).Sittings)[0].What.(CoarseScale).Part.G(), 0.09, 1e-9)
	s.Scale = 0
	if w := TooLittle(s, LayOut(s).Sittings); w != nil {
		t.Errorf("no scale: %+v", w)
	}
	whole := Pots(loft(0, 4), LayOut(loft(0, 4)).Sittings)
	if whole[0].Pots != 1 || whole[0].Bonds != 8 {
		t.Errorf("without boards: %+v", whole[0])
	}
	near(t, "without boards, g", whole[0].Mix.G(), 4.32, 1e-9)
}

// TestSolidWoodTakesNeitherGlueNorClamp: those behind it in the plan keep their
// own numbers.
func TestSolidWoodTakesNeitherGlueNorClamp(t *testing.T) {
	s := loft(4, 4)
	s.Adhesives[1].SolidWood = true
	pots, clampings := Pots(s, LayOut(s).Sittings), Clampings(s)
	if len(pots) != 5 || len(clampings) != 5 || pots[1].Adhesive != "UF" || clampings[1].Adhesive != "UF" || pots[1].Bonds != 2 {
		t.Errorf("%+v %+v", pots, clampings)
	}
	near(t, "a pot, g", pots[1].Mix.G(), 1.08, 1e-9)
	if c := CutList(s)[0]; c.Bonded != 24 {
		t.Errorf("solid wood takes no wood: %+v", c)
	}
	if b := Baths(s); len(b) != 6 {
		t.Errorf("%+v", b)
	}
}
