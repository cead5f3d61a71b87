package intake

import (
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// FuzzLine: whatever a scanner sends or somebody types, it is recorded, refused
// or done as a card; it never panics, and the log stays whole.
func FuzzLine(f *testing.F) {
	for _, seed := range []string{"", "TRF-001-O", "trf 1/2 18:10", "TRF-001-OTRF-002-M", "bath B1", ".YES", ".UNDO", ".WHOANN", ".TEST",
		".IMMERSION", "immersion 2", ".TRIAL01", "trial 1 lost", "1 -2h30m", "7 2026-03-29 01:30", "777", ".BREAK", "12 6 pm", "1 2026-03-05", "TRF-OO1-O 20 oct", "\x00\x01\xff", "é́., ;\t", "1 9999-12-31 23:59"} {
		f.Add(seed)
	}
	path := begun(f)
	d, c := deskAt(f, path)
	lines := 0
	f.Fuzz(func(t *testing.T, line string) {
		c.now = c.now.Add(time.Second)
		before, refused := len(d.rec.Events()), d.Tally().Refused
		out, err := d.Take(Line(line))
		if err != nil {
			t.Fatal(err)
		}
		if err := d.refresh(); err != nil {
			t.Fatal(err)
		}
		grown := len(d.rec.Events()) - before
		if grown != 0 && d.Tally().Refused != refused && !d.Reads(line) {
			t.Errorf("%q: refused, and recorded %d", line, grown)
		}
		if len(out.Notes) == 0 {
			t.Errorf("%q: nothing came of it", line)
		}
		if lines++; lines%500 == 1 {
			whole(t, path)
		}
	})
}

func whole(t testing.TB, path string) {
	t.Helper()
	if r := store.Verify(path); len(r.Problems) > 0 {
		t.Errorf("%v", r.Problems)
	}
}

// UNDO takes back what the last line recorded, and only what still counts: what
// somebody else set aside stays theirs, and the stream goes on.
func TestUndo(t *testing.T) {
	path := begun(t)
	d, c := deskAt(t, path)
	other, err := store.Open(path, plan.Read)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { other.Close() })
	e, err := Open(other, Now(c.now), func() time.Time { return c.now })
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range []Line{".GLUEUP", "1", "2"} {
		c.lines(t, d, line)
	}
	c.took(t, e, Void{these("last")})
	noted[AsideAlready](t, c.lines(t, d, ".UNDO"))
	if back := noted[TakenBack](t, c.lines(t, d, ".UNDO")).Events; len(back) != 1 || back[0].Code != code(1) {
		t.Errorf("taken back: %+v", back)
	}
	noted[NothingToTakeBack](t, c.lines(t, d, ".UNDO"))
	if d.refresh(); len(d.rec.Life(labels.New("TRF", 1)).Steps)+len(d.rec.Life(labels.New("TRF", 2)).Steps) != 0 || d.Tally().Recorded != 0 {
		t.Errorf("%+v", d.Tally())
	}
}

// A stage card lasts a quarter of an hour after the last scan under it.
func TestCardLasts(t *testing.T) {
	for _, test := range []struct {
		wait time.Duration
		want schedule.Stage
	}{{0, schedule.GlueUp}, {CardLasts, schedule.GlueUp}, {CardLasts + time.Second, ""}} {
		d, c := deskAt(t, begun(t))
		c.lines(t, d, ".GLUEUP")
		c.now = c.now.Add(10 * time.Minute)
		c.lines(t, d, "1")
		c.now = c.now.Add(test.wait)
		if e := c.lines(t, d, "2").Verdicts()[0].Event; e.Stage != test.want || d.stage != test.want {
			t.Errorf("after %v: %q", test.wait, e.Stage)
		}
	}
}

// lines takes a line that must not be refused by the store.
func (c *clock) lines(t testing.TB, d *Desk, line Line) Outcome {
	t.Helper()
	out, err := d.Take(line)
	if err != nil {
		t.Fatalf("%q: %v", line, err)
	}
	return out
}

// Where a line is cut between code and time follows from the time.
func TestTimesBehindACode(t *testing.T) {
	for _, test := range []struct{ line, code, from, to string }{
		{"1 6am", code(1), "06:00", "06:00"},
		{"1 6 am", code(1), "06:00", "06:00"},
		{"1 1 6:10 am", code(1) + "/1", "", ""}, // TRF-011, which nobody dealt
		{code(1) + " 1 6:10 am", code(1), "06:10", "06:10"},
		{"2 today", code(2), "00:00", "12:00"},
		{code(2) + " " + noon.Format("2006-01-02"), code(2), "00:00", "12:00"},
		{"2 6", "", "", ""},
		{"2 6 o'clock", "", "", ""},
	} {
		d, c := deskOf(t, smallPlan, dealt())
		c.now = noon
		out, err := d.Take(Line(test.line))
		if err != nil {
			t.Fatal(err)
		}
		if test.from == "" {
			if len(out.Verdicts()) > 0 {
				t.Errorf("%q was recorded: %+v", test.line, out.Verdicts())
			}
			continue
		}
		all := out.Verdicts()
		if len(all) != 1 {
			t.Errorf("%q: %d recorded", test.line, len(all))
			continue
		}
		e := all[0].Event
		from, to := e.At.From.In(d.Zone()).Format("15:04"), e.At.To.In(d.Zone()).Format("15:04")
		if e.Code != test.code || from != test.from || to != test.to {
			t.Errorf("%q: %s at %s..%s", test.line, e.Code, from, to)
		}
	}
}
