package wording

import (
	"fmt"
	"slices"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// LifeMarks says the marks of a life in lines, each line once; that entries were
// written up later is said once of all of them, however they came in.
func LifeMarks(marks []tracker.Mark, entries []tracker.Entry) (lines []string) {
	add := func(line string) {
		if line != "" && !slices.Contains(lines, line) {
			lines = append(lines, line)
		}
	}
	add(writtenUp(entries))
	for _, m := range marks {
		if _, late := m.About.(tracker.WrittenLate); !late {
			add(lifeMark(m))
		}
	}
	return lines
}

func lifeMark(m tracker.Mark) string {
	text := "noted  " + MarkText(m)
	if m.Open() {
		text = "asks   " + MarkText(m)
	}
	if m.Accepted != "" {
		text += "; accepted: " + m.Accepted
	}
	return text
}

// writtenUp counts the entries that were written up later, and says how much;
// empty for none.
func writtenUp(entries []tracker.Entry) string {
	var by []time.Duration
	for _, e := range entries {
		e.At = e.Span // as the clock of the device was
		if late, is := e.WrittenUp(); is && !e.Voided {
			by = append(by, late)
		}
	}
	if len(by) == 0 {
		return ""
	}
	least, most := schedule.Short(slices.Min(by)), schedule.Short(slices.Max(by))
	switch {
	case len(by) == 1:
		return fmt.Sprintf("noted  one entry written up %s after it happened", most)
	case least == most:
		return fmt.Sprintf("noted  %d entries written up %s after they happened", len(by), most)
	}
	return fmt.Sprintf("noted  %d entries written up later, %s to %s after they happened", len(by), least, most)
}
