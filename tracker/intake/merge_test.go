package intake

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
	"soaktag/tracker/strength"
)

// copyOf copies a closed study.
func copyOf(t testing.TB, path, name string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	to := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(to, text, 0o644); err != nil {
		t.Fatal(err)
	}
	return to
}

// A notebook is a copy of a study that somebody writes in.
type notebookAt struct {
	path string
	clock
}

// writes lets somebody write in a notebook, and closes it.
func (n *notebookAt) writes(t testing.TB, by string, forms ...Input) {
	t.Helper()
	n.open(t, func(d *Desk) {
		for _, form := range forms {
			d.Entry = Now(n.now)
			d.Reason, d.By = "why", by
			if _, err := d.Take(form); err != nil {
				t.Fatalf("%#v: %v", form, err)
			}
			n.now = n.now.Add(time.Minute)
		}
	})
}

func (n *notebookAt) open(t testing.TB, do func(*Desk)) {
	t.Helper()
	db, err := store.Open(n.path, plan.Read)
	if err != nil {
		t.Fatal(err)
	}
	d, err := Open(db, Now(n.now), func() time.Time { return n.now })
	if err != nil {
		t.Fatal(err)
	}
	do(d)
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
}

// merges takes another notebook in.
func (n *notebookAt) merges(t testing.TB, from string) (out Outcome) {
	t.Helper()
	n.open(t, func(d *Desk) {
		var err error
		if out, err = d.Take(Merge{Name: from}); err != nil {
			t.Fatal(err)
		}
	})
	if r := store.Verify(n.path); len(r.Problems) > 0 {
		t.Fatalf("%v", r.Problems)
	}
	return out
}

// record is what a file holds.
func record(t testing.TB, path string) *tracker.Record {
	t.Helper()
	db, err := store.OpenCopy(path, plan.Read)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	rec, err := db.State()
	if err != nil {
		t.Fatal(err)
	}
	return rec
}

// differs says in what two records differ beyond the order of their logs and the notebook
// that each says an event was written in; empty where they are the same.
func differs(a, b *tracker.Record) string {
	for what, of := range map[string]func(*tracker.Record) []string{"events": eventsOf, "lives": livesOf, "marks": marksIn, "results": resultsOf} {
		x, y := of(a), of(b)
		for i := range max(len(x), len(y)) {
			if i >= len(x) || i >= len(y) || x[i] != y[i] {
				return fmt.Sprintf("%s differ at %d of %d and %d:\n%s\n%s", what, i, len(x), len(y), nth(x, i), nth(y, i))
			}
		}
	}
	return ""
}

func nth(all []string, i int) string {
	if i < len(all) {
		return all[i]
	}
	return "none"
}

func eventsOf(rec *tracker.Record) (all []string) {
	for _, e := range rec.Events() {
		e.Notebook = ""
		all = append(all, fmt.Sprintf("%q", store.Encode(e)))
	}
	slices.Sort(all)
	return all
}

// marksIn lists marks by what they are about, but for the places of events in a log.
func marksIn(rec *tracker.Record) (all []string) {
	for _, m := range rec.Marks() {
		all = append(all, markLine(m))
	}
	slices.Sort(all)
	return all
}

func markLine(m tracker.Mark) string {
	switch a := m.About.(type) {
	case tracker.SettledApart:
		return fmt.Sprint(m.Rule, m.Code, m.Event, m.Open(), a.Also.ID)
	case tracker.DealtTwice:
		return fmt.Sprint(m.Rule, m.Code, m.Event, m.Open(), a.First.ID, a.Second.ID, a.Other)
	case tracker.AmendedApart:
		return fmt.Sprint(m.Rule, m.Code, m.Event, m.Open(), a.Beside.ID)
	}
	return fmt.Sprintf("%+v", m)
}

func livesOf(rec *tracker.Record) (all []string) {
	for _, life := range rec.Lives() {
		l := *life
		l.Marks = nil
		text, err := json.Marshal(l)
		if err != nil {
			panic(err)
		}
		all = append(all, string(text))
	}
	return all
}

