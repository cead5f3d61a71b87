package intake

import (
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/tracker"
)

// Whoever records under a code that stands for another specimen is told, by hand and
// of a table, as long as nobody said when the exchange ended.
func TestStillExchanged(t *testing.T) {
	d, c := deskAt(t, begun(t))
	d.Reason = "pencil marks"
	exchanges := func(out Outcome) (n int) {
		for _, note := range out.Notes {
			if a, is := note.(Advised); is {
				if _, is := a.Help.(StillExchanged); is {
					n++
				}
			}
		}
		return n
	}
	took := func(want int, in Input) Outcome {
		t.Helper()
		out, err := d.Take(in)
		if err != nil || exchanges(out) != want {
			t.Errorf("%+v: advised of %d exchanges, want %d; %v", in, exchanges(out), want, err)
		}
		return out
	}
	from := c.now.Format(time.RFC3339)
	took(1, Exchange{A: code(1), B: code(2), From: from, Sure: true})
	took(0, Stage{Subjects: []string{code(3)}, Name: "glue-up"})
	took(1, Stage{Subjects: []string{code(1), code(2), code(3)}, Name: "glue-up"})
	took(1, Measure{Subjects: []string{code(2)}, Values: []string{"bond_length=40 mm"}})
	took(1, Line(code(1)))
	took(1, Try{Subject: code(1), Reading: "9 MPa", Ended: "separated"})

	row := func(code string) tracker.Event {
		e := d.event(tracker.Staged)
		e.Code, e.Stage = code, "clamp removal"
		return e
	}
	for _, dry := range []bool{true, false} {
		out := took(1, Rows{Name: "rows.csv", Events: []tracker.Event{row(code(1)), row(code(2)), row(code(4)), row(code(1))}, Dry: dry})
		i := slices.IndexFunc(out.Notes, func(n Note) bool { _, is := n.(TakenForOther); return is })
		want := TakenForOther{3, []Exchangee{{code(1), code(2)}, {code(2), code(1)}}, dry}
		if i < 0 || !sameExchangees(out.Notes[i].(TakenForOther), want) {
			t.Errorf("%+v, want %+v", out.Notes, want)
		}
	}
	took(0, Rows{Name: "rows.csv", Events: []tracker.Event{row(code(4))}})
}

func sameExchangees(a, b TakenForOther) bool {
	order := func(x, y Exchangee) int { return strings.Compare(x.Read, y.Read) }
	slices.SortFunc(a.Codes, order)
	return a.Events == b.Events && a.Dry == b.Dry && slices.Equal(a.Codes, b.Codes)
}
