package intake

import (
	"strings"
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// ready logs what lies before the break of dry bonds: nothing more is to be done
// with them than to break them.
func ready(t *testing.T, codes ...string) (*Desk, *clock) {
	t.Helper()
	d, c := deskOf(t, strings.Replace(smallPlan, "as soaked +/- 1 d", "8 d +/- 1 d", 1), dealt())
	for _, stage := range []schedule.Stage{schedule.GlueUp, schedule.ClampRemoval} {
		d.Set(stage)
		for _, code := range codes {
			if _, err := d.Take(Line(code)); err != nil {
				t.Fatal(err)
			}
		}
		c.now = c.now.Add(24 * time.Hour)
	}
	c.now = c.now.Add(7 * 24 * time.Hour)
	if err := d.refresh(); err != nil {
		t.Fatal(err)
	}
	return d, c
}

// Enter takes the specimen that the question named, whatever is proposed by now:
// while somebody looked for it another became due before it.
func TestEnterTakesWhatWasShown(t *testing.T) {
	for _, test := range []struct {
		name  string
		after func(t *testing.T, d, other *Desk, shown string)
		takes bool
	}{
		{"nothing happened", func(*testing.T, *Desk, *Desk, string) {}, true},
		{"another is next", func(t *testing.T, d, _ *Desk, shown string) {
			other := code(5)
			if shown == other {
				other = code(1)
			}
			d.sit.again = &Subject{Text: other, Code: other} // as if it had come due first
		}, true},
		{"somebody else broke it", func(t *testing.T, _, other *Desk, shown string) {
			if _, err := other.Take(Try{Subject: shown, Reading: "9 MPa", Ended: "separated"}); err != nil {
				t.Fatal(err)
			}
		}, false},
		{"somebody else loaded it", func(t *testing.T, _, other *Desk, shown string) {
			if _, err := other.Take(Try{Subject: shown, Reading: "9 MPa", Ended: "stopped"}); err != nil {
				t.Fatal(err)
			}
		}, false},
	} {
		t.Run(test.name, func(t *testing.T) {
			d, c := ready(t, code(1), code(5))
			other, err := Open(d.db, Now(c.now), d.now)
			if err != nil {
				t.Fatal(err)
			}
			d.SitAtPress("")
			shown := d.Asks().(WhichSpecimen).Next
			if shown == "" {
				t.Fatal("nothing is proposed")
			}
			test.after(t, d, other, shown)
			q, refused := atPress(t, d, "")
			switch q := q.(type) {
			case WhatReading:
				if !test.takes || q.Subject != shown {
					t.Errorf("%s was shown, Enter takes %s", shown, q.Subject)
				}
			case WhichSpecimen:
				if test.takes || refused == nil || q.Next == shown {
					t.Errorf("%s was shown; asks %+v, refused %+v", shown, q, refused)
				}
			default:
				t.Errorf("asks %#v", q)
			}
		})
	}
}

// The proposal moves with the clock from one question to the next, not under one.
func TestProposalStaysWhileItIsAsked(t *testing.T) {
	d, c := ready(t, code(5))
	d.SitAtPress("")
	if shown := d.Asks().(WhichSpecimen).Next; shown != code(5) {
		t.Fatal(shown)
	}
	if _, err := d.db.Record(tracker.Event{ID: "gone", Kind: tracker.Ended, End: tracker.Lost, Code: code(5), At: schedule.At(c.now), Recorded: c.now}); err != nil {
		t.Fatal(err)
	}
	if q, refused := atPress(t, d, ""); q != (WhichSpecimen{}) || refused == nil {
		t.Errorf("lost meanwhile: asks %#v, refused %+v", q, refused)
	}
}