func resultsOf(rec *tracker.Record) (all []string) {
	for _, r := range strength.Results(rec).Specimens {
		r.Marks = nil
		text, err := json.Marshal(r)
		if err != nil {
			panic(err)
		}
		all = append(all, string(text))
	}
	return all
}

// anything is a form that somebody may fill in.
func anything(r *rand.Rand, rec *tracker.Record) Input {
	one := code(1 + r.IntN(8))
	some := fmt.Sprint(2 + r.IntN(max(1, len(rec.Events())-1)))
	switch r.IntN(16) {
	case 0, 1, 2, 3, 4:
		return Stage{Subjects: []string{one}, Name: string(pick(r, stages...))}
	case 5:
		return Stage{Subjects: []string{one}, Name: pick(r, "lost", "found", "damaged")}
	case 6, 7:
		return Try{Subject: one, Reading: fmt.Sprintf("%d MPa", 3+r.IntN(9)), Rig: "press", Ended: pick(r, "separated", "stopped"), WoodFailure: "20"}
	case 8:
		return Faces{Subject: one + "/1", WoodFailure: fmt.Sprint(10 * r.IntN(9)), Picture: []byte("\xff\xd8\xff " + some)}
	case 9:
		return Void{these(some)}
	case 10, 11:
		return Correct{Meant: these(some), Changes: []string{pick(r, "by=Cleo", "note=better", "stage=lift-out", "reading=5 MPa", "code="+one)}, Sure: true}
	case 12:
		return Exchange{A: one, B: code(1 + r.IntN(8)), From: pick(r, "12:30", "13:30"), Until: pick(r, "", "16:00"), Sure: true}
	case 13:
		return Replan{"p.toml", []byte(strings.Replace(smallPlan, `cure = "7 d`, fmt.Sprintf(`cure = "%d d`, 1+r.IntN(20)), 1))}
	case 14:
		return Add{Adhesive: pick(r, "CAS", "EPX"), Treatment: "dry", Count: 1 + r.IntN(2)}
	}
	return Accept{}
}

// writesAnything fills in n forms that are taken.
func (n *notebookAt) writesAnything(t testing.TB, r *rand.Rand, forms int) {
	n.open(t, func(d *Desk) {
		for taken := 0; taken < forms; {
			d.Entry = Now(n.now)
			d.Reason, d.By = "why", pick(r, "Ann", "Bob")
			if _, err := d.Take(anything(r, d.rec)); err == nil {
				taken++
			}
			n.now = n.now.Add(time.Duration(r.IntN(40)) * time.Minute)
		}
	})
}

func sweepMerges() int {
	if os.Getenv("SOAKTAG_CI") == "1" {
		return 150
	}
	return 12
}

// Two copies of a study, written in apart by random hands, are made one again: whichever
// takes the other in, and however often, the record is the same.
func TestMergedEitherWay(t *testing.T) {
	base := begun(t)
	for seed := range uint64(sweepMerges()) {
		r := rand.New(rand.NewPCG(seed, 14))
		origin := &notebookAt{copyOf(t, base, "o.soaktag"), clock{noon.Add(time.Hour)}}
		origin.writesAnything(t, r, 8)
		bench := &notebookAt{copyOf(t, origin.path, "bench.soaktag"), clock{origin.now}}
		tub := &notebookAt{copyOf(t, origin.path, "tub.soaktag"), clock{origin.now}}
		bench.writesAnything(t, r, 10)
		tub.writesAnything(t, r, 10)
		apart := copyOf(t, bench.path, "bench.soaktag")
		bench.merges(t, tub.path)
		tub.merges(t, apart)
		if text := differs(record(t, bench.path), record(t, tub.path)); text != "" {
			t.Fatalf("seed %d: %s", seed, text)
		}
		for _, again := range []string{tub.path, apart, origin.path} {
			before := store.Verify(bench.path)
			if n := noted[Merged](t, bench.merges(t, again)); n.Added > 0 || store.Verify(bench.path).Head != before.Head {
				t.Fatalf("seed %d: merging again added %d", seed, n.Added)
			}
		}
	}
}

