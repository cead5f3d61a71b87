package station

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"testing"
)

// A delivery is what the invented station recorded, and when it truly happened.
type delivery struct {
	Entry map[string]any
	Photo *string
	Truth float64 // ms
}

// A played is one schedule at its end.
type played struct {
	Seed     int
	Faults   []string
	Recorded []delivery
}

// TestQueueAgreesWithAModel plays 200 random schedules of cut, kill, reload, sleep and
// clocks that are set (40 without SOAKTAG_CI=1), in the real scripts and on a browser's real disk, with a
// phone, a clock and a station that are invented: see testdata/queue.js.
func TestQueueAgreesWithAModel(t *testing.T) {
	b := open(t, browse(t), blank(t))
	script := scripts(t, "page/keep.js", "page/clock.js", "page/queue.js", "testdata/queue.js")
	b.run("globalThis.play = (() => { 'use strict';" + script + "; return play; })()")
	b.until("the scripts", "play")
	entries, exact := 0, 0
	for from := 1; from <= schedules(); from += 20 {
		for _, p := range eval[[]played](b, fmt.Sprintf(`Promise.all(Array.from({length: 20}, (_, i) => play(%d + i, 40, i %% 4 === 0)))`, from)) {
			for _, fault := range p.Faults {
				t.Errorf("schedule %d: %s", p.Seed, fault)
			}
			for _, d := range p.Recorded {
				entries++
				if d.Entry["clock"].(map[string]any)["fact"] != nil {
					exact++
				}
			}
		}
	}
	for _, complaint := range b.complaints() {
		t.Error(complaint)
	}
	t.Logf("%d entries, %d with an exact time", entries, exact)
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
