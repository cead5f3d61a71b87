package design

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// loft is the study of the example plan, as far as dealing goes.
func loft(boards int, replicates int) *tracker.Study {
	s := &tracker.Study{
		Prefix: "HBR", Seed: 20260221,
		Specimen: tracker.SpecimenPlan{
			Blank:      tracker.Box{Length: 0.048, Width: 0.045, Thickness: 0.020},
			BondLength: 0.040, BondWidth: 0.045, Spread: 0.2,
		},
		Wood: tracker.Wood{Kerf: 0.003, Spare: 0.15},
		Treatments: []tracker.Treatment{
			{Key: "dry", Control: true, Replicates: replicates},
			{Key: "soaked", Replicates: replicates, Soaked: true},
		},
	}
	for i, key := range []string{"CAS", "RF", "UF", "PVA", "EPX", "PUR"} {
		s.Adhesives = append(s.Adhesives, tracker.Adhesive{Key: key, Bath: fmt.Sprintf("B%d", i+1)})
	}
	for i := range boards {
		size := tracker.Box{Length: 2.4, Width: 0.150, Thickness: 0.022}
		s.Wood.Boards = append(s.Wood.Boards, tracker.Board{Name: string(rune('A' + i)), Size: size})
	}
	return s
}

// counts tells how many specimens share what key says of them.
func counts(specimens []tracker.Specimen, key func(tracker.Specimen) string) map[string]int {
	n := map[string]int{}
	for _, s := range specimens {
		n[key(s)]++
	}
	return n
}

func cellOf(s tracker.Specimen) string { return s.Adhesive + " " + s.Treatment }

// TestGolden holds the deal fast: reproducibility is part of what we promise
// (CONTRACT section 6). These lines may never change.
func TestGolden(t *testing.T) {
	var got strings.Builder
	for _, s := range Allocate(loft(2, 2)) {
		fmt.Fprintf(&got, "%d %s %s %s %s %d\n", s.Code.Serial, s.Adhesive, s.Treatment, s.Board, s.Bath, s.Order)
	}
	if got.String() != golden {
		t.Errorf("the deal has changed:\n%s", got.String())
	}
}

func TestEveryBoardHasEveryCell(t *testing.T) {
	specimens := Allocate(loft(4, 8))
	if len(specimens) != 96 {
		t.Fatalf("%d specimens, want 96", len(specimens))
	}
	for cell, n := range counts(specimens, func(s tracker.Specimen) string { return s.Board + " " + cellOf(s) }) {
		if n != 2 {
			t.Errorf("%s: %d, want 2", cell, n)
		}
	}
}

// Five of each on four boards: every board has one, the fifth goes by lot, a
// control to its partner's board, and no board gets far more than another.
func TestUnevenReplicates(t *testing.T) {
	specimens := Allocate(loft(4, 5))
	byCell := counts(specimens, func(s tracker.Specimen) string { return s.Board + " " + cellOf(s) })
	for _, b := range []string{"A", "B", "C", "D"} {
		for _, a := range loft(4, 5).Adhesives {
			dry, soaked := byCell[b+" "+a.Key+" dry"], byCell[b+" "+a.Key+" soaked"]
			if dry != soaked || dry < 1 || dry > 2 {
				t.Errorf("board %s %s: %d dry, %d soaked", b, a.Key, dry, soaked)
			}
		}
	}
	for b, n := range counts(specimens, func(s tracker.Specimen) string { return s.Board }) {
		if n != 14 && n != 16 {
			t.Errorf("board %s: %d specimens, want 14 or 16", b, n)
		}
	}
}

func TestReplicates(t *testing.T) {
	a := tracker.Adhesive{Key: "EPX"}
	tr := tracker.Treatment{Replicates: 4}
	if n := Replicates(a, tr); n != 4 {
		t.Errorf("treatment's: %d", n)
	}
	a.Replicates = 6
	if n := Replicates(a, tr); n != 6 {
		t.Errorf("adhesive's: %d", n)
	}
	tr.ByAdhesive = map[string]int{"EPX": 0}
	if n := Replicates(a, tr); n != 0 {
		t.Errorf("the pair's: %d", n)
	}
}

func TestWithoutBoards(t *testing.T) {
	specimens := Allocate(loft(0, 3))
	for cell, n := range counts(specimens, cellOf) {
		if n != 3 {
			t.Errorf("%s: %d, want 3", cell, n)
		}
	}
	if specimens[0].Board != "" {
		t.Errorf("board %q without boards", specimens[0].Board)
	}
}

