package schedule

import (
	"fmt"
	"strings"
)

// A Stage is a step in a specimen's life, under the trade's own word for it.
// Plans may name further stages as the ends of intervals of their own
// ("clamp on"); those are Stages too.
type Stage string

// The stages every study knows. Names are stored in logs: never rename one. What
// each is stands in the table below, what it asks of people in that of the
// tracker's work.
const (
	Cut          Stage = "cut"
	Planing      Stage = "planing"
	GlueUp       Stage = "glue-up"
	ClampRemoval Stage = "clamp removal"
	Immersion    Stage = "immersion"
	LiftOut      Stage = "lift-out"
	Break        Stage = "break"
)

// A nature is what the clock knows of a stage.
type nature struct {
	stage    Stage
	prepares bool // before the glue-up, in any order; one that was not recorded is not missed
	bonds    bool // work at the bond: solid wood does without it
	wet      bool // begins or ends a spell under water: only what is soaked meets it, and cycles meet it again
	renews   bool // may be done again until the next stage: the last time counts
}

// natures has the stages every study knows in the order in which they normally
// happen.
var natures = []nature{
	{stage: Cut, prepares: true},
	{stage: Planing, prepares: true, renews: true},
	{stage: GlueUp, bonds: true},
	{stage: ClampRemoval, bonds: true},
	{stage: Immersion, wet: true},
	{stage: LiftOut, wet: true},
	{stage: Break},
}

// Stages lists the stages every study knows in order. The caller owns the slice.
func Stages() []Stage {
	list := make([]Stage, len(natures))
	for i, n := range natures {
		list[i] = n.stage
	}
	return list
}

// nature is that of a stage in whichever pass; a plan's own has none.
func (s Stage) nature() nature {
	for _, n := range natures {
		if s == n.stage {
			return n
		}
		if n.wet && strings.HasPrefix(string(s), string(n.stage)) { // nearly never: no time is lost on the others
			if first, _ := PassOf(s); first == n.stage {
				return n
			}
		}
	}
	return nature{}
}

// Wet reports whether a stage begins or ends a spell under water, in whichever
// pass through the bath.
func (s Stage) Wet() bool { return s.nature().wet }

// Bonds reports whether a stage is work at the bond, which solid wood does without.
func (s Stage) Bonds() bool { return s.nature().bonds }

// Prepares reports whether a stage comes before the glue-up, in any order: where
// it was not recorded nobody misses it.
func (s Stage) Prepares() bool { return s.nature().prepares }

// Renews reports whether a stage may be done again until work goes on, and then
// counts from the last time: a face that is planed again is fresh again.
func (s Stage) Renews() bool { return s.nature().renews }

// Pass names the n-th time that specimens go through a stage: "immersion",
// "immersion 2". Cycles of soaking and drying go through the same stage again.
func Pass(stage Stage, n int) Stage {
	if n <= 1 {
		return stage
	}
	return Stage(fmt.Sprintf("%s %d", stage, n))
}

// PassOf is the other way round: "immersion 2" is the second Immersion. A stage
// that is no later pass of a standard one is its own first.
func PassOf(s Stage) (Stage, int) {
	for i := range natures {
		standard := natures[i].stage
		rest, ok := strings.CutPrefix(string(s), string(standard))
		if !ok || !strings.HasPrefix(rest, " ") {
			continue
		}
		if n := passNumber(rest[1:]); n > 1 {
			return standard, n
		}
	}
	return s, 1
}

// passNumber reads digits without a leading zero; 0 for any other text, which costs nothing.
func passNumber(text string) (n int) {
	for i, c := range text {
		if c < '0' || c > '9' || i == 0 && c == '0' || n > 1e8 {
			return 0
		}
		n = 10*n + int(c-'0')
	}
	return n
}
