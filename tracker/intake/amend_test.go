package intake

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/tracker"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// took takes forms that must all be taken, a minute apart.
func (c *clock) took(t testing.TB, d *Desk, forms ...Input) (last Outcome) {
	t.Helper()
	for _, form := range forms {
		out, err := c.write(d, "why", form)
		if err != nil {
			t.Fatalf("%#v: %v", form, err)
		}
		c.now, last = c.now.Add(time.Minute), out
	}
	return last
}

// noted finds a note of a kind.
func noted[T Note](t testing.TB, out Outcome) (n T) {
	t.Helper()
	for _, note := range out.Notes {
		if n, ok := note.(T); ok {
			return n
		}
	}
	t.Fatalf("no %T among %#v", n, out.Notes)
	return n
}

func code(serial int) string { return labels.New("TRF", serial).String() }

// What is refused leaves the log as it was.
func TestAmendmentsRefused(t *testing.T) {
	d, c := deskAt(t, begun(t))
	c.took(t, d, Stage{Subjects: []string{"1"}, Name: "glue-up"}, Void{these("last")})
	before := len(d.Record().Events())
	exchange := func(from, until string) Input { return Exchange{A: "1", B: "2", From: from, Until: until, Sure: true} }
	another := func(from, to string) Input { return Replan{"p.toml", []byte(strings.Replace(smallPlan, from, to, 1))} }
	for _, test := range []struct {
		name string
		form Input
		want string
	}{
		{"the beginning", Void{these("1")}, "the event that began the study cannot be amended"},
		{"nothing yet", Void{these("99")}, `no event "99" in the log`},
		{"twice", Void{these("2")}, "was set aside already"},
		{"with itself", Exchange{A: "1", B: code(1), From: "12:30", Sure: true}, "cannot be exchanged with itself"},
		{"backwards", exchange("12:30", "12:20"), "until is not after from"},
		{"no such time", exchange("half past", ""), "from: "},
		{"a bath", Exchange{A: "B1", B: "2", From: "12:30"}, "is a bath; name one specimen"},
		{"never dealt", Relabel{Subject: code(77)}, "was never dealt"},
		{"which label", Relabel{Subject: "1"}, "which label of " + code(1)},
		{"known", Relabel{Subject: "1", Was: "2"}, "is a specimen of this study, not an unknown code"},
		{"never soaked", Move{[]string{"3", "1"}, "B2"}, code(1) + " is never soaked"},
		{"no specimen", Move{[]string{code(77)}, "B2"}, "is no specimen of this study"},
		{"no group", Add{Count: 1}, "which adhesive and treatment"},
		{"no such adhesive", Add{Adhesive: "PUR", Treatment: "dry", Count: 1}, `no adhesive "PUR" in the plan in force, which has CAS, EPX`},
		{"no such treatment", Add{Adhesive: "CAS", Treatment: "boiled", Count: 1}, "which has dry, soaked"},
		{"no such board", Add{Adhesive: "CAS", Treatment: "dry", Board: "A", Count: 1}, `no board "A"`},
		{"none", Add{Adhesive: "CAS", Treatment: "dry"}, "add 1 to 100"},
		{"too many", Add{Adhesive: "CAS", Treatment: "dry", Count: 101}, "add 1 to 100"},
		{"the same plan", another("x", "x"), "to the letter"},
		{"baths alike", another(`bath = "B2"`, `bath = "b1"`), "have one card"},
		{"no plan", Replan{"p.toml", []byte("nonsense")}, ""},
		{"another prefix", another(`"TRF"`, `"TRX"`), "would rewrite what happened"},
	} {
		_, err := c.write(d, "why", test.form)
		var r *Refusal
		if !errors.As(err, &r) || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: %v, want %q", test.name, err, test.want)
		}
		if d.refresh(); len(d.Record().Events()) != before {
			t.Errorf("%s: refused, and recorded", test.name)
		}
	}
}

// Every amendment wants a reason, whoever sends it.
func TestAmendmentsWantAReason(t *testing.T) {
	d, c := deskAt(t, begun(t))
	c.took(t, d, Stage{Subjects: []string{"1"}, Name: "glue-up"})
	for _, form := range []Input{Void{these("last")}, Exchange{A: "1", B: "2", From: "12:30"}, Relabel{Subject: "1/1"},
		Move{[]string{"3"}, "B2"}, Add{Adhesive: "CAS", Treatment: "dry", Count: 1}, Replan{"p", []byte(smallPlan + "\n")}} {
		if _, err := c.write(d, "", form); err == nil || !strings.Contains(err.Error(), "wants a reason") {
			t.Errorf("%T: %v", form, err)
		}
	}
	if d.refresh(); len(d.Record().Events()) != 2 {
		t.Errorf("%d events", len(d.Record().Events()))
	}
}

