package plan

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"golang.org/x/tools/txtar"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

var update = flag.Bool("update", false, "write the expected problems of testdata/broken anew")

func check(t *testing.T, name string) (tracker.Study, []Problem) {
	t.Helper()
	path := "testdata/good/" + name
	if name == "oar-loft.toml" { // the plan that ships as the example
		path = "../../cmd/soaktag/demo/" + name
	}
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	study, problems := Check(name, text)
	for _, p := range problems {
		if p.Level == Error {
			t.Error(p)
		}
	}
	if !bytes.Equal(study.Text, text) {
		t.Error("the study does not hold the plan byte for byte")
	}
	return study, problems
}

func same(t *testing.T, what string, got, want any) {
	t.Helper()
	if fmt.Sprintf("%+v", got) != fmt.Sprintf("%+v", want) {
		t.Errorf("%s = %+v, want %+v", what, got, want)
	}
}

// TestOarLoft reads the example study, which has nothing to complain about.
func TestOarLoft(t *testing.T) {
	s, problems := check(t, "oar-loft.toml")
	same(t, "problems", len(problems), 0)
	same(t, "title", s.Title, "New edges for oar blades: six adhesives, dry and after a week under water")
	same(t, "prefix, seed", s.Prefix+fmt.Sprint(s.Seed), "HBR20260221")
	same(t, "first glue-up", s.FirstGlueUp.Format(time.RFC3339), "2026-02-21T13:30:00Z")
	same(t, "adhesives", fmt.Sprint(adhesiveKeys(&s)), "[CAS RF UF PVA EPX PUR]")
	same(t, "contact, cures in water", []bool{s.Adhesives[4].Contact, s.Adhesives[5].CuresInWater, s.Adhesives[0].Contact}, []bool{true, true, false})
	same(t, "boards", len(s.Wood.Boards), 4)
	same(t, "board A", math.Round(s.Wood.Boards[0].Size.Length.MM()), 2400.0)
	same(t, "bond", s.Specimen.BondLength.MM()*s.Specimen.BondWidth.MM(), 1800.0)
	same(t, "clamps", s.Specimen.Clamps, 48)
	same(t, "break", s.Specimen.TimePerBreak, 6*time.Minute)
	same(t, "intervals", fmt.Sprint(names(s.Intervals)), "[surface age clamp cure soak wet hold]")
	same(t, "soaked", []bool{s.Treatments[0].Soaked, s.Treatments[1].Soaked}, []bool{false, true})
	same(t, "states", s.Treatments[0].State+" "+s.Treatments[1].State, "dry wet")
	same(t, "age", s.Treatments[0].Age, schedule.Planned{Kind: schedule.AsPartner, Early: schedule.Day, Late: schedule.Day})
	same(t, "ram", math.Round(s.Rigs[0].RamArea.CM2()*100), 1594.0)
	same(t, "span", s.Rigs[0].Gauge.SpanPressure.MPa(), 25.0)
	same(t, "tool", s.Rigs[0].Parts[1].WorkingLimit.KN(), 50.0)
	same(t, "rule", s.Rule, tracker.Limits{WoodLimitedAt: 0.8, Blind: true})
	same(t, "shop", s.Shop[1], tracker.ShopHours{Day: time.Friday, Opens: 540, Ends: 780})
}

func TestMinimal(t *testing.T) {
	s, problems := check(t, "minimal.toml")
	for _, p := range problems {
		if p.Level != Hint {
			t.Error(p)
		}
	}
	same(t, "bond", fmt.Sprintf("%.2f x %.2f in", s.Specimen.BondLength.IN(), s.Specimen.BondWidth.IN()), "1.75 x 1.50 in")
	same(t, "name", s.Adhesives[1].Name, "B")
	soak, _ := find(s.Intervals, "soak")
	same(t, "soak", soak, schedule.Interval{Name: "soak", From: schedule.Immersion, To: schedule.LiftOut,
		Planned: schedule.Planned{Kind: schedule.Target, Length: 48 * time.Hour, Late: 4 * time.Hour, Early: 30 * time.Minute}})
	same(t, "path", s.Path(tracker.Specimen{Treatment: "dry"}), "[cut planing glue-up clamp removal break]")
}

