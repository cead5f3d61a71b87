package main

import (
	"fmt"
	"unicode/utf8"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/quantity"
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
func (s *session) printClamps(study *tracker.Study) {
	clampings, pots, u := design.Clampings(study), design.Pots(study), study.Units
	if len(clampings) == 0 {
		return
	}
	t := screen.NewTable("adhesive", "bonds", "on each bond", "pots", "batch", "lasts")
	for i, c := range clampings {
		batch, lasts := potText(pots[i], u)
		t.Row(c.Adhesive, count(c.Bonds), clampText(c, u), count(pots[i].Pots), batch, lasts)
	}
	s.table("Clamps and glue (force of a clamp = pressure x bond area; a batch is the fullest pot, waste included)", t)
}

// clampText is the force on a bond, and how many clamps that takes.
func clampText(c design.Clamping, u quantity.System) string {
	switch {
	case c.Contact:
		return "held in contact"
	case !(c.Pressure > 0):
		return "no pressure given"
	case !(c.Force > 0):
		return u.AboutPressure(c.Pressure) + ", no bond area given"
	}
	text := u.AboutForce(c.Force) + " for " + u.AboutPressure(c.Pressure)
	if n := c.Each(); n > 1 {
		text += fmt.Sprintf(", %d clamps", n)
	}
	return text
}

// potText is how often an adhesive is mixed, how much at once, and how long
// that can be spread.
func potText(p design.Pot, u quantity.System) (batch, lasts string) {
	batch, lasts = "no spread given", "no pot life given"
	if p.Mix > 0 {
		batch = u.Dose(p.Mix) + " for " + wording.Plural(p.Bonds, "bond")
	}
	if p.Life > 0 {
		lasts = schedule.Short(p.Life)
	}
	return batch, lasts
}