// Each board's adhesives are glued one pot after another, board after board.
func TestGlueUpOrder(t *testing.T) {
	specimens := Allocate(loft(4, 4))
	slices.SortFunc(specimens, func(a, b tracker.Specimen) int { return a.Order - b.Order })
	pots := 0
	for i, s := range specimens {
		if s.Order != i+1 {
			t.Fatalf("place %d has order %d", i+1, s.Order)
		}
		if i == 0 || specimens[i-1].Board != s.Board || specimens[i-1].Adhesive != s.Adhesive {
			pots++
		}
	}
	if pots != 24 {
		t.Errorf("%d pots, want 24: one a board and adhesive", pots)
	}
}

func TestBathsOnlyForSoaked(t *testing.T) {
	for _, s := range Allocate(loft(4, 4)) {
		if (s.Bath != "") != (s.Treatment == "soaked") {
			t.Errorf("%v: %s in bath %q", s.Code, s.Treatment, s.Bath)
		}
	}
}

// TestUniform deals with many seeds and asks whether every cell is equally
// likely to get the first serial of the first board, and every place of the
// glue-up. Limits are chi-square's upper 0.1 % points: 31.26 at 11 and 49.73
// at 23 degrees of freedom (any table of chi-square).
func TestUniform(t *testing.T) {
	const deals = 6000
	first, place := map[string]int{}, map[int]int{}
	s := loft(2, 2)
	for seed := range uint64(deals) {
		s.Seed = seed
		dealt := Allocate(s)
		first[cellOf(dealt[0])]++
		s.Wood.Boards = nil
		place[Allocate(s)[0].Order]++
		s.Wood.Boards = loft(2, 2).Wood.Boards
	}
	if x := chiSquare(first, 12, deals); x > 31.26 {
		t.Errorf("first serial: chi-square %.1f over %v", x, first)
	}
	if x := chiSquare(place, 24, deals); x > 49.73 {
		t.Errorf("glue-up place: chi-square %.1f over %v", x, place)
	}
}

func chiSquare[K comparable](observed map[K]int, classes, total int) float64 {
	expected := float64(total) / float64(classes)
	x := float64(classes-len(observed)) * expected
	for _, n := range observed {
		x += math.Pow(float64(n)-expected, 2) / expected
	}
	return x
}

// The worked figures of the trade's sums: 3 across and 46 along give 138 a
// board; 24 blanks in 3 rows of 8 need 455 mm; with 15 % spare they are 28.
func TestCutList(t *testing.T) {
	s := loft(4, 4)
	s.Wood.Spare = 0
	for _, c := range CutList(s) {
		if c.Bonded != 24 || c.Across != 3 || c.Fits != 138 || math.Abs(c.Length.MM()-455) > 1e-6 || !c.Enough() {
			t.Errorf("board %s: %+v", c.Board, c)
		}
	}
	s.Wood.Spare = 0.15
	if c := CutList(s)[0]; c.Blanks != 28 || math.Abs(c.Length.MM()-557) > 1e-6 {
		t.Errorf("with spare: %+v", c)
	}
}

func TestCutListWithoutSizes(t *testing.T) {
	cuts := CutList(loft(0, 4))
	if len(cuts) != 1 || cuts[0].Blanks != 96+15 || cuts[0].Length != 0 || !cuts[0].Enough() {
		t.Errorf("%+v", cuts)
	}
}

func TestBoardTooSmall(t *testing.T) {
	s := loft(1, 4)
	s.Wood.Boards[0].Size.Length = 0.5
	if c := CutList(s)[0]; c.Enough() {
		t.Errorf("500 mm said to give %d of %d blanks", c.Fits, c.Blanks)
	}
}

// 48 bonds of 1800 mm2 at 200 g/m2 are 17.3 g; 8 of them 2.9 g, with half
// again 4.3 g (the trade's sums).
func TestAdhesiveMasses(t *testing.T) {
	total := 0.0
	for _, m := range AdhesiveMasses(loft(4, 4)) {
		total += m.Net.G()
		if m.Bonds != 8 || math.Abs(m.Net.G()-2.88) > 1e-9 || math.Abs(m.Mix.G()-4.32) > 1e-9 {
			t.Errorf("%+v", m)
		}
	}
	if math.Abs(total-17.28) > 1e-9 {
		t.Errorf("%.2f g in all, want 17.28", total)
	}
}

func TestAdhesivesOwnSpread(t *testing.T) {
	s := loft(4, 4)
	s.Adhesives[0].Spread = quantity.Spread(0.4)
	if m := AdhesiveMasses(s)[0]; math.Abs(m.Net.G()-5.76) > 1e-9 {
		t.Errorf("%+v", m)
	}
}