// Two labels sat on each other's specimen: what was read meanwhile is the other's.
func TestExchangeThenVoid(t *testing.T) {
	d, c := deskAt(t, begun(t))
	c.took(t, d, Stage{Subjects: []string{"1"}, Name: "glue-up"})
	out := c.took(t, d, Exchange{A: "1", B: "2", From: "12:30", Until: "14:00", Sure: true})
	e := noted[Exchanged](t, out).Event
	if e.Code != code(1) || e.Other != code(2) || e.Reason != "why" || e.Until.IsZero() {
		t.Errorf("%+v", e)
	}
	if life := d.rec.Life(labels.New("TRF", 2)); len(life.Steps) != 1 {
		t.Errorf("the other specimen has %d steps", len(life.Steps))
	}
	if _, err := c.write(d, "why", Exchange{A: "2", B: "1", From: "13:30", Sure: true}); err == nil {
		t.Error("exchanged twice at one time")
	}
	noted[SetAside](t, c.took(t, d, Void{these("last")}))
	if life := d.rec.Life(labels.New("TRF", 1)); len(life.Steps) != 1 {
		t.Errorf("after the void the first has %d steps", len(life.Steps))
	}
}

// A doubtful time is refused until somebody was asked, unless --yes was said
// beforehand. 2026-03-29 01:30 does not exist in London.
func TestDoubtfulTimesAreAskedAbout(t *testing.T) {
	for _, test := range []struct{ sure, yes, taken, told bool }{
		{false, false, false, true}, {true, false, true, true}, {false, true, true, false}} {
		d, c := deskAt(t, begun(t))
		c.now = time.Date(2026, 3, 30, 9, 0, 0, 0, time.UTC)
		d.Entry = Now(c.now)
		d.Reason, d.Yes = "why", test.yes
		out, err := d.Take(Exchange{A: "1", B: "2", From: "2026-03-29 01:30", Sure: test.sure})
		told := slices.ContainsFunc(out.Notes, func(n Note) bool { _, is := n.(TimeDoubted); return is })
		if (err == nil) != test.taken || told != test.told {
			t.Errorf("%+v: %v, told %v", test, err, told)
		}
		if r := (*Refusal)(nil); errors.As(err, &r) && r.Cause != (InDoubt{}) {
			t.Errorf("%+v: cause %#v", test, r.Cause)
		}
	}
}

// A label that is printed again counts up; an unknown code that is explained
// gives the specimen what was read under it.
func TestRelabel(t *testing.T) {
	d, c := deskAt(t, begun(t))
	for want := 2; want <= 3; want++ {
		if e := c.took(t, d, Relabel{Subject: "1/2"}).Verdicts()[0].Event; e.Issue != want || e.Half != 2 {
			t.Errorf("issue %d of half %d, want %d", e.Issue, e.Half, want)
		}
	}
	c.took(t, d, Stage{Subjects: []string{code(77)}, Name: "glue-up"})
	e := noted[Explained](t, c.took(t, d, Relabel{Subject: "1", Was: code(77)})).Event
	if life := d.rec.Life(labels.New("TRF", 1)); len(life.Steps) != 1 || !e.At.IsZero() {
		t.Errorf("%d steps, from %v", len(life.Steps), e.At)
	}
}

func TestMove(t *testing.T) {
	d, c := deskAt(t, begun(t))
	out := c.took(t, d, Move{[]string{"3", "4"}, "B9"})
	if noted[NoPlan](t, out).Bath != "B9" || len(out.Verdicts()) != 2 {
		t.Errorf("%#v", out.Notes)
	}
	if life := d.rec.Life(labels.New("TRF", 3)); life.Specimen.Bath != "B9" {
		t.Errorf("it lies in %q", life.Specimen.Bath)
	}
}

