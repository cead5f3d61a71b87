package intake

import (
	"errors"
	"strings"
	"testing"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// deskOf opens a desk in a new study of a plan, with the specimens given.
func deskOf(t testing.TB, text string, specimens []tracker.Specimen) (*Desk, *clock) {
	t.Helper()
	path := t.TempDir() + "/s.soaktag"
	if err := Begin(path, Beginning{Plan: []byte(text), Dealt: specimens, DealtBy: "seed 1", By: "Anna"}, noon); err != nil {
		t.Fatal(err)
	}
	return deskAt(t, path)
}

// named are the specimens of dealt, of which the second is called oak 2 and the
// third dummy.
func named() []tracker.Specimen {
	all := dealt()
	all[1].Name, all[2].Name = "oak 2", "dummy"
	return all
}

func TestSubjects(t *testing.T) {
	d, _ := deskOf(t, smallPlan, named())
	strange := labels.New("TRF", 300).String()
	for _, test := range []struct {
		text string
		want Subject // but for Text
		said string  // how it is shown; else what the refusal says
	}{
		{code(1), Subject{Code: code(1)}, code(1)},
		{strings.ToLower(strings.ReplaceAll(code(1), "-", "")) + "/2", Subject{Code: code(1), Half: 2}, code(1) + "/2"},
		{"  1 ", Subject{Code: code(1), read: true}, code(1)},
		{"TRF-OOl" + code(1)[7:], Subject{Code: code(1), read: true}, code(1)}, // letters for digits
		{"TRF-O99-A", Subject{}, "is no code, name"},
		{"1/2", Subject{Code: code(1), Half: 2, read: true}, code(1) + "/2"},
		{"OAK 2", Subject{Code: "oak 2"}, "oak 2"},
		{"oak 2/1", Subject{Code: "oak 2", Half: 1}, "oak 2/1"},
		{code(2), Subject{Code: code(2)}, code(2)},
		{"b1", Subject{Bath: "B1"}, "bath B1"},
		{"bath B2", Subject{Bath: "B2"}, "bath B2"},
		{strange, Subject{Code: strange}, strange},
		{"dummy", Subject{Code: "dummy"}, "dummy"},
		{"bath B9", Subject{}, "is no code, name, card or bath of this study"},
		{"99", Subject{}, "no specimen of this study has serial 99"},
		{code(1)[:8] + "Z", Subject{}, "has a wrong check character"},
		{"", Subject{}, "is no code, name, card or bath"},
		{strings.Repeat("9", 900), Subject{}, "more bytes"},
	} {
		got, err := readSubject(d.Record(), test.text)
		var r *Refusal
		if errors.As(err, &r) && test.want == (Subject{}) && strings.Contains(r.Why, test.said) {
			continue
		}
		if test.want.Text = strings.TrimSpace(test.text); err != nil || got != test.want || got.String() != test.said {
			t.Errorf("%q is read as %+v (%s), %v; want %+v", test.text, got, got, err, test.want)
		}
	}
	if r := unreadable(d.Record(), code(1)[:8]+"Z", nil); r.Help.(ReadAgain).Near[0] != code(1) {
		t.Errorf("nearest: %v", r.Help)
	}
}

// A dummy is no specimen, but a specimen may be called so.
func TestDummyOrSpecimen(t *testing.T) {
	plain, _ := deskOf(t, smallPlan, dealt())
	called, _ := deskOf(t, smallPlan, named())
	for _, test := range []struct {
		d    *Desk
		word string
		want bool
	}{
		{plain, "Dummy", true}, {plain, ".DUMMY", true}, {plain, "1", false},
		{called, "dummy", false}, {called, ".dummy", true},
	} {
		if got := IsDummy(test.d.Record(), test.word); got != test.want {
			t.Errorf("%q is a dummy: %v", test.word, got)
		}
	}
}

// A text that is no full code is said to be read as one once a desk.
func TestReadAsIsSaidOnce(t *testing.T) {
	d, c := deskOf(t, smallPlan, named())
	said := noted[ReadAs](t, c.took(t, d, Measure{[]string{"1"}, []string{"bond_length=40 mm"}}))
	if len(said.Subjects) != 1 || said.Subjects[0].Code != code(1) {
		t.Errorf("%+v", said)
	}
	for _, again := range []string{"1", "oak 2", code(3)} {
		for _, n := range c.took(t, d, Measure{[]string{again}, []string{"bond_width=45 mm"}}).Notes {
			if r, ok := n.(ReadAs); ok {
				t.Errorf("%q: %+v", again, r)
			}
		}
	}
}

func TestEventNamed(t *testing.T) {
	d, c := deskOf(t, smallPlan, named())
	if _, err := eventNamed(d.Record(), "last"); err == nil || !strings.Contains(err.Error(), "nothing was recorded at this computer since the study began") {
		t.Errorf("last of nothing: %v", err)
	}
	c.took(t, d, Stage{Subjects: []string{"1"}, Name: "glue-up"}, Stage{Subjects: []string{"2"}, Name: "glue-up"})
	d.refresh()
	events := d.Record().Events()
	for _, test := range []struct {
		word string
		want int64 // number of the event; 0 for none
	}{
		{"last", 3}, {"LAST", 3}, {"2", 2}, {"#2", 2}, {events[1].ID, 2}, {events[1].ID[:9], 2}, {"44444444", 0}, {"", 0}, {"nonsense", 0},
	} {
		e, err := eventNamed(d.Record(), test.word)
		if e.Seq != test.want || (err == nil) != (test.want > 0) {
			t.Errorf("%q is event %d, %v; want %d", test.word, e.Seq, err, test.want)
		}
	}
	c.took(t, d, Void{these("last")})
	d.refresh()
	if e, err := eventNamed(d.Record(), "last"); err != nil || e.Seq != 2 {
		t.Errorf("last after a void is %d, %v", e.Seq, err)
	}
}

// A beginning is the first event of a new file, and of no other.
func TestBegin(t *testing.T) {
	path := t.TempDir() + "/s.soaktag"
	b := Beginning{Plan: []byte(smallPlan), Dealt: named(), DealtBy: "table.csv", By: "Anna"}
	if err := Begin(path, b, noon.Add(1500)); err != nil {
		t.Fatal(err)
	}
	if err := Begin(path, b, noon); err == nil {
		t.Error("begun twice")
	}
	if err := Begin(path+"2", Beginning{Plan: []byte("nonsense")}, noon); err == nil {
		t.Error("begun without a plan")
	}
	db, err := store.OpenToRead(path, plan.Read)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	rec, err := db.State()
	if err != nil {
		t.Fatal(err)
	}
	e := rec.Events()[0]
	if e.Kind != tracker.Begun || e.By != "Anna" || e.DealtBy != "table.csv" || len(e.Dealt) != 8 || e.At != schedule.At(noon) || e.ID == "" {
		t.Errorf("%+v", e)
	}
}
