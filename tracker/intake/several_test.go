package intake

import (
	"slices"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

// A word of a form that names several is a range of serials, a board or all; a
// name of the person's own comes first, and what goes beyond the study is refused.
func TestReadSeveral(t *testing.T) {
	d, _ := deskOf(t, smallPlan, boarded())
	for _, test := range []struct {
		word, refused string
		of            int // how many it names; 0: it is nothing of that kind
	}{
		{word: "all", of: 8}, {word: " ALL ", of: 8},
		{word: "1-3", of: 3}, {word: "2..2", of: 1}, {word: "1 - 8", of: 8},
		{word: "board a", of: 4}, {word: "Board B", of: 4},
		{word: "3-1", refused: `"3-1": the serials dealt go from 1 to 8`},
		{word: "2-9", refused: `"2-9": the serials dealt go from 1 to 8`},
		{word: "board Z", refused: `"board Z": no specimen of this study is of that board`},
		{word: "epx", of: 4}, {word: "EPX soaked", of: 2}, {word: "soaked", of: 4}, {word: "EPX dry soaked"}, {word: "glued"},
		{word: "glued yesterday", refused: `"glued yesterday": no specimen of this study was glued up then`},
		{word: "glued 03/04/2026", refused: `glued when? time "03/04/2026": 03/04/2026 may be 3 April or 4 March; write 2026-04-03 or 2026-03-04`},
		{word: "0-3"}, {word: "-3"}, {word: "1-"}, {word: "board"}, {word: "alls"}, {word: "1-2-3"}, {word: ""},
	} {
		sub, ok, err := readSeveral(d.Record(), test.word, noon)
		switch {
		case test.refused != "":
			if err == nil || err.Error() != test.refused {
				t.Errorf("%q: %v, want %s", test.word, err, test.refused)
			}
		case err != nil || ok != (test.of > 0) || len(sub.Several.Codes) != test.of:
			t.Errorf("%q: %d specimens, %v, %v; want %d", test.word, len(sub.Several.Codes), ok, err, test.of)
		}
	}
}

// Of a board, or of all, those are meant whose next step a stage is; serials are
// meant as they are named, and a scanner never means several.
func TestSeveralMeant(t *testing.T) {
	d, c := deskOf(t, smallPlan, boarded())
	for _, step := range []struct {
		form    Stage
		records int
		left    int // named as not meant
	}{
		{Stage{Subjects: []string{"1"}, Name: "cut"}, 1, 0},
		{Stage{Subjects: []string{"board A"}, Name: "cut"}, 3, 1},
		{Stage{Subjects: []string{"1-3"}, Name: "planing"}, 3, 0},
		{Stage{Subjects: []string{"all"}, Name: "cut"}, 4, 4},
		{Stage{Subjects: []string{"board B", "2"}, Name: "lost"}, 5, 0},
	} {
		c.now = c.now.Add(time.Hour)
		out, err := c.write(d, "", step.form)
		if err != nil || len(out.Verdicts()) != step.records {
			t.Errorf("%v: %d recorded, %v; want %d", step.form, len(out.Verdicts()), err, step.records)
		}
		if left := left(out); left != step.left {
			t.Errorf("%v: %d not meant, want %d", step.form, left, step.left)
		}
	}
	before := len(d.Record().Events())
	if _, err := c.write(d, "", Stage{Subjects: []string{"all"}, Name: "lift-out"}); err == nil {
		t.Error("all of nobody's next step is taken")
	}
	if out, _ := d.Take(Line("1-3")); len(out.Refused()) != 1 || len(d.Record().Events()) != before {
		t.Errorf("a scanned range is not refused: %+v", out.Notes)
	}
}

// boarded are the specimens of dealt, half of them of board A, half of board B.
func boarded() []tracker.Specimen {
	all := dealt()
	for i := range all {
		all[i].Board = []string{"A", "B"}[i/4]
	}
	return all
}

func left(out Outcome) (n int) {
	for _, note := range out.Notes {
		if s, ok := note.(SeveralNotMeant); ok {
			n += len(s.Codes)
		}
	}
	return n
}

// A lot is what was first glued up on one day, whenever that was written down; a
// second glue-up is none. What was glued since is not meant.
func TestReadLot(t *testing.T) {
	d, c := deskOf(t, smallPlan, dealt())
	c.now = noon.AddDate(0, 0, 3)
	day := func(n int) string { return noon.AddDate(0, 0, n).Format("2006-01-02") }
	for _, glued := range []struct{ who, at string }{{"1", day(0) + " 18:10"}, {"3-4", day(1) + " 23:59"}, {"5", day(2) + " 00:00"}, {"1", day(1) + " 19:00"}} {
		d.Entry = Now(c.now)
		span, _, err := schedule.ParseTime(glued.at, c.now, d.Zone())
		if err != nil {
			t.Fatal(err)
		}
		d.At, d.Timed = span, true
		if _, err := d.Take(Stage{Subjects: []string{glued.who}, Name: "glue-up"}); err != nil {
			t.Fatal(err)
		}
	}
	d.refresh()
	for word, want := range map[string][]labels.Code{
		"glued " + day(0):                 {labels.New("TRF", 1)},
		"GLUED " + day(1):                 {labels.New("TRF", 3), labels.New("TRF", 4)},
		"glued yesterday":                 {labels.New("TRF", 5)},
		"glued " + day(1) + "..yesterday": {labels.New("TRF", 3), labels.New("TRF", 4), labels.New("TRF", 5)},
	} {
		sub, ok, err := readSeveral(d.Record(), word, c.now)
		if err != nil || !ok || !slices.Equal(sub.Several.Codes, want) {
			t.Errorf("%s: %v %v; want %v", word, sub.Several.Codes, err, want)
		}
	}
}

// Once breaking has begun in a blind study nobody is told which codes still to be
// broken are of an adhesive; a treatment tells nothing.
func TestNoAdhesiveWhileBreakingIsBlind(t *testing.T) {
	d, c := deskOf(t, smallPlan, dealt())
	for _, name := range []string{"cut", "planing", "glue-up", "clamp removal"} {
		c.now = c.now.Add(24 * time.Hour)
		c.took(t, d, Stage{Subjects: []string{"all"}, Name: name})
	}
	c.took(t, d, Measure{Subjects: []string{"CAS"}, Values: []string{"bond_length=40 mm"}})
	c.took(t, d, Try{Subject: "1", Reading: "4 MPa", Ended: "separated"})
	_, err := c.write(d, "", Measure{Subjects: []string{"CAS"}, Values: []string{"bond_length=40 mm"}})
	if !refusedWith(err, "is not told while breaking is blind; nothing recorded") {
		t.Error(err)
	}
	c.took(t, d, Measure{Subjects: []string{"dry"}, Values: []string{"bond_length=40 mm"}})
	c.took(t, d, Try{Subject: "2", Reading: "4 MPa", Ended: "separated"})
	c.took(t, d, Measure{Subjects: []string{"cas dry"}, Values: []string{"bond_length=40 mm"}})
}

// FuzzSeveral: whatever somebody names together, it is specimens of the study, each
// once and in the order dealt, or refused, or nothing of that kind.
func FuzzSeveral(f *testing.F) {
	for _, seed := range []string{"all", "1-8", "2..3", "board A", "glued yesterday", "glued 20 Oct", "glued ..", "CAS", "cas soaked", "8-1", "1-99999999999999999999", "-"} {
		f.Add(seed)
	}
	d, c := deskOf(f, smallPlan, boarded())
	f.Fuzz(func(t *testing.T, word string) {
		sub, ok, err := readSeveral(d.rec, word, c.now)
		if err != nil || !ok {
			return
		}
		last := 0
		for _, code := range sub.Several.Codes {
			if d.rec.Life(code) == nil || code.Serial <= last {
				t.Fatalf("%q means %v", word, sub.Several.Codes)
			}
			last = code.Serial
		}
		if last == 0 {
			t.Fatalf("%q means nobody, and is taken", word)
		}
	})
}