// One glued anew takes over what is not said otherwise, and not the code.
func TestAdd(t *testing.T) {
	d, c := deskAt(t, begun(t))
	out := c.took(t, d, Add{Of: "3", Treatment: "dry", Count: 1})
	noted[NoHalves](t, out)
	sp := noted[Added](t, out).Event.Dealt[0]
	if sp.Adhesive != "CAS" || sp.Treatment != "dry" || sp.Bath != "" || sp.Parent != code(3) || sp.Order != 9 || sp.Code.Serial <= 8 {
		t.Errorf("%+v", sp)
	}
	last := sp.Code.Serial
	for _, sp := range noted[Added](t, c.took(t, d, Add{Adhesive: "EPX", Treatment: "soaked", Count: 2})).Event.Dealt {
		if sp.Bath != "B2" || sp.Code.Serial <= last {
			t.Errorf("%+v", sp)
		}
		last = sp.Code.Serial
	}
	c.took(t, d, Void{these("last")})
	if sp := noted[Added](t, c.took(t, d, Add{Adhesive: "EPX", Treatment: "dry", Count: 1})).Event.Dealt[0]; sp.Code.Serial <= last {
		t.Errorf("%s was dealt again", sp.Code)
	}
}

// Programs that add specimens at once deal different serials.
func TestAddingAtOnce(t *testing.T) {
	path := begun(t)
	const programs, rounds, each = 3, 5, 2
	dealt := make(chan labels.Code, programs*rounds*each)
	failed := make(chan error, programs)
	for range programs {
		go func() { failed <- addOften(path, rounds, each, dealt) }()
	}
	for range programs {
		if err := <-failed; err != nil {
			t.Error(err)
		}
	}
	close(dealt)
	seen := map[labels.Code]bool{}
	for c := range dealt {
		if seen[c] {
			t.Errorf("%s was dealt twice", c)
		}
		seen[c] = true
	}
	d, _ := deskAt(t, path)
	if n := len(d.rec.Specimens()); n != 8+programs*rounds*each || len(seen) != n-8 {
		t.Errorf("%d said to be dealt, %d there", len(seen), n-8)
	}
}

func addOften(path string, rounds, each int, dealt chan<- labels.Code) error {
	db, err := store.Open(path, plan.Read)
	if err != nil {
		return err
	}
	defer db.Close()
	c := clock{noon.Add(time.Hour)}
	d, err := Open(db, Now(c.now), func() time.Time { return c.now })
	for range rounds {
		if err != nil {
			return err
		}
		var out Outcome
		if out, err = c.write(d, "r", Add{Adhesive: "CAS", Treatment: "dry", Count: each}); err != nil {
			return err
		}
		for _, sp := range out.Notes[0].(Added).Event.Dealt {
			dealt <- sp.Code
		}
	}
	return nil
}

// Another plan is foreseen before it is put in force: the specimen that began
// its soak keeps the old length, the others get the new one.
func TestReplan(t *testing.T) {
	d, c := deskAt(t, begun(t))
	c.took(t, d, Stage{Subjects: []string{"3"}, Name: "immersion"})
	form := Replan{"p.toml", []byte(strings.Replace(smallPlan, `soak = "7 d`, `soak = "20 d`, 1))}
	d.Entry = Now(c.now)
	d.Reason = "why"
	seen, err := d.Preview(form)
	if err != nil {
		t.Fatal(err)
	}
	before := len(d.Record().Events())
	if len(seen.Differences) != 1 || len(seen.Moved) != 1 || len(seen.Kept) != 1 || seen.Specimens != 8 {
		t.Fatalf("%+v", seen)
	}
	if m, k := seen.Moved[0], seen.Kept[0]; m.Change != Altered || m.Specimens != 3 || k.Change != BegunAlready || k.Specimens != 1 || k.Interval != "soak" {
		t.Errorf("%+v, %+v", m, k)
	}
	e := noted[PlanInForce](t, c.took(t, d, form)).Event
	if e.Kind != tracker.PlanAmended || len(d.rec.Events()) != before+1 {
		t.Errorf("%+v", e)
	}
	d.Entry = Now(noon.Add(30 * time.Minute))
	d.Reason = "why"
	if _, err := d.Preview(Replan{"q.toml", []byte(smallPlan)}); err == nil {
		t.Error("an amendment from before the last one is taken")
	}
	d.Entry = Now(c.now.Add(time.Hour))
	d.Reason = "why"
	if _, err := d.Preview(Replan{"q.toml", []byte(smallPlan)}); err == nil {
		t.Error("an amendment from the future is taken")
	}
}
