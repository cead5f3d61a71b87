package intake

import (
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

// asking is a study in which marks of several specimens ask, of two rules at
// least: unknown codes and stages out of turn.
func asking(t testing.TB) (*Desk, *clock, tracker.Event) {
	d, c := deskOf(t, smallPlan, named())
	strange := labels.New("TRF", 300).String()
	out := c.took(t, d, Stage{Subjects: []string{"3"}, Name: "lift-out"})
	c.took(t, d, Stage{Subjects: []string{"4"}, Name: "lift-out"}, Stage{Subjects: []string{"oak 2", strange}, Name: "immersion"})
	if err := d.refresh(); err != nil {
		t.Fatal(err)
	}
	return d, c, out.Verdicts()[0].Event
}

func openOn(rec *tracker.Record) (all []tracker.Mark) {
	for _, m := range rec.Marks() {
		if m.Open() {
			all = append(all, m)
		}
	}
	return all
}

// Accepting takes the marks of what it names and leaves the others.
func TestAcceptTakesWhatIsMeant(t *testing.T) {
	d, _, first := asking(t)
	all := openOn(d.Record())
	rule := string(all[0].Rule)
	ofCode := func(code string) func(tracker.Mark) bool {
		return func(m tracker.Mark) bool { return m.Code == code }
	}
	strange := labels.New("TRF", 300).String()
	for _, test := range []struct {
		name  string
		form  Accept
		means func(tracker.Mark) bool
	}{
		{"all", Accept{}, func(tracker.Mark) bool { return true }},
		{"a code", Accept{Words: []string{code(3)}}, ofCode(code(3))},
		{"a serial", Accept{Words: []string{"4"}}, ofCode(code(4))},
		{"a name", Accept{Words: []string{"OAK 2"}}, ofCode(code(2))},
		{"an unknown code", Accept{Words: []string{strange}}, ofCode(strange)},
		{"an event by its id", Accept{Words: []string{first.ID[:13]}}, func(m tracker.Mark) bool { return m.Event == first.ID }},
		{"the last event", Accept{Words: []string{"last"}}, ofCode(strange)},
		{"a rule in any spelling", Accept{Rule: strings.ToUpper(strings.ReplaceAll(rule, " ", "-"))}, func(m tracker.Mark) bool { return string(m.Rule) == rule }},
		{"a rule of a code", Accept{Words: []string{code(3)}, Rule: rule}, func(m tracker.Mark) bool { return m.Code == code(3) && string(m.Rule) == rule }},
	} {
		d, c, event := asking(t)
		if slices.Contains(test.form.Words, first.ID[:13]) {
			test.form.Words = []string{event.ID[:13]}
			test.means = func(m tracker.Mark) bool { return m.Event == event.ID }
		}
		before := openOn(d.Record())
		out := c.took(t, d, test.form)
		stand := noted[Stand](t, out).Marks
		if n := noted[Accepted](t, out); n.Marks != len(stand) || n.Reason != "why" || len(stand) == 0 {
			t.Errorf("%s: %+v", test.name, n)
		}
		if err := d.refresh(); err != nil {
			t.Fatal(err)
		}
		after := openOn(d.Record())
		for _, m := range after {
			if test.means(m) {
				t.Errorf("%s: left %s of %s", test.name, m.Rule, m.Code)
			}
		}
		meant := 0
		for _, m := range before {
			if test.means(m) {
				meant++
			}
		}
		if len(after) != len(before)-meant {
			t.Errorf("%s: %d of %d marks meant, and %d still ask", test.name, meant, len(before), len(after))
		}
	}
}

func TestAcceptRefusedAndNothing(t *testing.T) {
	d, c, _ := asking(t)
	before := len(d.Record().Events())
	if _, err := c.write(d, "", Accept{}); !refusedWith(err, "wants a reason") {
		t.Errorf("without a reason: %v", err)
	}
	if _, err := c.write(d, "why", Accept{Words: []string{"nonsense"}}); !refusedWith(err, "is neither a code nor an event of this study") {
		t.Errorf("nonsense: %v", err)
	}
	for _, form := range []Accept{{Words: []string{"1"}}, {Rule: "no such rule"}, {Words: []string{"#1"}}} {
		noted[NothingAsksThere](t, c.took(t, d, form))
	}
	if d.refresh(); len(d.Record().Events()) != before {
		t.Error("nothing was to be accepted, and something is recorded")
	}
}

// A table is taken whole, once; what it leaves open the entry says.
func TestRows(t *testing.T) {
	d, c := deskOf(t, smallPlan, named())
	row := func(id, by string) tracker.Event {
		return tracker.Event{ID: id, Kind: tracker.Staged, Stage: schedule.LiftOut, Code: code(3), At: schedule.At(noon.Add(time.Minute)), By: by}
	}
	d.By, d.Note = "Anna", "from the book"
	out, err := d.Take(Rows{Name: "table.csv", Events: []tracker.Event{row("a", ""), row("b", "Ben"), row("a", "")}})
	if n := noted[Imported](t, out); err != nil || n.Name != "table.csv" || n.Added != 2 || n.Known != 1 {
		t.Errorf("%+v, %v", n, err)
	}
	if n := noted[AsksSince](t, out); n.Before != 0 || n.Now == 0 {
		t.Errorf("%+v", n)
	}
	a, _ := d.Record().Event("a")
	b, _ := d.Record().Event("b")
	if a.By != "Anna" || b.By != "Ben" || a.Note != "from the book" || a.Via != "import" || a.Recorded.IsZero() {
		t.Errorf("%+v, %+v", a, b)
	}
	events := len(d.Record().Events())
	if n := noted[Imported](t, c.took(t, d, Rows{Name: "table.csv", Events: []tracker.Event{row("b", "Ben"), row("a", "")}})); n.Added != 0 || n.Known != 2 {
		t.Errorf("again: %+v", n)
	}
	fuller := row("d", "Cy")
	fuller.Target = "a"
	dry := Rows{Name: "table.csv", Events: []tracker.Event{row("b", ""), row("c", ""), fuller}, Dry: true}
	if n := noted[Imported](t, c.took(t, d, dry)); !n.Dry || n.Added != 1 || n.Known != 1 || len(n.Fuller) != 1 {
		t.Errorf("dry: %+v", n)
	}
	if d.refresh(); len(d.Record().Events()) != events {
		t.Error("a dry run recorded something")
	}
	dry.Dry, events = false, events+2
	c.took(t, d, dry)
	if d.refresh(); !d.Record().Voided("a") {
		t.Error("what a table says more of still stands")
	}
	d.Reason = ""
	if all := d.completed(Rows{Name: "a/table.csv", Events: []tracker.Event{fuller}}); all[0].Reason != "table.csv says more of it" {
		t.Errorf("%+v", all)
	}
	if n := noted[NoRows](t, c.took(t, d, Rows{Name: "empty.csv"})); n.Name != "empty.csv" {
		t.Errorf("%+v", n)
	}
	if d.refresh(); len(d.Record().Events()) != events {
		t.Error("the same table twice added something")
	}
}

// The beginning of an id is never read as serials, though both sides of its hyphen be
// digits: one id in 280 begins so.
func TestAnIdIsNoRangeOfSerials(t *testing.T) {
	d, c := deskAt(t, begun(t))
	const id = "00000001-0002-8000-8000-000000000000"
	row := tracker.Event{ID: id, Kind: tracker.Staged, Stage: schedule.LiftOut, Code: code(3), At: schedule.At(noon)}
	c.took(t, d, Rows{Name: "table.csv", Events: []tracker.Event{row}}, Stage{Subjects: []string{"1-2"}, Name: "lift-out"})
	for _, m := range noted[Stand](t, c.took(t, d, Accept{Words: []string{id[:13]}})).Marks {
		if m.Event != id {
			t.Errorf("accepts %s of %s", m.Rule, m.Code)
		}
	}
	if lo, hi, ok := serialRange("1-54"); lo != 1 || hi != 54 || !ok || len(strconv.Itoa(labels.MaxSerial)) >= idBegins {
		t.Errorf("1-54 is %d to %d, %v", lo, hi, ok)
	}
}
