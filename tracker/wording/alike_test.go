package wording

import (
	"strings"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

// gluedUp is a verdict of a specimen of so many, and when its next step opens.
func gluedUp(serial, opens int, marks ...tracker.Mark) tracker.Verdict {
	code := labels.New("HBR", serial)
	at := time.Date(2026, 5, 2, 10, 30, 0, 0, time.UTC)
	for i := range marks {
		marks[i].Code = code.String()
	}
	return tracker.Verdict{
		Event:    tracker.Event{Kind: tracker.Staged, Code: code.String(), Stage: schedule.GlueUp, At: schedule.At(at)},
		Specimen: &tracker.Specimen{Code: code},
		Marks:    marks,
		Next:     &tracker.Due{Stage: schedule.ClampRemoval, Window: schedule.Window{Opens: at.Add(time.Duration(opens) * time.Hour)}},
	}
}

// What differs in the specimen alone is one line; another window, and what asks,
// have lines of their own.
func TestRecordedAll(t *testing.T) {
	var all []tracker.Verdict
	for serial := range 54 {
		v := gluedUp(54-serial, 22) // in any order
		switch 54 - serial {
		case 10:
			v = gluedUp(10, 40)
		case 20, 21, 22, 23:
			v = gluedUp(54-serial, 22, tracker.Mark{Rule: "x", About: tracker.WrittenLate{By: time.Hour}, Asks: true})
		}
		all = append(all, v)
	}
	lines := RecordedAll(all, time.UTC)
	for i, want := range []string{
		"recorded  49 specimens 1-9, 11-19, 24-54  glue-up  Sat 2026-05-02 10:30 UTC  next: clamp removal not before Sun 2026-05-03 08:30 UTC",
		"recorded  4 specimens HBR-020-",
		"recorded  HBR-010-",
	} {
		if i >= len(lines) || !strings.HasPrefix(lines[i], want) {
			t.Errorf("line %d: %q, want %q", i, lines, want)
		}
	}
	if len(lines) != 3 {
		t.Errorf("%d lines", len(lines))
	}
	if few := RecordedAll(all[:3], time.UTC); len(few) != 3 || !strings.HasPrefix(few[2], "recorded  HBR-052-") {
		t.Errorf("three are told one by one: %q", few)
	}
}

// The same mark of many is one sentence, of like ones the first stands for all.
func TestMarksAlike(t *testing.T) {
	var same, unlike []tracker.Mark
	for serial := 1; serial <= 4; serial++ {
		code := labels.New("HBR", serial).String()
		same = append(same, tracker.Mark{Rule: "written up later", Code: code, About: tracker.WrittenLate{By: time.Hour}})
		unlike = append(unlike, tracker.Mark{Rule: "written up later", Code: code, About: tracker.WrittenLate{By: time.Duration(serial) * time.Hour}})
	}
	for _, test := range []struct {
		marks []tracker.Mark
		want  string
	}{
		{same, "note: 4 specimens HBR-001-2 to HBR-004-V: written up 1 h after it happened (written up later)"},
		{unlike, "note: 4 specimens HBR-001-2 to HBR-004-V: such as HBR-001-2: written up 1 h after it happened (written up later)"},
	} {
		if got := marks(test.marks); len(got) != 1 || got[0].Text != test.want {
			t.Errorf("%v, want %q", got, test.want)
		}
	}
	if got := marks(same[:3]); len(got) != 3 {
		t.Errorf("three marks in %d sentences", len(got))
	}
}
