package arrange

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// TestExhaustive compares 200 small studies, or 40 without SOAKTAG_CI, with every
// calendar there is, to the task. Those that would take long are left out, and
// most of those that have no calendar.
func TestExhaustive(t *testing.T) {
	studies, withoutOne := atLength(200, 40), atLength(60, 12)
	for seed, found, none := uint64(0), 0, 0; found+none < studies; seed++ {
		p := someStudy(rand.New(rand.NewPCG(seed, 6)))
		if err := check(&p); err != nil {
			t.Fatal(err)
		}
		got := solve(p)
		if !got.Found && none == withoutOne || newOracle(p, 4).ways() > 2000 {
			continue
		}
		want := exhaustive(p)
		if !got.Exact || got.Found != (want != nil) {
			t.Fatalf("study %d: %+v; want one: %v", seed, got, want != nil)
		}
		if want == nil {
			none++
		} else if found++; inWords(got.Calendar) != inWords(*want) {
			t.Fatalf("study %d:\n%s\nwant\n%s", seed, inWords(got.Calendar), inWords(*want))
		}
	}
}

// inWords writes all instants alike, so that equal ones are equal.
func inWords(c Calendar) string {
	text := fmt.Sprint(c.Quarters, c.Sittings, c.Last.Unix())
	for _, t := range c.Tasks {
		text += fmt.Sprint("\n", t.Group, t.Stage, t.Bath, t.Sitting, t.Bonds, t.From.UTC(), t.To.UTC())
	}
	return text
}
