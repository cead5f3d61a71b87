package schedule

import (
	"slices"
	"strings"
	"testing"
	"time"
)

// A step is written with what is known of it, and its length as far as it has one.
func TestStepInWords(t *testing.T) {
	target := func(d time.Duration) Planned { return Planned{Kind: Target, Length: d} }
	for want, s := range map[string]Step{
		"inspect":                         {Action: "inspect"},
		"soak, water, 20 +/- 5 C: 4 d":    {Action: "soak", Medium: "water", Temperature: "20 +/- 5 C", Planned: Planned{Target, 4 * Day, 12 * hour, 12 * hour, true}},
		"age, air, 65 %: one of 7 d, 8 d": {Action: "age", Medium: "air", Humidity: "65 %", Choices: []Planned{target(7 * Day), target(8 * Day)}},
		"cool, water: until cold":         {Action: "cool", Medium: "water", Length: "until cold"},
	} {
		if got := s.String(); got != want && !strings.HasPrefix(got, want+" +/-") {
			t.Errorf("%q, want %q", got, want)
		}
	}
	for action, want := range map[string]string{"boil for 4 h": "boil", "dry at 60 C": "dry", "soak 4 d": "soak", "3 cycles": "3 cycles"} {
		if got := (Step{Action: action}).verb(); got != want {
			t.Errorf("%q is called %q, want %q", action, got, want)
		}
	}
}

// Dice's share of pairs, by hand: night and nacht share "ht" of four pairs each,
// a quarter; the best comes first.
func TestAlike(t *testing.T) {
	for pair, want := range map[[2]string]float64{{"night", "nacht"}: 0.25, {"boil", "Boil"}: 1, {"abc", "xyz"}: 0, {"", ""}: 0, {"aaa", "aa"}: 2.0 / 3} {
		if got := alike(pair[0], pair[1]); got != want || alike(pair[1], pair[0]) != want {
			t.Errorf("%v are alike by %v, want %v", pair, got, want)
		}
	}
	for name, want := range map[string]string{"en204-3": "en204-3-d3-d4", "d5751 boil": "astm-d5751-boil", "week": "workshop-week-soak", "en84": "en84-leach"} {
		near := nearProtocols(name, Protocols())
		if near[0] != want || !slices.IsSortedFunc(near, func(a, b string) int { return int(1e6 * (alike(name, b) - alike(name, a))) }) {
			t.Errorf("%q: %v, want %s first", name, near, want)
		}
	}
}

// A step is named by its number from 1, where it is refused and where it is shown.
func TestStepsAreNumberedFromOne(t *testing.T) {
	p := protocol(t, "boil-dry-boil-60")
	for want, err := range map[string]error{
		"step 1 of boil-dry-boil-60 has its length": second(p.With(0, Planned{Kind: Target, Length: hour})),
		"step 4 of boil-dry-boil-60 needs a length": second(p.With(3, Planned{})),
	} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
	text := p.PlanText("x")
	for i, s := range p.Steps {
		if !strings.Contains(text, "# "+string(rune('1'+i))+". "+s.String()) {
			t.Errorf("step %d is not in:\n%s", i+1, text)
		}
	}
}

func second[T any](_ T, err error) error { return err }

// A plan names the water only where there is some.
func TestPlanNamesItsWater(t *testing.T) {
	if text := protocol(t, "en204-3-d3-d4").PlanText("x"); !strings.Contains(text, "\nwater = \"20 C +/- 5 C\"\n") {
		t.Error(text)
	}
	if text := protocol(t, "en204-1-dry").PlanText("x"); strings.Contains(text, "water =") {
		t.Error(text)
	}
}

// Each timed step stands for one interval of its own length; an inspection for none.
func TestIntervalOf(t *testing.T) {
	for _, p := range Protocols() {
		for _, l := range p.legs() {
			iv, ok := p.IntervalOf(l.at)
			if !ok || iv.Planned != p.Steps[l.at].Planned || iv.From != l.from || iv.To != l.to {
				t.Errorf("%s: step %d, %s, is %+v, %v", p.Name, l.at+1, p.Steps[l.at], iv, ok)
			}
		}
		if iv, ok := p.IntervalOf(len(p.Steps)); ok {
			t.Errorf("%s: a step too many is %+v", p.Name, iv)
		}
	}
	if iv, _ := protocol(t, "en204-3-d3-d4").IntervalOf(1); iv.Name != Soak {
		t.Errorf("the water of EN 204, 3 is %+v", iv)
	}
	if got := (Protocol{}).Intervals(); len(got) != 1 || got[0].Name != Soak || got[0].Planned.Kind != None {
		t.Errorf("a schedule without steps: %+v", got)
	}
}
