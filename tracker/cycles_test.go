package tracker

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/schedule"
)

// following is the plain study with its soaked treatment on a published schedule.
func following(t *testing.T, name string) PlanReader {
	t.Helper()
	p, err := schedule.FindProtocol(name)
	if err != nil {
		t.Fatal(err)
	}
	return func(text []byte) (Study, error) {
		s, err := plainStudy(text)
		s.Treatments[1].Protocol, s.Treatments[1].Intervals, s.Treatments[1].State = p, p.Intervals(), p.State()
		s.FirstGlueUp = noon
		return s, err
	}
}

// tellOf is tell under another plan.
func tellOf(t *testing.T, read PlanReader, lines ...string) *Record {
	t.Helper()
	r := NewRecord(read)
	for _, e := range tell(t, lines...).Events() {
		if _, err := r.Add(e); err != nil {
			t.Fatal(err)
		}
	}
	return r
}

func scans(code string, at ...any) (lines []string) {
	for i := 0; i < len(at); i += 2 {
		lines = append(lines, fmt.Sprintf("%v stage %s %q", at[i], code, at[i+1]))
	}
	return lines
}

func hoursAfter(h float64) time.Time { return noon.Add(time.Duration(h * float64(time.Hour))) }

// Three times 4 h +/- 10 min in water and 19 h of drying (ANSI/HPVA EF 4.2,
// read). One scans the same two cards each time, and nothing asks.
func threeCycles(code string) []string {
	return scans(code, 0, "glue-up", 24, "clamp removal", 360, "immersion", 364, "lift-out", 383, "immersion", 387, "lift-out", 406, "immersion", 410, "lift-out")
}

func TestPlannedCycles(t *testing.T) {
	s, _ := codes()
	r := tellOf(t, following(t, "hpva-three-cycle"), append(threeCycles(s), "429 try "+s+` "separated"`)...)
	life := r.Lives()[0]
	if asks := rules(r.Marks(), true) + rules(r.Marks(), false); asks != "" {
		t.Errorf("three cycles as planned: marks %q", asks)
	}
	var went []string
	for _, l := range life.Lapses {
		if l.Done {
			went = append(went, fmt.Sprintf("%s %s %s", l.Interval.Name, schedule.Short(l.Lo), l.Verdict))
		}
	}
	want := "clamp 1 d within, cure 14 d within, soak 12 h within, soak 1 4 h within, dry 1 19 h within, soak 2 4 h within, dry 2 19 h within, soak 3 4 h within, dry 3 19 h within"
	if got := strings.Join(went, ", "); got != want {
		t.Errorf("went\n%s, want\n%s", got, want)
	}
	var passes []int
	for _, step := range life.Steps {
		passes = append(passes, step.Pass)
	}
	if !slices.Equal(passes, []int{0, 0, 1, 1, 2, 2, 3, 3}) || len(life.Spells) != 3 || life.State != "re-dried" {
		t.Errorf("passes %v, %d spells, %s", passes, len(life.Spells), life.State)
	}
}

// What is next, when, and of which pass, at every point of the cycles.
func TestDueInCycles(t *testing.T) {
	s, _ := codes()
	all := threeCycles(s)
	for n, want := range map[int]string{
		2: "immersion 1 cure at 360", 3: "lift-out 1 soak 1 at 364", 4: "immersion 2 dry 1 at 383", 5: "lift-out 2 soak 2 at 387",
		6: "immersion 3 dry 2 at 406", 7: "lift-out 3 soak 3 at 410", 8: "break 0 dry 3 at 429",
	} {
		r := tellOf(t, following(t, "hpva-three-cycle"), all[:n]...)
		due := r.Due(hoursAfter(361))
		if len(due) != 1 {
			t.Fatalf("after %d scans: %d due", n, len(due))
		}
		d := due[0]
		if got := fmt.Sprintf("%s %d %s at %g", d.Stage, d.Pass, d.Interval, d.Window.At.Sub(noon).Hours()); got != want {
			t.Errorf("after %d scans: %s, want %s", n, got, want)
		}
	}
}