// TestUnitsOfTheBond: the unit that the bond is written in chooses those of the
// screen; what a comment, another key or another table says does not.
func TestUnitsOfTheBond(t *testing.T) {
	text, err := os.ReadFile("../../cmd/soaktag/demo/oar-loft.toml")
	if err != nil {
		t.Fatal(err)
	}
	const bond = `bond           = "40 mm x 45 mm"`
	for with, want := range map[string]quantity.System{
		bond: quantity.Metric,
		bond + "\n# bond = \"1 1/2 in x 1 3/4 in\"\n":    quantity.Metric,
		bond + " # bond = \"1 1/2 in x 1 3/4 in\"\n":     quantity.Metric,
		`bond = "1 1/2 in x 1 3/4 in" # "40 mm x 45 mm"`: quantity.Inch,
		`"bond" = "1.5inch X 1.75 inches"`:               quantity.Inch,
		`bond = '1 1/2" x 1 3/4"'`:                       quantity.Inch,
		`bond = '0.125 ft x 4 cm'`:                       quantity.Inch,
		`bond = """4 cm x 4 cm"""`:                       quantity.Metric,
	} {
		study, problems := Check("plan", bytes.Replace(text, []byte(bond), []byte(with), 1))
		if study.Units != want || study.Specimen.BondLength <= 0 {
			t.Errorf("%s: %v units, want %v; %v", with, study.Units, want, problems)
		}
	}
}

// TestExamplesWithoutABond: what to write is shown in the units that the rest of
// the plan, or else its zone, speaks for.
func TestExamplesWithoutABond(t *testing.T) {
	const metric, inch = `bond = "40 mm x 45 mm"`, `bond = "1 1/2 in x 1 3/4 in"`
	for plan, want := range map[string]string{
		"[study]\nzone = \"Europe/London\"":                                                   metric,
		"[study]\nzone = \"America/New_York\"":                                                inch,
		"[study]\nzone = \"America/Toronto\"":                                                 metric,
		"[study]\nzone = \"America/New_York\"\n[specimen]\nblank = \"48 mm x 45 mm x 20 mm\"": metric,
		"[study]\nzone = \"Europe/London\"\n[specimen]\nblank = \"2 in x 2 in x 1 in\"":       inch,
	} {
		_, problems := Check("plan", []byte(plan))
		if !slices.ContainsFunc(problems, func(p Problem) bool { return strings.Contains(p.Hint, want) }) {
			t.Errorf("%s: no hint of %s: %v", plan, want, problems)
		}
	}
}

