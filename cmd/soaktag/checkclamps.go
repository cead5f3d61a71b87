package main

import (
	"fmt"
	"io"
	"unicode/utf8"

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
	s.table("Clamps and glue (force of a clamp = pressure x bond area; a batch is the fullest pot, waste included)", func(w io.Writer) {
		fmt.Fprintln(w, "  adhesive\tbonds\ton each bond\tpots\tbatch\tlasts")
		for i, c := range clampings {
			fmt.Fprintf(w, "  %s\t%d\t%s\t%s\n", c.Adhesive, c.Bonds, clampText(c, u), potText(pots[i]))
		}
	})
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
func potText(p design.Pot) string {
	batch, lasts := "no spread given", "no pot life given"
	if p.Mix > 0 {
		batch = fmt.Sprintf("%.1f g for %s", p.Mix.G(), wording.Plural(p.Bonds, "bond"))
	}
	if p.Life > 0 {
		lasts = schedule.Short(p.Life)
	}
	return fmt.Sprintf("%d\t%s\t%s", p.Pots, batch, lasts)
}
