package tracker_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

// Who was treated otherwise than its group: a table of drifts in hours (">" before a
// length that is known from there on only), the limits of a week being 4 h.
func TestStragglers(t *testing.T) {
	for _, c := range []struct {
		planned, drifts, want string
	}{
		{"7 d +/- 4 h", "0 1 3", ""},
		{"7 d +/- 4 h", "1 1 528", "528"}, // 29 days instead of 7
		{"7 d +/- 4 h", "-5 0 4", "-5"},
		{"7 d +/- 4 h", "40 41 43", ""},         // all of them together: that is the group
		{"7 d +/- 4 h", "40 41 46 36", "46 36"}, // median 40.5 h
		{"7 d +/- 4 h", "40 41 42 0", "0"},      // it kept the plan, and its group did not
		{"7 d +/- 4 h", "528", ""},              // one is its own group
		{"7 d + 4 h - 30 min", "0 0 -1", "-1"},  // early and late for themselves
		{"at most 30 min", "0 0 1", "1"},
		{"at most 30 min", "0 1 1", ""}, // most of them broke it
		{"at least 12 h", "-1 0 5 9", "-1"},
	} {
		d := drifted(t, c.planned, strings.Fields(c.drifts)...)
		var got []string
		for _, s := range d.Stragglers("CAS", "soaked") {
			got = append(got, fmt.Sprint(s.Drift.Hours()))
		}
		if !slices.Equal(got, strings.Fields(c.want)) {
			t.Errorf("%s, drifts %s: got %v, want %s", c.planned, c.drifts, got, c.want)
		}
	}
}

// What is still running, or not known well enough, is no straggler.
func TestNoStragglers(t *testing.T) {
	d := drifted(t, "7 d +/- 4 h", "0", "0", "0", "30", "30")
	d.Specimens[3].Done = false
	d.Specimens[4].Lo, d.Specimens[4].Verdict = d.Specimens[4].Lo-60*time.Hour, schedule.CannotTell
	if got := d.Stragglers("CAS", "soaked"); len(got) > 0 {
		t.Errorf("got %+v", got)
	}
}

// drifted is an interval of one group of specimens.
func drifted(t *testing.T, planned string, hours ...string) tracker.IntervalDrift {
	p, err := schedule.ParsePlanned(planned)
	if err != nil {
		t.Fatal(err)
	}
	d := tracker.IntervalDrift{Interval: "soak", Planned: p}
	for i, h := range hours {
		by, err := time.ParseDuration(h + "h")
		if err != nil {
			t.Fatal(err)
		}
		s := tracker.SpecimenDrift{Of: tracker.Specimen{Code: labels.New("HBR", i+1), Adhesive: "CAS", Treatment: "soaked"}, Planned: p,
			Lo: p.Length + by, Hi: p.Length + by, Drift: by, Known: true, Done: true}
		begin := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
		_, _, s.Verdict = p.Judge(schedule.Span{From: begin, To: begin}, schedule.Span{From: begin.Add(s.Lo), To: begin.Add(s.Lo)})
		d.Specimens = append(d.Specimens, s)
	}
	study := &tracker.Study{Adhesives: []tracker.Adhesive{{Key: "CAS"}}, Treatments: []tracker.Treatment{{Key: "soaked"}}}
	return d.Within(study, "soaked")
}