// TestForms reads every form of the plan file that the example does not use,
// and looks at what a specimen makes of it.
func TestForms(t *testing.T) {
	s, _ := check(t, "forms.toml")
	same(t, "first glue-up", s.FirstGlueUp.UTC().Format(time.RFC3339), "2026-03-07T15:00:00Z")
	same(t, "contact", s.Specimen.Contact, true)
	same(t, "replicates", s.Treatments[1].ByAdhesive, map[string]int{"EPX": 3, "PUR": 2, "HOT": 0})
	var soaked []bool
	for _, tr := range s.Treatments {
		soaked = append(soaked, tr.Soaked)
	}
	same(t, "soaked", soaked, []bool{false, true, false, true, true})
	same(t, "state", s.Treatments[1].State, "re-dried")
	same(t, "ram", math.Round(s.Rigs[1].RamArea.IN2()*1000), 2405.0)
	same(t, "force gauge", math.Round(s.Rigs[0].Gauge.SpanForce.LBF()), 40000.0)
	same(t, "pressure gauge", math.Round(s.Rigs[1].Gauge.DivisionPressure.PSI()), 50.0)
	same(t, "parts", math.Round(s.Rigs[1].Parts[1].WorkingLimit.LBF()), 9000.0)
	same(t, "rule", s.Rule, tracker.Limits{WoodLimitedAt: 0.75})
	checkGiven(t, s)
	same(t, "shop", s.Shop, []tracker.ShopHours{{Day: 6, Opens: 540, Ends: 750}, {Day: 6, Opens: 810, Ends: 1440}, {Day: 1, Opens: 480, Ends: 540}})
	for of, want := range map[tracker.Specimen]string{
		{Adhesive: "EPX", Treatment: "dry"}:  "open time glue-up>clamp on at most 5 min, clamp glue-up>clamp removal at least 12 h, age clamp removal>break 22 d +/- 1 d",
		{Adhesive: "PUR", Treatment: "boil"}: "cure glue-up>immersion at least 12 h, soak immersion>lift-out 4 h +/- 10 min, open time glue-up>clamp on at most 10 min, wet hold lift-out>break at most 30 min, drying lift-out>break 20 h +/- 1 h",
		{Adhesive: "HOT", Treatment: "boil"}: "age glue-up>break 30 d +/- 2 d",
		{Adhesive: "HOT", Treatment: "dry"}:  "age glue-up>break 22 d +/- 1 d",
		{Adhesive: "PUR", Treatment: "damp"}: "age glue-up>break at least 10 d",
	} {
		var got []string
		for _, iv := range s.IntervalsOf(of) {
			got = append(got, fmt.Sprintf("%s %s>%s %s", iv.Name, iv.From, iv.To, iv.Planned))
		}
		for _, part := range strings.Split(want, ", ") {
			if !slices.Contains(got, part) {
				t.Errorf("%s %s: %q is not among %q", of.Adhesive, of.Treatment, part, got)
			}
		}
		if n := strings.Count(strings.Join(got, ","), "age glue") + strings.Count(strings.Join(got, ","), "age clamp"); n > 1 {
			t.Errorf("%s %s has two ages: %q", of.Adhesive, of.Treatment, got)
		}
	}
}

// checkGiven looks at what a person may give for foresight.
// TestEveryDay: hours for every day alike, and for those not named.
func TestEveryDay(t *testing.T) {
	text, err := os.ReadFile("../../cmd/soaktag/testdata/nine-evenings.toml")
	if err != nil {
		t.Fatal(err)
	}
	before, _, _ := strings.Cut(string(text), "hours = {")
	for hours, want := range map[string]string{
		`"18:00-21:00"`:             "0 18-21, 1 18-21, 2 18-21, 3 18-21, 4 18-21, 5 18-21, 6 18-21",
		`{ daily = "18:00-21:00" }`: "0 18-21, 1 18-21, 2 18-21, 3 18-21, 4 18-21, 5 18-21, 6 18-21",
		`{ daily = "6:00-7:00, 18:00-21:00", sat = "09:00-18:00" }`: "6 9-18, 0 6-7, 0 18-21, 1 6-7, 1 18-21, 2 6-7, 2 18-21, 3 6-7, 3 18-21, 4 6-7, 4 18-21, 5 6-7, 5 18-21",
	} {
		s, problems := Check("p.toml", []byte(before+"hours = "+hours+"\n"))
		var got []string
		for _, h := range s.Shop {
			got = append(got, fmt.Sprintf("%d %d-%d", h.Day, h.Opens/60, h.Ends/60))
		}
		same(t, hours, strings.Join(got, ", "), want)
		for _, p := range problems {
			if p.Level == Error || p.Rule == "unknown-key" {
				t.Errorf("%s: %v", hours, p)
			}
		}
	}
}

