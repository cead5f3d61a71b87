package wording

import (
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// DueWhom says which specimens a group is of.
func DueWhom(g tracker.DueGroup) string {
	if g.Bath != "" {
		return "bath " + g.Bath + " (" + g.Items[0].Specimen.Adhesive + ")"
	}
	return strings.TrimSpace(g.Adhesive + " " + g.Treatment)
}

// DueName is a code, with the person's own name where that gives nothing away.
func DueName(g tracker.DueGroup, sp tracker.Specimen) string {
	if g.Blind {
		return sp.Code.String()
	}
	return Name(sp)
}

// Roughly is what to say behind items whose time may still change; empty where
// there are none.
func Roughly(items []tracker.Due) string {
	if slices.ContainsFunc(items, func(d tracker.Due) bool { return !d.Sure }) {
		return " (a time behind this is only known roughly, or not yet)"
	}
	return ""
}

// Work is what a group asks for, in a few words. Out of the water it goes to
// the press, unless the plan lets it dry or rest first.
func Work(study *tracker.Study, g tracker.DueGroup) string {
	stage, _ := schedule.PassOf(g.Stage)
	if stage == schedule.LiftOut {
		if iv, rests := study.Rest(g.Items[0].Specimen, g.Stage); rests {
			return "lift out and weigh; then " + iv.Name + ": " + iv.Planned.String()
		}
	}
	if do := tracker.WorkOf(stage).Do; do != "" {
		return do
	}
	return "do it, then soaktag log SUBJECT --stage \"" + string(stage) + "\""
}

// DueNames names the specimens of a small group in one line, and of a large one
// those that stray from it, each in a line.
func DueNames(g tracker.DueGroup, zone *time.Location) (lines []string) {
	if g.Few() {
		return []string{allNames(g)}
	}
	for _, d := range g.Strays() {
		lines = append(lines, DueName(g, d.Specimen)+" apart from the rest: "+Window(d, zone))
	}
	return lines
}

func allNames(g tracker.DueGroup) string {
	var names []string
	for _, d := range g.Items {
		name := DueName(g, d.Specimen)
		if d.State == schedule.Overdue {
			name += " " + schedule.Short(d.Over) + " over"
		}
		names = append(names, name)
	}
	return strings.Join(names, "; ")
}

// OneWindow is the time of all groups of a block; empty when they differ.
func OneWindow(b tracker.DueBlock, zone *time.Location) string {
	first := Window(b[0].Items[0], zone)
	if slices.ContainsFunc(b, func(g tracker.DueGroup) bool { return Window(g.Items[0], zone) != first }) {
		return ""
	}
	return first
}

// LookAgain tells a person with nothing to do at an instant when to look again;
// empty where nothing is known to come.
func LookAgain(study *tracker.Study, items []tracker.Due, now time.Time) string {
	for _, d := range items {
		if d.Window.Opens.After(now) {
			return "next: " + string(d.Named()) + " from " + Time(d.Window.Opens, study.Zone)
		}
	}
	if first := study.FirstGlueUp; len(items) == 0 && first.After(now) {
		return "planned: the first glue-up on " + Time(first, study.Zone)
	}
	return ""
}

// Again says that a specimen is broken again, and how the try ended that left it
// whole; empty where there was none.
func Again(life *tracker.Life) string {
	last := life.LoadedBefore()
	if last == nil {
		return ""
	}
	text := " again (loaded before: " + string(last.How)
	if last.Reading != "" {
		text += ", " + last.Reading
	}
	return text + ")"
}
