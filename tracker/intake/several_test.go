package intake

import (
	"testing"
	"time"

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
		{word: "0-3"}, {word: "-3"}, {word: "1-"}, {word: "board"}, {word: "alls"}, {word: "1-2-3"}, {word: ""},
	} {
		sub, ok, err := readSeveral(d.Record(), test.word)
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
