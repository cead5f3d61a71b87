package intake

import (
	"path/filepath"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// noon is when the study of a test begins.
var noon = time.Date(2026, 2, 21, 12, 0, 0, 0, time.UTC)

// smallPlan has two adhesives, each with its bath, a dry and a soaked treatment.
const smallPlan = `[study]
title = "x"
prefix = "TRF"
zone = "Europe/London"
[specimen]
bond = "40 mm x 45 mm"
[adhesive.CAS]
name = "casein"
bath = "B1"
[adhesive.EPX]
name = "epoxy"
bath = "B2"
[interval]
clamp = "24 h +/- 2 h"
cure = "7 d +/- 1 d"
soak = "7 d +/- 4 h"
"wet hold" = "at most 30 min"
[treatment.dry]
control = true
replicates = 2
age = "as soaked +/- 1 d"
[treatment.soaked]
replicates = 2
state = "wet"
[[rig]]
name = "press"
ram_area = "15.94 cm2"
gauge = { reads = "pressure", span = "25 MPa", division = "0.2 MPa", class = "1.6 %" }
`

// dealt are eight specimens of smallPlan: TRF-001 and 002 casein dry, 003 and
// 004 casein soaked, 005 and 006 epoxy dry, 007 and 008 epoxy soaked.
func dealt() (all []tracker.Specimen) {
	for i := range 8 {
		sp := tracker.Specimen{Code: labels.New("TRF", i+1), Adhesive: []string{"CAS", "EPX"}[i/4], Treatment: []string{"dry", "soaked"}[i/2%2], Order: i + 1}
		if sp.Treatment == "soaked" {
			sp.Bath = []string{"B1", "B2"}[i/4]
		}
		all = append(all, sp)
	}
	return all
}

// begun begins a study of smallPlan and returns its file.
func begun(t testing.TB) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "s.soaktag")
	db, err := store.Create(path, tracker.Event{ID: "begun", Kind: tracker.Begun, At: schedule.At(noon), Recorded: noon,
		Plan: []byte(smallPlan), Dealt: dealt()}, plan.Read)
	if err == nil {
		err = db.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// A clock is set by hand.
type clock struct{ now time.Time }

// deskAt opens a desk in the file of a study, with a clock of its own that
// shows an hour past noon.
func deskAt(t testing.TB, path string) (*Desk, *clock) {
	t.Helper()
	db, err := store.Open(path, plan.Read)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	c := &clock{noon.Add(time.Hour)}
	d, err := Open(db, Now(c.now), func() time.Time { return c.now })
	if err != nil {
		t.Fatal(err)
	}
	return d, c
}

// write takes a form as somebody would write it down now, with a reason.
func (c *clock) write(d *Desk, reason string, form Input) (Outcome, error) {
	d.Entry = Now(c.now)
	d.Reason = reason
	return d.Take(form)
}
