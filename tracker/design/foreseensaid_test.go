package design_test

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/quantity"
	"soaktag/tracker/wording"
)

// A said is something foreseen, in the words for it.
type said struct {
	design.Foreseen
	Text, Hint string
}

func say(s *tracker.Study, all []design.Foreseen) (out []said) {
	for _, f := range all {
		text, hint, more := wording.Foreseen(f, s.Units, s.Zone)
		out = append(out, said{f, text, strings.TrimSuffix(hint+"; "+more, "; ")})
	}
	return out
}

func foresee(s *tracker.Study) []said { return say(s, design.Foresee(s, design.LayOut(s))) }

// loadRules are what is said of rigs, by its rule.
func loadRules(s *tracker.Study) map[string]said {
	rules := map[string]said{}
	for _, w := range say(s, design.OfRigs(s)) {
		rules[w.Rule] = w
	}
	return rules
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

func rulesOf(warnings []said, level design.Level) []string {
	var rules []string
	for _, w := range warnings {
		if w.Level == level {
			rules = append(rules, w.Rule)
		}
	}
	return rules
}

func TestASoundPlanHasHintsOnly(t *testing.T) {
	s := design.Ash(design.PressRig())
	s.Intervals = []schedule.Interval{{Name: "soak", Planned: schedule.Planned{Length: 14 * 24 * time.Hour}}}
	all := foresee(s)
	if w := rulesOf(all, design.Warns); w != nil {
		t.Errorf("warnings %v", w)
	}
	if w := rulesOf(all, design.Hints); !slices.Equal(w, []string{"wood-floats", "water-changes", "never-due"}) {
		t.Fatalf("hints %v", w)
	}
	if all[0].Text != "dry wood floats: weigh it down with 0.26 kg of steel in each of 6 baths" {
		t.Errorf("%+v", all[0])
	}
	if all[1].Text != "a soak of 14 d wants its water changed 9 times" {
		t.Errorf("%+v", all[1])
	}
	s.Treatments[1].Protocol.Name = "of its own"
	if w := rulesOf(foresee(s), design.Hints); slices.Contains(w, "water-changes") {
		t.Errorf("a published schedule: %v", w)
	}
}

// A control without an age is never due, and the plan is told; what an interval leads to the
// break, a solid piece, and what is soaked are not meant.
func TestNeverDue(t *testing.T) {
	s := design.Ash(design.PressRig())
	said := func() (text, hint string) {
		for _, w := range foresee(s) {
			if w.Rule == "never-due" {
				return w.Key + ": " + w.Text, w.Hint
			}
		}
		return "", ""
	}
	text, hint := said()
	if text != "treatment.dry: dry is never due: the plan gives no age at which to break it" || !strings.HasPrefix(hint, `age = "as soaked +/- 1 d"`) {
		t.Errorf("%s; %s", text, hint)
	}
	s.Treatments[0].Age = schedule.Planned{Kind: schedule.Target, Length: 14 * 24 * time.Hour}
	if text, _ := said(); text != "" {
		t.Errorf("with an age: %s", text)
	}
	s.Treatments[0].Age = schedule.Planned{}
	for i := range s.Adhesives {
		s.Adhesives[i].SolidWood = true
	}
	if text, _ := said(); text != "" {
		t.Errorf("solid wood alone: %s", text)
	}
}

// wrong is a study in which everything goes wrong that numbers can tell.
func wrong(t *testing.T) *tracker.Study {
	s := design.Ash(design.FrameRig(t))
	s.Wood.Boards = s.Wood.Boards[:1]
	s.Wood.Boards[0].Size = tracker.Box{Length: 0.5, Width: 0.150, Thickness: 0.022}
	s.Specimen.Clamps, s.Specimen.ClampForce, s.Specimen.Pressure = 6, 1000, 1.2e6
	s.Specimen.TimePerBond, s.Scale = 6*time.Minute, 0.1e-3
	s.Adhesives[4].Mix, s.Adhesives[4].PotLife = quantity.Ratio{5, 1}, 10*time.Minute
	s.Adhesives[0].Bath, s.Adhesives[1].Bath = "", ""
	s.Treatments[1].State = "re-dried"
	low := design.PressRig()
	low.Name, low.Gauge.Span.Value = "press of the neighbour", 100
	s.Rigs = append(s.Rigs, low)
	return s
}

func TestInTheOrderOfWeight(t *testing.T) {
	s := wrong(t)
	want := []string{"rig-too-weak", "limit-unknown", "board-too-small", "few-clamps", "clamp-too-weak", "pot-life", "too-little-to-weigh", "gauge-low"}
	if got := rulesOf(foresee(s), design.Warns); !slices.Equal(got, want) {
		t.Errorf("warnings %v, want %v", got, want)
	}
	if got, want := rulesOf(foresee(s), design.Hints), []string{"wood-floats", "bath-not-named", "never-due"}; !slices.Equal(got, want) {
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
	for _, w := range slices.Concat(foresee(s), foresee(wrong(t)), foresee(unknown)) {
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
	for _, w := range foresee(s) {
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
	s := design.Ash(design.PressRig())
	s.Wood.Species = "beech"
	all := foresee(s)
	if got, want := rulesOf(all, design.Hints), []string{"wood-unknown", "wood-floats", "never-due"}; !slices.Equal(got, want) {
		t.Fatalf("%v, want %v", got, want)
	}
	if !strings.Contains(all[0].Hint, "American beech") || !strings.Contains(all[1].Hint, "density") {
		t.Errorf("%+v", all)
	}
	s.Wood.Species = ""
	if w := foresee(s)[0]; w.Rule != "load-unknown" || !strings.Contains(w.Hint, "species") {
		t.Errorf("%+v", w)
	}
	s.Specimen.Blank = tracker.Box{}
	if w := foresee(s)[1]; w.Key != "specimen.blank" {
		t.Errorf("%+v", w)
	}
	s.Wood.Density, s.Specimen.Blank = 1050, tracker.Box{Length: 0.04, Width: 0.04, Thickness: 0.02}
	if got := rulesOf(foresee(s), design.Hints); slices.Contains(got, "wood-floats") {
		t.Errorf("wood that sinks floats: %v", got)
	}
}

// TestBathsDiffer: each gets its own ballast.
func TestBathsDiffer(t *testing.T) {
	s := design.Ash(design.PressRig())
	s.Wood.Density, s.Adhesives[1].Bath = 680, "B1"
	w := foresee(s)[0]
	if !strings.Contains(w.Text, "0.25 kg to 0.5 kg of steel in each of 5 baths") || !strings.HasPrefix(w.Hint, "B1 0.5 kg, B3 0.25 kg, ") {
		t.Errorf("%+v", w)
	}
}

// TestSolidOfThinBoards: two blanks of 20 mm are not cut from a board of 22 mm.
func TestSolidOfThinBoards(t *testing.T) {
	s := design.Ash(design.PressRig())
	s.Adhesives[1].SolidWood = true
	w := foresee(s)[0]
	if w.Rule != "solid-too-thick" || w.Level != design.Hints || w.Text != "RF is one piece of 40 mm: thicker than the boards (A and 3 more)" {
		t.Errorf("%+v", w)
	}
	for i := range s.Wood.Boards {
		s.Wood.Boards[i].Size.Thickness = 0.040
	}
	if w := foresee(s)[0]; w.Rule == "solid-too-thick" {
		t.Errorf("%+v", w)
	}
}

// TestFrameTooWeak: a first-timer's frame with a scale of 1000 lbf and a bond of
// 3 in2 in white ash is too weak by a factor of ten, and says so in pounds.
func TestFrameTooWeak(t *testing.T) {
	s := design.Ash(design.FrameRig(t))
	s.Specimen.BondLength, s.Specimen.BondWidth = 1.5*0.0254, 2*0.0254
	s.Units = quantity.Inch
	loads, err := design.Loads(s)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "dry, lbf", loads[0].Expected.LBF(), 1910*3, 1e-6)
	times, _ := loads[0].Times()
	near(t, "times", times, 9.55, 1e-9)
	rules := loadRules(s)
	weak := rules["rig-too-weak"]
	if weak.Text != "the rig is 9.6 times too weak: the scale carries 1000 lbf, dry needs 9550 lbf" || weak.Level != design.Warns {
		t.Errorf("%+v", weak)
	}
	if !strings.Contains(weak.Hint, "0.56 in x 0.56 in") || !strings.Contains(weak.Hint, "5730 lbf") || !strings.Contains(weak.Hint, "table 5-3b") {
		t.Errorf("hint %q", weak.Hint)
	}
	if w := rules["limit-unknown"]; !strings.Contains(w.Text, "chain") || !strings.Contains(w.Hint, "9550 lbf") {
		t.Errorf("unknown limit: %+v", w)
	}
	if w, said := rules["gauge-beyond"]; said {
		t.Errorf("goes without saying: %+v", w)
	}
	s.Rigs = append(s.Rigs, design.PressRig())
	if w := loadRules(s)["rig-too-weak"]; !strings.HasPrefix(w.Text, `rig "frame" is`) {
		t.Errorf("two rigs: %+v", w)
	}
}

func TestGaugeLow(t *testing.T) {
	r := design.PressRig()
	r.Gauge.Span = quantity.Reading{Value: 100, Unit: "MPa"}
	rules := loadRules(design.Ash(r))
	if w := rules["gauge-low"]; len(rules) != 1 || !strings.Contains(w.Text, "dry at 14.9 %, soaked at 10.5 %") {
		t.Errorf("%+v", rules)
	}
	r.Gauge.Span.Value = 16
	if w := loadRules(design.Ash(r))["gauge-high"]; !strings.Contains(w.Text, "over 85 % of its gauge: dry at 92.9 %") {
		t.Errorf("%+v", w)
	}
}

func TestPotLife(t *testing.T) {
	s := design.Loft(0, 4)
	if w := say(s, design.PotLife(s, design.LayOut(s).Sittings)); w != nil {
		t.Errorf("nothing given: %+v", w)
	}
	s.Adhesives[4].PotLife, s.Specimen.TimePerBond = 30*time.Minute, 6*time.Minute
	w := say(s, design.PotLife(s, design.LayOut(s).Sittings))
	if len(w) != 1 || !strings.Contains(w[0].Text, "8 bonds take 48 min and its pot lasts 30 min") || !strings.Contains(w[0].Hint, "2 pots of up to 5 bonds") {
		t.Errorf("%+v", w)
	}
	s.People = 2
	if w := say(s, design.PotLife(s, design.LayOut(s).Sittings)); w != nil {
		t.Errorf("two people: %+v", w)
	}
	s.People, s.Specimen.Clamps = 1, 5
	if w := say(s, design.PotLife(s, design.LayOut(s).Sittings)); w != nil {
		t.Errorf("five bonds a sitting: %+v", w)
	}
	s.Specimen.TimePerBond = 40 * time.Minute
	if w := say(s, design.PotLife(s, design.LayOut(s).Sittings)); len(w) != 1 || !strings.Contains(w[0].Hint, "one bond takes longer") {
		t.Errorf("%+v", w)
	}
}

func TestWeakClamps(t *testing.T) {
	s := design.Loft(4, 4)
	s.Specimen.Pressure, s.Specimen.ClampForce = 1.2e6, 1500
	s.Adhesives[4].Contact = true
	w := say(s, design.Clamps(s))
	if len(w) != 1 || w[0].Text != "CAS and 4 more: a bond at 1.2 MPa takes 2.16 kN, and a clamp gives 1.5 kN" || !strings.Contains(w[0].Hint, "2 clamps on a bond, or plan 0.833 MPa") {
		t.Errorf("%+v", w)
	}
	s.Specimen.ClampForce = 2160
	if w := say(s, design.Clamps(s)); w != nil {
		t.Errorf("just enough: %+v", w)
	}
}

func TestConfoundingSaid(t *testing.T) {
	s := design.Loft(4, 4)
	if text := wording.Confounding(design.ConfoundingOf(design.Baths(s))); !strings.Contains(text, "perforated jar") || strings.Contains(text, "poison") {
		t.Errorf("a bath each: %q", text)
	}
	for i := range s.Adhesives {
		s.Adhesives[i].Bath = "tub"
	}
	if text := wording.Confounding(design.ConfoundingOf(design.Baths(s))); !strings.Contains(text, "bath tub holds CAS, RF") || strings.Contains(text, "jar") {
		t.Errorf("one bath: %q", text)
	}
	if text := wording.Confounding(design.Confounding{}); text != "" {
		t.Errorf("nothing soaked: %q", text)
	}
}