func checkGiven(t *testing.T, s tracker.Study) {
	t.Helper()
	same(t, "wood", fmt.Sprintf("%.0f psi (%s), %v, %.0f kg/m3", s.Wood.Dry.Shear.PSI(), s.Wood.Dry.Source, s.Wood.Wet, s.Wood.Density.KGM3()),
		"1910 psi (three breaks of the offcuts, invented), {0 }, 673 kg/m3")
	same(t, "bond", fmt.Sprintf("%v, %.0f lbf", s.Specimen.TimePerBond, s.Specimen.ClampForce.LBF()), "2m0s, 300 lbf")
	same(t, "measuring", fmt.Sprintf("%.3f mm, %.2f mm", s.Specimen.MeasuredWithin.MM(), s.Specimen.Caliper.MM()), "0.397 mm, 0.02 mm")
	same(t, "mix", s.Adhesives[0].Mix, quantity.Ratio{100, 20, 5})
	same(t, "expected", fmt.Sprint(s.Treatments[2].Expected.Shear.MPa(), s.Treatments[2].Expected.Source), "6a guess from the last study, invented")
	press := s.Rigs[1]
	same(t, "press", fmt.Sprintf("%.3f cm3, %.2f mm, %.2f mm a minute", press.Stroke.CM3(), press.Give.MM(), press.Rate.PerMinute().MM()), "1.966 cm3, 6.35 mm, 5.08 mm a minute")
	same(t, "dials", fmt.Sprint(s.Rigs[0].Gauge.Span, s.Rigs[0].Gauge.Division, press.Gauge.Span), "20 US ton 0.5 US ton 3000 psi")
	same(t, "shop", fmt.Sprint(s.Scale.G(), s.People), "0.1 2")
	same(t, "away", len(s.Away), 2)
	same(t, "a day across the clock change", s.Away[0].Until.Sub(s.Away[0].From), 47*time.Hour)
	same(t, "away and back", []bool{s.Manned(s.Away[1].From.Add(9 * time.Hour)), s.Manned(s.Away[0].Until.Add(9 * time.Hour))}, []bool{false, true})
	same(t, "schedules", s.Treatments[3].Protocol.Name+", "+s.Treatments[4].Protocol.Name+", "+s.Treatments[1].Protocol.Name, "hpva-three-cycle, iso9142-immersion, ")
	same(t, "water", s.Treatments[3].Water+"; "+s.Treatments[4].Water, "24 C +/- 3 C; the harbour's")
	same(t, "state", s.Treatments[3].State+" "+s.Treatments[4].State, "re-dried wet")
}

// TestBroken walks the broken plans: every problem of each, at its exact
// place, with the line it is in. A file is named after the rule it breaks;
// those named several-* break five or more.
func TestBroken(t *testing.T) {
	files, err := filepath.Glob("testdata/broken/*.txtar")
	if err != nil || len(files) < 45 {
		t.Fatalf("%d broken plans (%v)", len(files), err)
	}
	rules, several := map[string]bool{}, 0
	for _, file := range files {
		problems := compare(t, file)
		rule, _, _ := strings.Cut(strings.TrimSuffix(filepath.Base(file), ".txtar"), "+")
		found := map[string]bool{}
		for _, p := range problems {
			found[p.Rule], rules[p.Rule] = true, true
		}
		if strings.HasPrefix(rule, "several-") {
			several++
			if n := errorsOf(problems); n < 5 {
				t.Errorf("%s has %d errors", file, n)
			}
		} else if !found[rule] {
			t.Errorf("%s does not break the rule %s", file, rule)
		}
	}
	if len(rules) < 40 || several < 5 {
		t.Errorf("%d rules broken, %d plans with several faults; want 40 and 5", len(rules), several)
	}
}

func errorsOf(problems []Problem) (n int) {
	for _, p := range problems {
		if p.Level == Error {
			n++
		}
	}
	return n
}