// With cycles planned the record agrees with the simple model as well, in every
// order of delivery and whenever it was asked.
func TestCyclesAgreeWithModel(t *testing.T) {
	for seed := range uint64(atLength(300, 90)) {
		rng := rand.New(rand.NewPCG(seed, 11))
		events, truths := generate(rng, 60)
		name := []string{"hpva-three-cycle", "astm-d5751-boil", "en84-leach"}[seed%3]
		first, second := NewRecord(following(t, name)), NewRecord(following(t, name))
		for _, e := range events {
			first.Add(e)
		}
		agree(t, seed, first, truths)
		rng.Shuffle(len(events), func(i, j int) { events[i], events[j] = events[j], events[i] })
		for _, e := range events {
			second.Add(e)
			if second.Study() != nil && rng.IntN(8) == 0 {
				second.Lives()
			}
		}
		same(t, seed, first, second)
	}
}

func TestMarksInCycles(t *testing.T) {
	s, _ := codes()
	all := threeCycles(s)
	for _, test := range []struct {
		name, asks string
		lines      []string
	}{
		{"a fourth spell", "put back", append(slices.Clone(all), scans(s, 411, "immersion")...)},
		{"the second drying cut short", "dry 2 early", append(slices.Clone(all[:6]), scans(s, 390, "immersion")...)},
		{"the second soak forgotten overnight", "soak 2 late", append(slices.Clone(all[:5]), scans(s, 395, "lift-out")...)},
		{"broken after the first cycle", "out of order", append(slices.Clone(all[:4]), "383 try "+s+` "separated"`)},
		{"fell apart in the second soak", "", append(slices.Clone(all[:5]), "385 try "+s+` "fell apart"`)},
		{"a lift-out never recorded", "repeated", append(slices.Clone(all[:3]), scans(s, 383, "immersion")...)},
		{"named as a later pass", "other pass", append(slices.Clone(all[:4]), scans(s, 383, "immersion 3")...)},
		{"named with its pass", "", append(slices.Clone(all[:4]), scans(s, 383, "immersion 2", 387, "lift-out 2")...)},
	} {
		r := tellOf(t, following(t, "hpva-three-cycle"), test.lines...)
		if got := rules(r.Marks(), true); got != test.asks {
			t.Errorf("%s: asks %q, want %q", test.name, got, test.asks)
		}
	}
	// Where the plan has one soak only, a second immersion asks, whatever it is called.
	plain := tell(t, append(slices.Clone(all[:2]), scans(s, 360, "immersion", 528, "lift-out", 540, "immersion 2")...)...)
	if got := rules(plain.Marks(), true); got != "put back" {
		t.Errorf("one soak planned: asks %q", got)
	}
}

// A soak rests between two passes: its drift does not run on while they dry.
func TestDriftRestsBetweenPasses(t *testing.T) {
	s, _ := codes()
	r := tellOf(t, following(t, "hpva-three-cycle"), threeCycles(s)[:6]...)
	for _, d := range r.Drift(hoursAfter(2000)) {
		if sp := d.Specimens[0]; d.Interval == "soak" && (sp.Done || sp.Hi != 8*time.Hour || sp.Verdict != schedule.Running) {
			t.Errorf("between passes: %+v", sp)
		}
		if d.Interval == "wet hold" || d.Interval == "dry 3" {
			t.Errorf("%s runs after the second lift-out", d.Interval)
		}
	}
	r = tellOf(t, following(t, "hpva-three-cycle"), threeCycles(s)[:7]...)
	for _, d := range r.Drift(hoursAfter(408)) {
		if sp := d.Specimens[0]; d.Interval == "soak" && (sp.Hi != 10*time.Hour || sp.Drift != -2*time.Hour) {
			t.Errorf("two hours into the third pass: %+v", sp)
		}
	}
}

