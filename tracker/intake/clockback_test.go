package intake

import (
	"strings"
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// askedOfClock reports whether the last thing recorded asks about the computer's clock.
func askedOfClock(d *Desk) (asks bool) {
	d.refresh()
	events := d.rec.Events()
	last := events[len(events)-1]
	for _, m := range d.rec.OpenMarks() {
		doubt, is := m.About.(tracker.InDoubt)
		asks = asks || is && m.Event == last.ID && m.Rule == tracker.RuleTimeDoubt && strings.HasPrefix(doubt.Text, tracker.ClockBehind)
	}
	return asks
}

// What is recorded by a clock that was set back is kept, and asks; what time servers and
// summer time do to a clock does not.
func TestClockSetBack(t *testing.T) {
	for _, test := range []struct {
		back time.Duration
		asks bool
	}{
		{-31 * schedule.Day, false}, {0, false}, {time.Millisecond, false}, {5 * time.Second, false}, {time.Hour, false}, {time.Hour + 5*time.Minute, false},
		{3 * time.Hour, true}, {schedule.Day, true}, {30 * schedule.Day, true}, {365 * schedule.Day, true},
	} {
		for name, form := range map[string]Input{"log": Stage{Subjects: []string{"2"}, Name: "glue-up"}, "scan": Line(code(2)),
			"break": Try{Subject: "2", Reading: "9 MPa", Ended: "separated"}} {
			d, c := deskAt(t, begun(t))
			c.now = c.now.Add(100 * schedule.Day)
			c.took(t, d, Stage{Subjects: []string{"1"}, Name: "glue-up"})
			c.now = c.now.Add(-test.back)
			c.took(t, d, form)
			if got := askedOfClock(d); got != test.asks {
				t.Errorf("%s, %v back: asks %v", name, test.back, got)
			}
		}
	}
}

// What asks once is not asked of every entry that follows, when somebody says that the clock
// is right, or sets aside what was written by a wrong one.
func TestClockIsBelievedAgain(t *testing.T) {
	glue := func(serial string) Input { return Stage{Subjects: []string{serial}, Name: "glue-up"} }
	for name, settle := range map[string]Input{"accepted": Accept{Words: []string{"2"}}, "set aside": Void{these("#2")}, "untouched": nil} {
		d, c := deskAt(t, begun(t))
		c.now = c.now.Add(365 * schedule.Day)
		c.took(t, d, glue("1"))
		c.now = c.now.Add(-300 * schedule.Day)
		c.took(t, d, glue("2"))
		if settle != nil {
			c.took(t, d, settle)
		}
		c.took(t, d, glue("3"))
		if got, want := askedOfClock(d), settle == nil; got != want {
			t.Errorf("%s: asks %v", name, got)
		}
	}
}
