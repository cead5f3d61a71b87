package station

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"slices"
	"testing"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// A delivery is what the invented station was handed, and when it truly happened.
type delivery struct {
	Entry map[string]any
	Truth int64 // ms
}

func (d delivery) clock() map[string]any { return d.Entry["clock"].(map[string]any) }

// trip is how long the question and answer took by which its clock was compared; 0 for none.
func (d delivery) trip() time.Duration {
	fact, ok := d.clock()["fact"].(map[string]any)
	if !ok {
		return 0
	}
	return time.Duration(fact["trip"].(float64)) * time.Millisecond
}

// A played is one schedule at its end.
type played struct {
	Seed     int
	Faults   []string
	Recorded []delivery
}

// TestQueueAgreesWithAModel plays 200 random schedules of cut, kill, reload, sleep and
// clocks that are set (40 without SOAKTAG_CI=1), in the real scripts and on a browser's
// real disk, with a phone, a clock and a station that are invented: see
// testdata/queue.js. What that station was handed goes to a real desk, whose log
// has each entry once, at its true time or in a range that holds it.
func TestQueueAgreesWithAModel(t *testing.T) {
	b := open(t, browse(t), blank(t))
	script := scripts(t, "page/keep.js", "page/clock.js", "page/queue.js", "testdata/queue.js")
	b.run("globalThis.play = (() => { 'use strict';" + script + "; return play; })()")
	b.until("the scripts", "play")
	var all []played
	for from := 1; from <= schedules(); from += 20 {
		all = append(all, eval[[]played](b, fmt.Sprintf(`Promise.all(Array.from({length: 20}, (_, i) => play(%d + i, 40, i %% 4 === 0)))`, from))...)
	}
	for _, p := range all {
		for _, fault := range p.Faults {
			t.Errorf("schedule %d: %s", p.Seed, fault)
		}
	}
	for _, complaint := range b.complaints() {
		t.Error(complaint)
	}
	logged(t, all)
}

// A photograph that takes long is passed by what comes after it, but for what means it.
func TestLongPhotographIsPassed(t *testing.T) {
	b := open(t, browse(t), blank(t))
	script := scripts(t, "page/keep.js", "page/clock.js", "page/queue.js", "testdata/slow.js")
	b.run("globalThis.slow = (() => { 'use strict';" + script + "; return slow; })()")
	b.until("the scripts", "slow")
	got := eval[struct{ Passed, All []string }](b, "slow()")
	if want := []string{"photo", "1", "2"}; !slices.Equal(got.Passed, want) {
		t.Errorf("while the photograph is under way %q are sent, want %q", got.Passed, want)
	}
	if want := []string{"photo", "1", "2", "undo"}; !slices.Equal(got.All, want) {
		t.Errorf("at the end %q were sent, want %q", got.All, want)
	}
}

// logged hands what was delivered to a desk, an entry a specimen, and compares its log
// with the truth.
func logged(t *testing.T, all []played) {
	t.Helper()
	truth, exact := map[string]delivery{}, 0
	specimens := many(12 * len(all))
	db, desk := deskOf(t, specimens)
	for _, p := range all {
		for _, d := range p.Recorded {
			code := specimens[len(truth)].Code.String()
			d.Entry["line"], d.Entry["stage"] = code, "glue-up"
			truth[code] = d
			takes(t, desk, intake.Phone{ID: fmt.Sprint("phone", p.Seed)}, d.Entry)
		}
	}
	rec, err := db.State()
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range rec.Events() {
		d, known := truth[e.Code]
		if e.Kind != tracker.Staged || !known {
			continue
		}
		delete(truth, e.Code)
		if e.DeviceTime {
			exact++
		}
		at, was := rec.Corrected(e), time.UnixMilli(d.Truth)
		off := d.trip() + 3*time.Second + was.Sub(noon)/20_000 // what nobody notices of a clock: see testdata/queue.js
		if !at.From.IsZero() && was.Before(at.From.Add(-off)) || !at.To.IsZero() && was.After(at.To.Add(off)) {
			t.Errorf("%v in the log, and truly %v: %v", at, was, d.Entry)
		}
	}
	for code := range truth {
		t.Errorf("%s is not in the log", code)
	}
	t.Logf("%d schedules, %d times exact", len(all), exact)
}

// deskOf is a desk in a study of these specimens, long after.
func deskOf(t *testing.T, specimens []tracker.Specimen) (*store.DB, *intake.Desk) {
	t.Helper()
	db, err := store.Open(begun(t, smallPlan, specimens), plan.Read)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	now := func() time.Time { return noon.AddDate(1, 0, 0) }
	desk, err := intake.Open(db, intake.Now(now()), now)
	if err != nil {
		t.Fatal(err)
	}
	return db, desk
}

// takes hands the desk an entry of a phone.
func takes(t *testing.T, desk *intake.Desk, from intake.Phone, entry map[string]any) {
	t.Helper()
	text, err := json.Marshal(entry)
	if err != nil {
		t.Fatal(err)
	}
	sent, err := intake.ParseSent(from, text)
	if err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	if _, err := desk.Take(sent); err != nil {
		t.Fatal(err)
	}
}

// schedules is how many are played: all, or a part where nothing is to be proved.
func schedules() int {
	if inFull() {
		return 200
	}
	return 40
}

// blank serves a page with nothing on it.
func blank(t *testing.T) string {
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		fmt.Fprint(w, "<!doctype html><title>blank</title>")
	}))
	t.Cleanup(server.Close)
	return server.URL
}
