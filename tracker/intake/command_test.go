package intake

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"soaktag/schedule"
	"soaktag/tracker"
)

// these are events named by words.
func these(words ...string) Meant { return Meant{Events: words} }

// An id that tells its command is a UUID of version 8 and of the variant that
// RFC 9562 defines (sections 4.1 and 5.8), and the next one differs.
func TestIDsTellTheirCommand(t *testing.T) {
	a, b := newRun(), newRun()
	for _, r := range []run{a, b} {
		one, two := r.newID(), r.newID()
		id, err := uuid.Parse(one)
		if err != nil || id.Version() != 8 || id.Variant() != uuid.RFC4122 || one == two {
			t.Errorf("%s, %s: %v", one, two, err)
		}
		if of, ok := runOf(one); !ok || of != r {
			t.Errorf("%s tells of %v, not of %v", one, of, r)
		}
	}
	for _, id := range []string{"", "csv-0123", uuid.NewString(), run{}.newID()} {
		if _, ok := runOf(id); ok {
			t.Errorf("%q tells of a command", id)
		}
	}
}

// Of two commands at once each knows its own, and a scan is one however long it
// takes; where ids do not tell, what lies side by side at one moment belongs together.
func TestCommandOf(t *testing.T) {
	path := begun(t)
	a, c := deskAt(t, path)
	b, _ := deskAt(t, path)
	a.stage, b.stage, a.since, b.since = schedule.Cut, schedule.Planing, c.now, c.now
	b.now = a.now
	for i, d := range []*Desk{a, b, a, b, a} {
		c.now = c.now.Add(time.Minute)
		c.lines(t, d, Line(rune('1'+i)))
	}
	of := func(d *Desk, e tracker.Event) (codes []string) {
		for _, x := range commandOf(d.Record(), e) {
			codes = append(codes, x.Code)
		}
		return codes
	}
	a.refresh()
	last, _ := lastEvent(a.rec)
	if got := of(a, last); !slices.Equal(got, []string{code(1), code(3), code(5)}) {
		t.Errorf("the scan of a: %v", got)
	}
	for _, at := range []time.Time{c.now, c.now.Add(time.Hour)} { // as an older soaktag wrote it
		a.Entry = Entry{At: schedule.At(at), Recorded: at}
		if _, err := a.Take(Stage{Subjects: []string{"1-3"}, Name: "glue-up"}); err != nil {
			t.Fatal(err)
		}
	}
	a.refresh()
	last, _ = lastEvent(a.rec)
	if got := of(a, last); last.ID[14] != '4' || !slices.Equal(got, []string{code(1), code(2), code(3)}) {
		t.Errorf("an old entry: %v", got)
	}
}

// What was corrected of a command goes with it; a correction taken back lets what
// it had replaced count again.
func TestVoidCommand(t *testing.T) {
	d, c := deskAt(t, begun(t))
	c.took(t, d, Stage{Subjects: []string{"1-4"}, Name: "cut"})
	cut := d.rec.Events()[1:]
	c.took(t, d, Correct{Meant: these("last", "2-3"), Changes: []string{"note=wet"}})
	c.took(t, d, Correct{Meant: these("6"), Changes: []string{"note=dry"}})
	out := c.took(t, d, Void{Meant{Command: "last"}})
	if back := noted[CountsAgain](t, out).Events; len(back) != 1 || back[0].Note != "wet" {
		t.Errorf("%+v", back)
	}
	if gone := noted[SetAside](t, c.took(t, d, Void{Meant{Command: cut[0].ID}})).Events; len(gone) != 4 {
		t.Errorf("%+v", gone)
	}
	d.refresh()
	for _, life := range d.rec.Lives() {
		if len(life.Steps) > 0 {
			t.Errorf("%v still has %v", life.Specimen.Code, life.Steps)
		}
	}
	for _, word := range []string{"2-9", "2"} {
		if _, err := c.write(d, "why", Void{these(word)}); err == nil || !strings.Contains(err.Error(), "count") && !strings.Contains(err.Error(), "set aside") {
			t.Errorf("%s: %v", word, err)
		}
	}
	if _, err := c.write(d, "why", Void{Meant{Rows: cut, File: "t.csv"}}); !refusedWith(err, "nothing of t.csv is on record and counts") {
		t.Error(err)
	}
}
