package intake

import (
	"slices"
	"testing"

	"soaktag/schedule"
	"soaktag/tracker"
)

// What has no stage asks once for both halves and all photographs of it, and
// gets it from the same photographs.
func TestStageGivenLater(t *testing.T) {
	a := newAlbum(t)
	all := []*Photograph{snap("a", "12:30", "1/1", "1/2"), snap("b", "12:35", "1/1", "2/1")}
	s := a.reads(Given{}, Entry{}, all...)
	wants[Marked](s, 2)
	left := wants[RollAsks](s, 1)[0]
	if s.asks() != "1 no stage, 2 no stage" || !slices.Equal(left.Unstaged, []string{"a", "b"}) || left.Others {
		t.Errorf("%s, %+v", s.asks(), left)
	}
	s = a.reads(Given{Stage: "cut"}, Entry{Yes: true, Reason: "as planned"}, all...)
	s.says("right 1/1 cut 12:30, right 1/2 cut 12:30, right 1/1 cut 12:35, right 2/1 cut 12:35")
	if n := wants[RollTaken](s, 1); n[0].Right != 4 || n[0].Labels != 0 {
		t.Errorf("%+v", n)
	}
	wants[StageGiven](s, 2)
	a.reads(Given{Stage: "cut"}, Entry{}, all...).adds(0)
}

// Of a tray one entry was corrected by hand and one set aside: both are left.
func TestStageGivenLeavesOthers(t *testing.T) {
	a := newAlbum(t)
	p := snap("a", "12:30", "1/1", "2/1", "3/1")
	a.reads(Given{}, Entry{}, p)
	a.corrects(p.id(code(1), 1), "cut")
	a.types("12:41", Void{these(p.id(code(2), 1))})
	s := a.reads(Given{Stage: "glue-up"}, Entry{}, p).says("known 1/1 cut 12:30, not 2/1 none 12:30, right 3/1 glue-up 12:30")
	if n := wants[StageGiven](s, 1); n[0].Entries != 1 || n[0].Left != 2 {
		t.Errorf("%+v", n)
	}
	if n := wants[ReadAtStage](s, 1); n[0].Entries[0].Stage != "cut" || !n[0].AtOnce {
		t.Errorf("%+v", n)
	}
}

// Only the photographs whose entries still ask for a stage are named, unless
// something else asks as well.
func TestWhatHasNoStage(t *testing.T) {
	a := newAlbum(t)
	one, two, yes := snap("a", "12:30", "1/1"), snap("b", "12:31", "3/1", ".IMMERSION"), snap("c", "12:32", ".YES")
	left := wants[RollAsks](a.reads(Given{}, Entry{}, one, two), 1)[0]
	if !left.Others || !slices.Equal(left.Unstaged, []string{"a"}) {
		t.Errorf("%+v", left)
	}
	left = wants[RollAsks](a.reads(Given{}, Entry{}, one, two, yes), 1)[0]
	if left.Others || !slices.Equal(left.Unstaged, []string{"a"}) {
		t.Errorf("%+v", left)
	}
	wants[RollAsks](a.reads(Given{Stage: "cut"}, Entry{}, one), 0)
}

// Who said why an entry stands without a stage is not overruled.
func TestAcceptedWithoutAStage(t *testing.T) {
	a := newAlbum(t)
	p := snap("a", "12:30", "1/1")
	a.reads(Given{}, Entry{}, p)
	a.accepts(tracker.RuleNoStage)
	wants[ReadAtStage](a.reads(Given{Stage: "cut"}, Entry{}, p).says("known 1/1 none 12:30").adds(0), 1)
}

// A stage that was given and taken back leaves nothing that counts, and the same
// again leaves that so.
func TestUndoOfWhatWasGiven(t *testing.T) {
	a := newAlbum(t)
	p, card := snap("a", "12:30", "1/1", "2/1"), snap("b", "12:31", ".UNDO")
	a.reads(Given{}, Entry{}, p)
	s := a.reads(Given{Stage: "cut"}, Entry{}, p, card).says("right 1/1 cut 12:30, right 2/1 cut 12:30")
	if n := wants[TakenBack](s, 1); len(n[0].Events) != 2 {
		t.Errorf("%+v", n)
	}
	wants[RollAsks](s, 0)
	a.reads(Given{Stage: "cut"}, Entry{}, p, card).says("not 1/1 none 12:30, not 2/1 none 12:30").adds(0)
}

