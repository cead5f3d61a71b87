package schedule

import (
	"encoding/csv"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"
)

// rowsOf reads the embedded table anew.
func rowsOf(t *testing.T) [][]string {
	t.Helper()
	r := csv.NewReader(strings.NewReader(protocolTable))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

func protocol(t *testing.T, name string) Protocol {
	t.Helper()
	p, err := FindProtocol(name)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestEveryStepReachesAProtocol: each row of the table is a step of the
// schedule that it names, with its status and source; a repetition is written out.
func TestEveryStepReachesAProtocol(t *testing.T) {
	rows := rowsOf(t)
	if len(rows) != 55 {
		t.Errorf("%d rows, want 55", len(rows))
	}
	for _, row := range rows {
		p := protocol(t, row[0])
		same := func(s Step) bool {
			return s.Action == row[2] && s.Medium == row[3] && s.Status == row[11] && s.Source == row[12]
		}
		repeats := strings.HasPrefix(row[2], "repeat")
		if slices.ContainsFunc(p.Steps, same) == repeats {
			t.Errorf("%s %s: %q is missing, or a repetition stands as a step", row[0], row[1], row[2])
		}
		if !strings.Contains(p.Source, row[12]) || row[11] == "" {
			t.Errorf("%s: source %q leaves out %q", p.Name, p.Source, row[12])
		}
	}
}

// TestEveryStepReachesAPlan: each step is an interval whose text the plan's
// grammar reads as the same length again, or is open and says so.
func TestEveryStepReachesAPlan(t *testing.T) {
	for _, p := range Protocols() {
		text := p.PlanText("x")
		intervals := p.Intervals()
		for i, s := range p.Steps {
			if !strings.Contains(text, s.String()) || !strings.Contains(text, s.Status) {
				t.Errorf("%s: the plan text does not show step %d with its status", p.Name, i+1)
			}
			timed := slices.ContainsFunc(intervals, func(iv Interval) bool { return iv.Planned == s.Planned })
			untimed := s.Planned.Kind == None && (slices.Contains(p.Open(), i) || s.Action == "inspect")
			if s.Planned.Kind != None && !timed || s.Planned.Kind == None && !untimed {
				t.Errorf("%s: step %d, %s, is lost", p.Name, i+1, s)
			}
		}
		for _, iv := range intervals {
			got, err := ParsePlanned(iv.Planned.String())
			if err != nil || got != iv.Planned {
				t.Errorf("%s: %s %q reads back as %v, %v", p.Name, iv.Name, iv.Planned, got, err)
			}
			if iv.From == "" || iv.To == "" || iv.From == iv.To || !strings.Contains(text, iv.planLine()+"\n") {
				t.Errorf("%s: %+v", p.Name, iv)
			}
		}
		if !strings.Contains(text, NotACertificate) || !strings.Contains(text, p.Standing.String()) {
			t.Errorf("%s: the plan text claims too much:\n%s", p.Name, text)
		}
	}
}

// TestLegsFollowEachOther: within a schedule each step begins where the one
// before it ends, and no two intervals share a name.
func TestLegsFollowEachOther(t *testing.T) {
	for _, p := range Protocols() {
		legs := p.legs()
		for i := 1; i < len(legs); i++ {
			if legs[i].from != legs[i-1].to {
				t.Errorf("%s: %q ends at %s, %q begins at %s", p.Name, legs[i-1].name, legs[i-1].to, legs[i].name, legs[i].from)
			}
		}
		seen := map[string]bool{}
		for _, iv := range p.Intervals() {
			if seen[iv.Name] {
				t.Errorf("%s: two intervals %q", p.Name, iv.Name)
			}
			seen[iv.Name] = true
		}
	}
}

// planLines lists intervals as text.
func planLines(p Protocol) string {
	var lines []string
	for _, iv := range p.Intervals() {
		lines = append(lines, iv.planLine())
	}
	return strings.Join(lines, "\n")
}

// TestPublishedSchedules checks schedules against what was read or remembered
// of the documents named beside them.
func TestPublishedSchedules(t *testing.T) {
	for name, want := range map[string]struct {
		standing Standing
		state    string
		text     string
	}{
		// ANSI/HPVA EF 4.2 and HP-1 4.6, read: three times 4 h +/- 10 min in water and 19 h of drying.
		"hpva-three-cycle": {Confirmed, "re-dried", `"soak 1" = { from = "immersion", to = "lift-out", planned = "4 h +/- 10 min" }
"dry 1" = { from = "lift-out", to = "immersion 2", planned = "19 h" }
"soak 2" = { from = "immersion 2", to = "lift-out 2", planned = "4 h +/- 10 min" }
"dry 2" = { from = "lift-out 2", to = "immersion 3", planned = "19 h" }
"soak 3" = { from = "immersion 3", to = "lift-out 3", planned = "4 h +/- 10 min" }
"dry 3" = { from = "lift-out 3", to = "break", planned = "19 h" }
"soak" = "12 h +/- 30 min"
"wet hold" = "none"`},
		// ASTM D5751-19 9.2.2, read: boil 4 h, dry 20 h, boil 4 h, cool 1 h, test wet within 1 h.
		"astm-d5751-boil": {Confirmed, "wet", `"boil 1" = { from = "immersion", to = "lift-out", planned = "4 h" }
"dry" = { from = "lift-out", to = "immersion 2", planned = "20 h" }
"boil 2" = { from = "immersion 2", to = "cool in running water", planned = "4 h" }
"cool in running water" = { from = "cool in running water", to = "lift-out 2", planned = "1 h" }
"soak" = "9 h"
"wet hold" = "at most 1 h"`},
		// EN 314-1 5.1.4, as described: 72 h +/- 1 h of boiling, at least 1 h in cold water.
		"en314-1-72h-boil": {Confirmed, "wet", `"boil" = { from = "immersion", to = "cool in water", planned = "3 d +/- 1 h" }
"cool in water" = { from = "cool in water", to = "lift-out", planned = "at least 1 h" }
"soak" = "at least 3 d"`},
		// EN 204 table 2, from memory: 7 d air, 4 d water, tested wet; or 7 d air again.
		"en204-3-d3-d4": {FromMemory, "wet", "\"cure\" = \"7 d\"\n\"soak\" = \"4 d\""},
		"en204-4-d3": {FromMemory, "re-dried", `"cure" = "7 d"
"soak" = "4 d"
"recondition" = { from = "lift-out", to = "break", planned = "7 d" }
"wet hold" = "none"`},
		"en204-1-dry": {PartlyConfirmed, "dry", "\"age\" = \"7 d\"\n\"soak\" = \"none\""},
		// Common practice, no published source: the house default.
		"workshop-week-soak": {HouseDefault, "wet", `"cure" = "14 d +/- 1 d"
"soak" = "7 d +/- 4 h"
"wet hold" = "15 min +/- 15 min"`},
	} {
		p := protocol(t, name)
		if got := planLines(p); got != want.text || p.Standing != want.standing || p.State() != want.state {
			t.Errorf("%s (%v, %s):\n%s\nwant (%v, %s):\n%s", name, p.Standing, p.State(), got, want.standing, want.state, want.text)
		}
	}
	if got := protocol(t, "en314-1-boil-dry-boil").Steps[1].Planned.String(); got != "18 h +/- 2 h" { // EN 314-1: 16 to 20 h, from memory
		t.Errorf("16 to 20 h is %s", got)
	}
	if got := protocol(t, "en84-leach").Steps[1].Planned.Length; got != 14*Day { // EN 84, read
		t.Errorf("EN 84 lasts %v", got)
	}
}

func TestWater(t *testing.T) {
	for name, want := range map[string]string{
		"en204-3-d3-d4": "20 C +/- 5 C", "hpva-three-cycle": "24 C +/- 3 C", "en204-1-dry": "",
		"en204-5-d4": "boil 100 C, then cool in water 20 +/- 5 C",
	} {
		if got := protocol(t, name).Water(); got != want {
			t.Errorf("%s: water %q, want %q", name, got, want)
		}
	}
}

func TestFindProtocol(t *testing.T) {
	for _, name := range []string{"EN 314-1 24h", "en314-1-24H", " en314 1 24 h "} {
		if p := protocol(t, name); p.Name != "en314-1-24h" {
			t.Errorf("%q is %s", name, p.Name)
		}
	}
	for name, want := range map[string]string{"en204": "en204-1-dry", "en204-3": "en204-3-d3-d4", "d5751 boil": "astm-d5751-boil", "week": "workshop-week-soak", "": ""} {
		_, err := FindProtocol(name)
		var unknown *UnknownProtocol
		if !errors.As(err, &unknown) || len(unknown.Near) != 4 || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s among the nearest", name, err, want)
		}
	}
}

// TestOpenSteps: a schedule that leaves a length open is not complete until a
// person has set it, to one of the list where there is one.
func TestOpenSteps(t *testing.T) {
	p := protocol(t, "iso9142-immersion")
	if open := p.Open(); len(open) != 1 || len(p.Steps[0].Choices) != 20 {
		t.Fatalf("open %v, %d choices", open, len(p.Steps[0].Choices))
	}
	week, _ := ParsePlanned("7 d +/- 4 h")
	chosen, err := p.With(0, week)
	if err != nil || len(chosen.Open()) != 0 || len(p.Open()) != 1 {
		t.Fatalf("%v, open %v of %v", err, chosen.Open(), p.Open())
	}
	if got := planLines(chosen); got != `"soak" = "7 d +/- 4 h"` {
		t.Errorf("chosen: %s", got)
	}
	for _, text := range []string{"5 d", "none", "at least 7 d"} {
		length, _ := ParsePlanned(text)
		if _, err := p.With(0, length); err == nil {
			t.Errorf("%s passes", text)
		}
	}
	if _, err := chosen.With(0, week); err == nil || !strings.Contains(err.Error(), "already") {
		t.Errorf("a second choice: %v", err)
	}
	cold := protocol(t, "boil-dry-boil-60")
	if open := cold.Open(); len(open) != 1 || cold.Steps[open[0]].Length != "until cold" {
		t.Errorf("until cold: %v", open)
	}
	if _, err := cold.With(3, Planned{Kind: AtLeast, Length: time.Hour}); err != nil {
		t.Error(err)
	}
	if open := protocol(t, "hpva-three-cycle").Open(); len(open) != 0 {
		t.Errorf("an inspection is open: %v", open)
	}
}

func TestPass(t *testing.T) {
	for _, c := range []struct {
		stage Stage
		n     int
		want  Stage
	}{{Immersion, 1, "immersion"}, {Immersion, 2, "immersion 2"}, {LiftOut, 12, "lift-out 12"}} {
		s := Pass(c.stage, c.n)
		if stage, n := PassOf(s); s != c.want || stage != c.stage || n != c.n {
			t.Errorf("Pass(%s, %d) = %q, and back %s, %d", c.stage, c.n, s, stage, n)
		}
	}
	for _, own := range []Stage{"boil 2", "immersion 02", "immersion 1", "immersion x", "clamp on", "immersion -2"} {
		if stage, n := PassOf(own); stage != own || n != 1 {
			t.Errorf("PassOf(%q) = %s, %d", own, stage, n)
		}
	}
}

func FuzzFindProtocol(f *testing.F) {
	for _, s := range []string{"en204-1-dry", "", "☃", strings.Repeat("en", 100)} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if p, err := FindProtocol(s); (err == nil) != (p.Name != "") {
			t.Errorf("%q: %v, %v", s, p.Name, err)
		}
	})
}
