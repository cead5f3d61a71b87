package main

import (
	"unicode/utf8"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/wording"
)

// printLayouts says in a line how the blanks lie on each board; in none, where
// one would be too long.
func (s *session) printLayouts(study *tracker.Study) {
	var lines []string
	for _, l := range design.Layouts(study) {
		line := "board " + l.Board + ": " + wording.Layout(l, study.Units)
		if utf8.RuneCountInString(line) > summaryWidth {
			return
		}
		lines = append(lines, line)
	}
	for _, line := range lines {
		s.print("  %s\n", line)
	}
	if len(lines) > 0 {
		s.print("  drawn, once it has begun: soaktag worksheet cut --out cut.pdf\n")
	}
}

// printClamps lists what the bonds of each adhesive ask of clamps, and how its
// glue is mixed.
func (s *session) printClamps(study *tracker.Study, sittings []design.Sitting) {
	clampings, pots, u := design.Clampings(study), design.Pots(study, sittings), study.Units
	if len(clampings) == 0 {
		return
	}
	t := screen.NewTable("adhesive", "bonds", "on each bond", "pots", "batch", "lasts")
	for i, c := range clampings {
		batch, lasts := wording.Batch(pots[i], u)
		t.Row(c.Adhesive, count(c.Bonds), wording.Clamping(c, u), count(pots[i].Pots), batch, lasts)
	}
	s.table("Clamps and glue (force of a clamp = pressure x bond area; a batch is the fullest pot, waste included)", t)
}

// printSittings lists who is glued when, where that is not in one go.
func (s *session) printSittings(study *tracker.Study, sittings []design.Sitting) {
	if len(sittings) < 2 {
		return
	}
	t := screen.NewTable("sitting", "when", "bonds", "plane", "adhesive and serials, in the order to glue")
	for _, x := range sittings {
		t.Row(count(x.Number), wording.SittingTime(x, study.Zone), count(len(x.Bonds)), wording.Planing(x, study.Zone), wording.SittingWho(x))
	}
	s.table("Glue-up in "+wording.GlueUp(sittings, study.Zone), t)
}
