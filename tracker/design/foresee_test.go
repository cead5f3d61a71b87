package design

import (
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

func rulesOf(warnings []Warning, level Level) []string {
	var rules []string
	for _, w := range warnings {
		if w.Level == level {
			rules = append(rules, w.Rule)
		}
	}
	return rules
}

func TestASoundPlanHasHintsOnly(t *testing.T) {
	s := ash(pressRig())
	s.Intervals = []schedule.Interval{{Name: "soak", Planned: schedule.Planned{Length: 14 * 24 * time.Hour}}}
	all := Foresee(s)
	if w := rulesOf(all, Warns); w != nil {
		t.Errorf("warnings %v", w)
	}
	if w := rulesOf(all, Hints); !slices.Equal(w, []string{"wood-floats", "water-changes"}) {
		t.Fatalf("hints %v", w)
	}
	if all[0].Text != "dry wood floats: weigh it down with 0.26 kg of steel in each of 6 baths" {
		t.Errorf("%+v", all[0])
	}
	if all[1].Text != "a soak of 14 d wants its water changed 9 times" {
		t.Errorf("%+v", all[1])
	}
	s.Treatments[1].Protocol.Name = "of its own"
	if w := rulesOf(Foresee(s), Hints); slices.Contains(w, "water-changes") {
		t.Errorf("a published schedule: %v", w)
	}
}

// wrong is a study in which everything goes wrong that numbers can tell.
func wrong(t *testing.T) *tracker.Study {
	s := ash(frameRig(t))
	s.Wood.Boards = s.Wood.Boards[:1]
	s.Wood.Boards[0].Size = tracker.Box{Length: 0.5, Width: 0.150, Thickness: 0.022}
	s.Specimen.Clamps, s.Specimen.ClampForce, s.Specimen.Pressure = 6, 1000, 1.2e6
	s.Specimen.TimePerBond, s.Scale = 6*time.Minute, 0.1e-3
	s.Adhesives[4].Mix, s.Adhesives[4].PotLife = quantity.Ratio{5, 1}, 30*time.Minute
	s.Adhesives[0].Bath, s.Adhesives[1].Bath = "", ""
	s.Treatments[1].State = "re-dried"
	low := pressRig()
	low.Name, low.Gauge.Span.Value = "press of the neighbour", 100
	s.Rigs = append(s.Rigs, low)
	return s
}

func TestInTheOrderOfWeight(t *testing.T) {
	s := wrong(t)
	want := []string{"rig-too-weak", "limit-unknown", "board-too-small", "few-clamps", "clamp-too-weak", "pot-life", "too-little-to-weigh", "gauge-low"}
	if got := rulesOf(Foresee(s), Warns); !slices.Equal(got, want) {
		t.Errorf("warnings %v, want %v", got, want)
	}
	if got, want := rulesOf(Foresee(s), Hints), []string{"wood-floats", "bath-not-named"}; !slices.Equal(got, want) {
		t.Errorf("hints %v, want %v", got, want)
	}
}

// TestTextsAreOneLine, whatever the names in the plan.
func TestTextsAreOneLine(t *testing.T) {
	long := strings.Repeat("ü", 300)
	s := wrong(t)
	s.Wood.Boards[0].Name, s.Rigs[0].Name, s.Rigs[0].Parts[0].Name, s.Rigs[0].Parts[1].Name = long, long, long, long
	s.Adhesives[4].Key, s.Adhesives[0].Key, s.Treatments[0].Key = long, long, long
	unknown := wrong(t)
	unknown.Wood.Species = long
	for _, w := range slices.Concat(Foresee(s), Foresee(wrong(t)), Foresee(unknown)) {
		if n := utf8.RuneCountInString(w.Text); n >= 100 || strings.Contains(w.Text+w.Hint, "\n") || w.Hint == "" || w.Key == "" {
			t.Errorf("%d characters: %+v", n, w)
		}
	}
}

// TestInches: a plan in inches is warned in pounds and psi, its dial in its own
// unit.
func TestInches(t *testing.T) {
	s := wrong(t)
	s.Units = quantity.Inch
	texts := ""
	for _, w := range Foresee(s) {
		texts += w.Text + "\n" + w.Hint + "\n"
	}
	for _, unit := range []string{" mm", " kN", " MPa", " kg "} {
		if strings.Contains(texts, unit) {
			t.Errorf("says%s:\n%s", unit, texts)
		}
	}
	if !strings.Contains(texts, "lb of steel") || !strings.Contains(texts, "174 psi") {
		t.Errorf("%s", texts)
	}
}

// TestWhatCannotBeForeseen is said, with what to do about it.
func TestWhatCannotBeForeseen(t *testing.T) {
	s := ash(pressRig())
	s.Wood.Species = "beech"
	all := Foresee(s)
	if got, want := rulesOf(all, Hints), []string{"wood-unknown", "wood-floats"}; !slices.Equal(got, want) {
		t.Fatalf("%v, want %v", got, want)
	}
	if !strings.Contains(all[0].Hint, "American beech") || !strings.Contains(all[1].Hint, "density") {
		t.Errorf("%+v", all)
	}
	s.Wood.Species = ""
	if w := Foresee(s)[0]; w.Rule != "load-unknown" || !strings.Contains(w.Hint, "species") {
		t.Errorf("%+v", w)
	}
	s.Specimen.Blank = tracker.Box{}
	if w := Foresee(s)[1]; w.Key != "specimen.blank" {
		t.Errorf("%+v", w)
	}
	s.Wood.Density, s.Specimen.Blank = 1050, tracker.Box{Length: 0.04, Width: 0.04, Thickness: 0.02}
	if got := rulesOf(Foresee(s), Hints); slices.Contains(got, "wood-floats") {
		t.Errorf("wood that sinks floats: %v", got)
	}
}

// TestBathsDiffer: each gets its own ballast.
func TestBathsDiffer(t *testing.T) {
	s := ash(pressRig())
	s.Wood.Density, s.Adhesives[1].Bath = 680, "B1"
	w := Foresee(s)[0]
	if !strings.Contains(w.Text, "0.25 kg to 0.5 kg of steel in each of 5 baths") || !strings.HasPrefix(w.Hint, "B1 0.5 kg, B3 0.25 kg, ") {
		t.Errorf("%+v", w)
	}
}

// TestSolidOfThinBoards: two blanks of 20 mm are not cut from a board of 22 mm.
func TestSolidOfThinBoards(t *testing.T) {
	s := ash(pressRig())
	s.Adhesives[1].SolidWood = true
	w := Foresee(s)[0]
	if w.Rule != "solid-too-thick" || w.Level != Hints || w.Text != "RF is one piece of 40 mm: thicker than the boards (A and 3 more)" {
		t.Errorf("%+v", w)
	}
	for i := range s.Wood.Boards {
		s.Wood.Boards[i].Size.Thickness = 0.040
	}
	if w := Foresee(s)[0]; w.Rule == "solid-too-thick" {
		t.Errorf("%+v", w)
	}
}