// A tray read at the wrong stage is put right as a whole, once; of another all of
// which was set aside, all counts again.
func TestCorrect(t *testing.T) {
	a := newAlbum(t)
	tray, plain := snap("a", "12:30", "1/1", "2/1", ".CUT"), snap("b", "12:31", "3/1")
	a.reads(Given{}, Entry{}, tray)
	a.types("12:40", Void{these("last")})
	a.reads(Given{Stage: "cut"}, Entry{}, plain)
	s := a.reads(Given{Stage: "glue-up"}, Entry{}, plain).says("known 3/1 cut 12:31").adds(0)
	if n := wants[LeftAtStage](s, 1); !slices.Equal(n[0].Names, []string{"b"}) {
		t.Errorf("%+v", n)
	}
	right := Given{Stage: "glue-up", Correct: true}
	a.reads(right, why, tray, plain).says("right 1/1 glue-up 12:30, not 2/1 cut 12:30, right 3/1 glue-up 12:31")
	a.reads(right, why, tray, plain).says("known 1/1 glue-up 12:30, not 2/1 cut 12:30, known 3/1 glue-up 12:31").adds(0)
}

// What UNDO took back is recorded again by one reading, once, and the card among
// the photographs does not take that back again.
func TestCorrectAfterUndo(t *testing.T) {
	a := newAlbum(t)
	p, card := snap("a", "12:30", "1/1", "2/1"), snap("b", "12:31", ".UNDO")
	a.reads(Given{Stage: "cut"}, Entry{}, p, card)
	wants[LeftAside](a.reads(Given{Stage: "glue-up"}, Entry{}, p).adds(0), 1)
	for i, stage := range []string{"cut", "glue-up"} {
		right := Given{Stage: schedule.Stage(stage), Correct: true}
		wants[CountAgain](a.reads(right, why, p), 1-i)
		wants[CountAgain](a.reads(right, why, p).says("known 1/1 "+stage+" 12:30, known 2/1 "+stage+" 12:30").adds(0), 0)
	}
	s := a.reads(Given{}, Entry{}, p, card).adds(0)
	if n := wants[UndoActedBefore](s, 1); !n[0].Again {
		t.Errorf("%+v", n)
	}
}

// To put the time right changes no stage, not even that of an entry which is at
// another than the card beside it says; to put the stage right changes no time.
func TestCorrectTimeLeavesStages(t *testing.T) {
	a := newAlbum(t)
	p := snap("a", "12:30", ".CUT", "1/1", "2/1")
	a.reads(Given{}, Entry{}, p)
	a.corrects(p.id(code(2), 1), "glue-up")
	given := Entry{At: schedule.At(at("12:10")), Timed: true, Reason: "the clock was off"}
	a.reads(Given{Correct: true}, given, p).says("right 1/1 cut 12:10, right 2/1 glue-up 12:10")
	a.reads(Given{Correct: true}, given, p).adds(0)
	a.reads(Given{Stage: "clamp removal", Correct: true}, why, p).says("right 1/1 clamp removal 12:10, right 2/1 clamp removal 12:10")
}

// A label that somebody compared with its photograph stays compared when it gets
// its stage or is put right; what was accepted of the wrong stage is asked again.
func TestStillAccepted(t *testing.T) {
	a := newAlbum(t)
	p := snap("a", "12:30", "?1/1")
	a.reads(Given{}, Entry{}, p)
	a.accepts(tracker.RuleProbableCode)
	for _, given := range []Given{{Stage: "cut"}, {Stage: "glue-up", Correct: true}} {
		if s := a.reads(given, why, p); s.asks() != "" {
			t.Errorf("%+v: %s", given, s.asks())
		}
	}
	p = snap("b", "12:31", "3/1")
	a.reads(Given{Stage: "immersion"}, Entry{}, p)
	a.accepts(tracker.RuleOutOfOrder)
	if s := a.reads(Given{Stage: "lift-out", Correct: true}, why, p); s.asks() != "3 out of order" {
		t.Errorf("asks: %s", s.asks())
	}
}

// Two copies of a study make the same events of the same photographs, so that
// two readings at once make them once.
func TestReadTwiceAtOnce(t *testing.T) {
	p, card := snap("a", "12:30", "1/1", "2/1"), snap("b", "12:31", ".UNDO")
	a, b := newAlbum(t), newAlbum(t)
	for _, x := range []*album{a, b} {
		x.reads(Given{}, Entry{}, p)
		x.reads(Given{Stage: "cut"}, Entry{}, p, card)
		x.reads(Given{Stage: "glue-up", Correct: true}, why, p)
	}
	first, second := a.record().Events(), b.record().Events()
	if !slices.EqualFunc(first, second, func(x, y tracker.Event) bool { return x.ID == y.ID }) || len(first) < 9 {
		t.Errorf("%d and %d events differ", len(first), len(second))
	}
}