// What contradicts asks, and which counts does not depend on which notebook took the
// other in.
func TestContradictionsAsk(t *testing.T) {
	for _, test := range []struct {
		name       string
		before     []Input
		bench, tub Input
		rule       tracker.Rule
		asks       int
		check      func(*tracker.Record) string
		want       string
	}{
		{"two corrections", []Input{Try{Subject: "1", Reading: "5 MPa", Rig: "press", Ended: "separated"}},
			Correct{Meant: these("2"), Changes: []string{"reading=6 MPa"}}, Correct{Meant: these("2"), Changes: []string{"reading=7 MPa"}},
			tracker.RuleSettledApart, 1, readings, "7 MPa"},
		{"corrected and taken back", []Input{Try{Subject: "1", Reading: "5 MPa", Rig: "press", Ended: "separated"}},
			Correct{Meant: these("2"), Changes: []string{"reading=6 MPa"}}, Void{these("2")},
			tracker.RuleSettledApart, 1, readings, "6 MPa"},
		{"two breaks", nil, Try{Subject: "1", Reading: "5 MPa", Rig: "press", Ended: "separated"},
			Try{Subject: "1", Reading: "6 MPa", Rig: "press", Ended: "separated"}, tracker.RuleAfterBreak, 1,
			func(r *tracker.Record) string { return r.Lives()[0].Break().Try.Reading }, "5 MPa"},
		{"two plans", nil, Replan{"p", []byte(strings.Replace(smallPlan, "cure = \"7 d", "cure = \"8 d", 1))},
			Replan{"p", []byte(strings.Replace(smallPlan, "cure = \"7 d", "cure = \"9 d", 1))}, tracker.RuleAmendedApart, 1,
			func(r *tracker.Record) string { return r.Study().Intervals[1].Planned.String() }, "9 d +/- 1 d"},
		{"one serial", nil, Add{Adhesive: "CAS", Treatment: "dry", Count: 1}, Add{Adhesive: "EPX", Treatment: "soaked", Count: 1},
			tracker.RuleDealtTwice, 1, func(r *tracker.Record) string { return r.Specimens()[8].Adhesive }, "CAS"},
		{"the same taken back", []Input{Stage{Subjects: []string{"1"}, Name: "glue-up"}}, Void{these("2")}, Void{these("2")}, "", 0,
			func(r *tracker.Record) string { return fmt.Sprint(r.Lives()[0].Next) }, "cut"},
	} {
		base := &notebookAt{begun(t), clock{noon.Add(time.Hour)}}
		base.writes(t, "Ann", test.before...)
		bench := &notebookAt{copyOf(t, base.path, "bench.soaktag"), clock{base.now}}
		tub := &notebookAt{copyOf(t, base.path, "tub.soaktag"), clock{base.now.Add(30 * time.Second)}}
		bench.writes(t, "Ann", test.bench)
		tub.writes(t, "Bob", test.tub)
		apart := copyOf(t, bench.path, "bench.soaktag")
		bench.merges(t, tub.path)
		tub.merges(t, apart)
		for _, path := range []string{bench.path, tub.path} {
			rec := record(t, path)
			asks := 0
			for _, m := range rec.OpenMarks() {
				if m.Rule == test.rule {
					asks++
				}
			}
			if got := test.check(rec); got != test.want || asks != test.asks {
				t.Errorf("%s: in %s %q, want %q; %d ask, want %d: %v", test.name, filepath.Base(path), got, test.want, asks, test.asks, rec.OpenMarks())
			}
		}
		if text := differs(record(t, bench.path), record(t, tub.path)); text != "" {
			t.Errorf("%s: %s", test.name, text)
		}
	}
}

// readings are those of the first specimen that count.
func readings(r *tracker.Record) string {
	var all []string
	for _, try := range r.Lives()[0].Tries {
		all = append(all, try.Try.Reading)
	}
	return strings.Join(all, ", ")
}

