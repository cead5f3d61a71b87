package tracker

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"soaktag/schedule"
)

// An entry e, its correction c1, the correction c2 of that, and what voids them:
// whatever was voided, one of them counts at the most, and that is what stands in the
// place of each one before it. A void is written as v and what it voids; the void of
// a void as vv.
func TestOneOfAChainCounts(t *testing.T) {
	code := plainBegun().Dealt[0].Code.String()
	targets := map[string]string{"c1": "e", "c2": "c1"}
	for _, id := range []string{"e", "c1", "c2"} {
		targets["v"+id], targets["vv"+id], targets["vvv"+id] = id, "v"+id, "vv"+id
	}
	for _, test := range []struct {
		events []string
		counts string
	}{
		{[]string{"e"}, "e"},
		{[]string{"e", "c1"}, "c1"},
		{[]string{"e", "c1", "c2"}, "c2"},
		{[]string{"e", "ve"}, ""},
		{[]string{"e", "ve", "vve"}, "e"},
		{[]string{"e", "ve", "vve", "vvve"}, ""},
		{[]string{"e", "c1", "vc1"}, "e"},
		{[]string{"e", "c1", "vc1", "vvc1"}, "c1"},
		{[]string{"e", "c1", "c2", "vc2"}, "c1"},
		{[]string{"e", "c1", "c2", "vc2", "vc1"}, "e"},
		{[]string{"e", "c1", "c2", "vc2", "vc1", "ve"}, ""},
		{[]string{"e", "c1", "c2", "vc2", "vc1", "vvc2"}, "c2"}, // both counted once
		{[]string{"e", "c1", "c2", "vc2", "vc1", "vvc1"}, "c1"},
		{[]string{"e", "c1", "c2", "vc2", "vc1", "vvc1", "vvc2"}, "c2"},
		{[]string{"e", "c1", "c2", "vc1"}, "c2"},
		{[]string{"e", "c1", "c2", "ve"}, "c2"},
		{[]string{"e", "c1", "c2", "ve", "vc1", "vc2"}, ""},
		{[]string{"e", "c1", "c2", "ve", "vc1", "vc2", "vve"}, "e"},
	} {
		t.Run(fmt.Sprint(test.events), func(t *testing.T) {
			rng := rand.New(rand.NewPCG(1, 2))
			for range 20 {
				r := foldAll(t, []Event{plainBegun()})
				rng.Shuffle(len(test.events), func(i, j int) { test.events[i], test.events[j] = test.events[j], test.events[i] })
				for i, id := range test.events {
					at := noon.Add(time.Duration(i) * time.Hour)
					e := Event{ID: id, Kind: Staged, Stage: schedule.GlueUp, Code: code, Target: targets[id], At: schedule.At(at), Recorded: at}
					if id[0] == 'v' {
						e.Kind = Voided
					}
					r.Lives()
					r.Add(e)
				}
				oneCounts(t, r, test.counts)
			}
		})
	}
}

func oneCounts(t *testing.T, r *Record, want string) {
	t.Helper()
	var counts string
	for _, id := range []string{"e", "c1", "c2"} {
		if _, known := r.Event(id); known && !r.Voided(id) {
			counts += id
		}
	}
	if steps := r.Lives()[0].Steps; counts != want || len(steps) > 1 || len(steps) == 1 && steps[0].Event != want {
		t.Fatalf("%q counts, want %q; steps %+v", counts, want, steps)
	}
	if now, stands := r.Stands("e"); stands != (want != "") || now.ID != want {
		t.Fatalf("%q stands in the place of the entry (%v), want %q", now.ID, stands, want)
	}
}
