package wording

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// A LifeTold is the life of a specimen so far, for a screen and a page.
type LifeTold struct {
	Head   string
	Kin    []string // of whose halves it was glued, and what of its own
	Events []LifeEvent
	Marks  []string // a line each
	Next   string   // what comes next; empty after the end
}

// A LifeEvent is an entry of a life.
type LifeEvent struct {
	Number, When, What string
	Photo              string // SHA-256 of the photograph kept, or that it was read in; else empty
	Counts             bool   // it was not set aside
	Label              bool   // nothing happened but that a label was printed
	Half               int    // 1 or 2 where it is of one; else 0
}

// LifeOf words the life of a specimen. Where it is to be broken blind next, a
// page that lies open at the press hides what tells its adhesive.
func LifeOf(rec *tracker.Record, sp tracker.Specimen, hide bool) LifeTold {
	life, photoOf := rec.Life(sp.Code), rec.PhotoOf()
	told := LifeTold{Head: Name(sp) + "  " + sp.Adhesive + " " + sp.Treatment + led(", board ", sp.Board) + led(", bath ", sp.Bath)}
	if hide {
		told.Head = sp.Code.String() + led("  board ", sp.Board)
	}
	told.Kin = kinOf(rec, sp)
	passes, entries := life.PassNames(), rec.History(sp.Code)
	for _, e := range entries {
		told.Events = append(told.Events, LifeEvent{fmt.Sprintf("#%d", e.Event.Seq), Span(e.Span, rec.Zone()), Happened(e, passes) + inNotebook(e.Event, rec.Zone()), photoOf(e.Event), !e.Voided,
			e.Event.Kind == tracker.Issued, e.Event.Half})
	}
	told.Marks = LifeMarks(life.Marks, entries)
	if next := life.NextNamed(); next != "" {
		told.Next = string(next) + Again(life)
	}
	return told
}

// kinOf names what a specimen was glued of anew, and what of its halves.
func kinOf(rec *tracker.Record, sp tracker.Specimen) (lines []string) {
	if sp.Parent != "" {
		lines = append(lines, "re-glued from the halves of "+sp.Parent)
	}
	var children []string
	for _, child := range rec.Children(sp.Code) {
		children = append(children, child.Code.String())
	}
	if len(children) > 0 {
		lines = append(lines, "its halves were re-glued as "+strings.Join(children, ", "))
	}
	return lines
}

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