// The way out of a serial dealt twice is the one that the mark names: the second dealing is
// voided and dealt anew, in whichever notebook, and nothing asks any more.
func TestWayOutOfOneSerialTwice(t *testing.T) {
	base := begun(t)
	bench := &notebookAt{copyOf(t, base, "bench.soaktag"), clock{noon.Add(time.Hour)}}
	tub := &notebookAt{copyOf(t, base, "tub.soaktag"), clock{noon.Add(2 * time.Hour)}}
	bench.writes(t, "Ann", Add{Adhesive: "CAS", Treatment: "dry", Count: 1})
	tub.writes(t, "Bob", Add{Adhesive: "EPX", Treatment: "dry", Count: 1}, Stage{Subjects: []string{"9"}, Name: "cut"})
	bench.merges(t, tub.path)
	bench.now = tub.now
	bench.writes(t, "Ann", Void{these("3")}, Add{Adhesive: "EPX", Treatment: "dry", Count: 1})
	ten := record(t, bench.path).Specimens()[9].Code.String()
	bench.writes(t, "Ann", Correct{Meant: these("4"), Changes: []string{"code=" + ten}})
	tub.merges(t, bench.path)
	for _, path := range []string{bench.path, tub.path} {
		rec := record(t, path)
		if n := len(rec.Specimens()); n != 10 || rec.Specimens()[8].Adhesive != "CAS" || len(rec.Lives()[9].Steps) != 1 || len(rec.Lives()[8].Steps) != 0 {
			t.Errorf("%s: %d specimens, %+v", path, n, rec.Specimens()[8:])
		}
		for _, m := range rec.OpenMarks() {
			t.Errorf("%s: still asks: %+v", filepath.Base(path), m)
		}
	}
}

// What is not a copy is refused in one sentence, and nothing is recorded; a dry run
// records nothing; the other file is only read, wherever it lies; it is told where an
// entry was written.
func TestMergeRefusesAndLooks(t *testing.T) {
	here := &notebookAt{begun(t), clock{noon.Add(time.Hour)}}
	there := &notebookAt{copyOf(t, here.path, "tub.soaktag"), clock{noon.Add(2 * time.Hour)}}
	there.writes(t, "Bob", Stage{Subjects: []string{"1"}, Name: "glue-up"}, Faces{Subject: "1/1", WoodFailure: "10", Picture: []byte("\xff\xd8\xff x")})
	stranger := filepath.Join(t.TempDir(), "x.soaktag")
	db, err := store.Create(stranger, tracker.Event{ID: "other", Kind: tracker.Begun, Recorded: noon, Plan: []byte(strings.Replace(smallPlan, `"x"`, `"Skiff"`, 1)), Dealt: dealt()}, plan.Read)
	if err != nil {
		t.Fatal(err)
	}
	db.Close()
	refuses := func(name, want string) {
		t.Helper()
		here.open(t, func(d *Desk) {
			if _, err := d.Take(Merge{Name: name}); err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%v, want %q", err, want)
			}
		})
	}
	refuses(stranger, `holds another study, "Skiff", and this one is "x"`)
	refuses(here.path, "is this study itself")
	before := store.Verify(here.path)
	here.open(t, func(d *Desk) {
		out, err := d.Take(Merge{Name: there.path, Dry: true})
		if n := noted[Merged](t, out); err != nil || n.Added != 3 || !n.Dry {
			t.Errorf("%+v, %v", n, err)
		}
	})
	if after := store.Verify(here.path); after.Head != before.Head {
		t.Error("a dry run recorded something")
	}
	kept, _ := os.ReadFile(there.path)
	folder := filepath.Dir(there.path)
	if err := os.Chmod(there.path, 0o444); err != nil {
		t.Fatal(err)
	}
	os.Chmod(folder, 0o555)
	defer os.Chmod(folder, 0o755)
	if n := noted[Merged](t, here.merges(t, there.path)); n.Added != 3 || !slices.Equal(n.Writers, []string{"Bob"}) {
		t.Errorf("%+v", n)
	}
	if now, _ := os.ReadFile(there.path); string(now) != string(kept) {
		t.Error("the other file was written to")
	}
	if names, _ := fs.Glob(os.DirFS(folder), "*"); len(names) != 1 {
		t.Errorf("left behind: %v", names)
	}
	for _, e := range record(t, here.path).EventsAfter(1) {
		if e.Notebook != "tub.soaktag" || e.By != "Bob" {
			t.Errorf("%+v", e)
		}
	}
	var photos int
	here.open(t, func(d *Desk) {
		d.db.EachPhoto(func(string, string, []byte) error { photos++; return nil })
	})
	if photos != 1 {
		t.Errorf("%d photographs came along", photos)
	}
}