// compare checks one broken plan against its expected problems.
func compare(t *testing.T, file string) []Problem {
	t.Helper()
	archive, err := txtar.ParseFile(file)
	if err != nil || len(archive.Files) != 2 {
		t.Fatalf("%s: want a plan and its problems (%v)", file, err)
	}
	text := archive.Files[0].Data
	_, problems := Check("plan.toml", text)
	got := golden(text, problems)
	if *update {
		archive.Files[1].Data = []byte(got)
		if err := os.WriteFile(file, txtar.Format(archive), 0o644); err != nil {
			t.Fatal(err)
		}
	} else if want := string(archive.Files[1].Data); got != want {
		t.Errorf("%s: got\n%s\nwant\n%s", file, got, want)
	}
	return problems
}

// golden writes problems with the line they are in and a caret at their place,
// so that a reader of the file sees whether the place is right.
func golden(text []byte, problems []Problem) string {
	lines := strings.Split(string(text), "\n")
	var b strings.Builder
	for _, p := range problems {
		fmt.Fprintf(&b, "%d:%d %s %s %s\n", p.Line, p.Column, p.Level, p.Rule, p.Key)
		fmt.Fprintf(&b, "    | %s\n    | %s^\n", lines[p.Line-1], strings.Repeat(" ", p.Column-1))
		fmt.Fprintf(&b, "    %s\n", p.Text)
		if p.Hint != "" {
			fmt.Fprintf(&b, "    hint: %s\n", p.Advice())
		}
	}
	return b.String()
}

// TestRead refuses with all errors, and only with errors.
func TestRead(t *testing.T) {
	_, err := Read([]byte("[study]\nprefix = \"HIL\"\nzone = \"Nowhere\"\n"))
	var p Problem
	if !errors.As(err, &p) || strings.Count(err.Error(), "\n") < 4 || !strings.Contains(err.Error(), "plan:2:10: the prefix") {
		t.Errorf("got %v", err)
	}
	text, _ := os.ReadFile("testdata/good/minimal.toml")
	if s, err := Read(text); err != nil || s.Prefix != "TG" {
		t.Errorf("%v, %v", s.Prefix, err)
	}
	var _ tracker.PlanReader = Read
}

// TestColumns counts characters, not bytes, and looks past a byte-order mark.
func TestColumns(t *testing.T) {
	_, problems := Check("p", []byte("\xef\xbb\xbfstudy = { title = \"Öl für Ruder\", préfix = 1 }\r\n"))
	for _, p := range problems {
		if p.Rule == "syntax" && (p.Line != 1 || p.Column != 37) {
			t.Errorf("got %+v", p)
		}
	}
	_, problems = Check("p", []byte("study = { title = \"Öl für Ruder\", prefix = \"I\" }"))
	if i := slices.IndexFunc(problems, func(p Problem) bool { return p.Rule == "prefix-letters" }); i < 0 || problems[i].Column != 44 {
		t.Errorf("got %+v", problems)
	}
}

// FuzzCheck: no panic, places inside the file, problems in order, and Read
// refuses exactly when there is an error.
func FuzzCheck(f *testing.F) {
	for _, pattern := range []string{"../../cmd/soaktag/demo/*.toml", "testdata/good/*.toml", "testdata/broken/*.txtar"} {
		files, _ := filepath.Glob(pattern)
		if len(files) == 0 {
			f.Fatalf("no seeds in %s", pattern)
		}
		for _, file := range files {
			text, err := os.ReadFile(file)
			if err != nil {
				f.Fatal(err)
			}
			if a := txtar.Parse(text); len(a.Files) > 0 {
				text = a.Files[0].Data
			}
			f.Add(text)
		}
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		_, problems := Check("p", text)
		lines := bytes.Count(text, []byte("\n")) + 1
		refused := false
		for i, p := range problems {
			refused = refused || p.Level == Error
			if p.Line < 1 || p.Line > lines || p.Column < 1 || p.Rule == "" || p.Text == "" {
				t.Errorf("no such place: %+v", p)
			}
			if i > 0 && problems[i-1].Line > p.Line {
				t.Error("not in file order")
			}
		}
		if _, err := Read(text); (err != nil) != refused {
			t.Errorf("refused %v, but %v", refused, err)
		}
	})
}