// A control follows partners in cycles: due when those will be broken, which is
// foreseen over all passes to come.
func TestControlFollowsCycles(t *testing.T) {
	s, d := codes()
	lines := append(threeCycles(s)[:3], scans(d, 0, "glue-up", 24, "clamp removal")...)
	r := tellOf(t, following(t, "hpva-three-cycle"), lines...)
	for _, due := range r.Due(hoursAfter(361)) {
		if due.Specimen.Code.String() == d && !due.Window.At.Equal(hoursAfter(429)) {
			t.Errorf("the control is due at %g h, want 429", due.Window.At.Sub(noon).Hours())
		}
	}
	early := tellOf(t, following(t, "hpva-three-cycle"), append(lines, "362 try "+d+` "separated"`)...)
	if got := rules(early.Marks(), true); got != "partner in bath" {
		t.Errorf("control broken in the first pass: asks %q", got)
	}
}

// Boil 4 h, dry 20 h, boil 4 h, cool 1 h in water, break wet within 1 h (ASTM
// D5751 9.2.2, read). Going into cold water is a stage of the schedule's own.
func TestOwnStageOfASchedule(t *testing.T) {
	s, d := codes()
	boil := following(t, "astm-d5751-boil")
	lines := scans(s, 0, "glue-up", 24, "clamp removal", 360, "immersion", 364, "lift-out", 384, "immersion", 388, "cool in running water", 389, "lift-out")
	for n, want := range map[int]string{4: "immersion 2 384", 5: "cool in running water 0 388", 6: "lift-out 2 389", 7: "break 0 390"} {
		r := tellOf(t, boil, append(lines[:n:n], scans(d, 0, "glue-up", 24, "clamp removal")...)...)
		for _, due := range r.Due(hoursAfter(362)) {
			at := due.Window.At
			if due.Interval == "wet hold" {
				at = due.Window.Closes
			}
			got := fmt.Sprintf("%s %d %g", due.Stage, due.Pass, at.Sub(noon).Hours())
			if due.Specimen.Code.String() == s && got != want {
				t.Errorf("after %d scans: %s, want %s", n, got, want)
			}
			if due.Specimen.Code.String() == d && due.Window.At.Sub(noon) != 389*time.Hour {
				t.Errorf("after %d scans the control is due at %g h, want 389", n, due.Window.At.Sub(noon).Hours())
			}
		}
		if asks := rules(r.Marks(), true); asks != "" {
			t.Errorf("after %d scans it asks %q", n, asks)
		}
	}
	forgot := tellOf(t, boil, append(lines[:5:5], scans(s, 389, "lift-out")...)...)
	if got := rules(forgot.Marks(), true); got != "out of order" {
		t.Errorf("never cooled: asks %q", got)
	}
	if stages := forgot.Study().Stages(); len(stages) != 8 || stages[7] != "cool in running water" {
		t.Errorf("stages %v", stages)
	}
}

// Dates run through all passes, one after another.
func TestDatesOfCycles(t *testing.T) {
	for name, want := range map[string]string{
		"hpva-three-cycle": "glue-up 0, clamp removal 24, immersion 360, lift-out 364, immersion 2 383, lift-out 2 387, immersion 3 406, lift-out 3 410, break 429",
		"astm-d5751-boil":  "glue-up 0, clamp removal 24, immersion 360, lift-out 364, immersion 2 384, cool in running water 388, lift-out 2 389, break 389",
		"en204-4-d3":       "glue-up 0, clamp removal 24, immersion 192, lift-out 288, break 456",
	} {
		s, _ := following(t, name)(nil)
		var got []string
		for _, d := range s.Dates() {
			if d.Treatment == "soaked" {
				got = append(got, fmt.Sprintf("%s %g", d.Stage, d.At.Sub(noon).Hours()))
			}
		}
		if strings.Join(got, ", ") != want {
			t.Errorf("%s:\n%s\nwant\n%s", name, strings.Join(got, ", "), want)
		}
	}
}
