package wording

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// fewAdhesives is how many adhesives of a bath are named beside it; of more none is.
const fewAdhesives = 4

// DueWhom says which specimens a group is of: of a bath with all of their
// adhesives, or none.
func DueWhom(g tracker.DueGroup) string {
	if g.Bath != "" {
		return strings.TrimSpace("bath " + g.Bath + " " + adhesivesOf(g))
	}
	return strings.TrimSpace(g.Adhesive + " " + g.Treatment)
}

// adhesivesOf names all adhesives of a group, in brackets; nothing where they are
// many, or hidden.
func adhesivesOf(g tracker.DueGroup) string {
	var adhesives []string
	for _, d := range g.Items {
		if a := d.Specimen.Adhesive; !slices.Contains(adhesives, a) {
			adhesives = append(adhesives, a)
		}
	}
	if g.Blind || len(adhesives) > fewAdhesives {
		return ""
	}
	slices.Sort(adhesives)
	return "(" + strings.Join(adhesives, ", ") + ")"
}

// DueLot is a lot in one line: "clamp removal (EPX, PVA), 6 specimens".
func DueLot(g tracker.DueGroup) string {
	what, whom, treatment := string(g.Stage), adhesivesOf(g), g.Items[0].Specimen.Treatment
	alike := !slices.ContainsFunc(g.Items, func(d tracker.Due) bool { return d.Specimen.Treatment != treatment })
	switch {
	case g.Water():
		return WaterOf(g)
	case g.Bath != "":
		what += " of " + DueWhom(g)
	case alike:
		what += strings.TrimRight(" of "+treatment+" "+whom, " ")
	default:
		what = strings.TrimSpace(what + " " + whom)
	}
	return what + ", " + Plural(len(g.Items), "specimen")
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
	do, command := work(study, g)
	return do + led(", then ", command)
}

// work is what a group asks for and, where that has no words of its own, how to
// record it.
func work(study *tracker.Study, g tracker.DueGroup) (do, command string) {
	stage, _ := schedule.PassOf(g.Stage)
	if stage == schedule.LiftOut {
		if iv, rests := study.Rest(g.Items[0].Specimen, g.Stage); rests {
			return "lift out and weigh; then " + iv.Name + ": " + iv.Planned.String(), ""
		}
	}
	if do := tracker.WorkOf(stage).Do; do != "" {
		return do, ""
	}
	return "do it", "soaktag log SUBJECT --stage \"" + string(stage) + "\""
}

// DueNames names the specimens of a small group, and of a large one their
// numbers, as they can be typed; nothing where the group is all that there is.
func DueNames(g tracker.DueGroup) string {
	switch {
	case g.Few():
		return allNames(g)
	case g.Part:
		return "numbers " + Serials(g.Items)
	}
	return ""
}

// Serials are the numbers of specimens, those in a row as a range: "1-6, 9".
func Serials(items []tracker.Due) string {
	var all []int
	for _, d := range items {
		all = append(all, d.Specimen.Code.Serial)
	}
	slices.Sort(all)
	var runs []string
	for i := 0; i < len(all); {
		from := i
		for i++; i < len(all) && all[i] == all[i-1]+1; i++ {
		}
		run := fmt.Sprint(all[from])
		if i-from > 1 {
			run += fmt.Sprint("-", all[i-1])
		}
		runs = append(runs, run)
	}
	return strings.Join(runs, ", ")
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
	first := Window(b[0].Whole(), zone)
	if slices.ContainsFunc(b, func(g tracker.DueGroup) bool { return Window(g.Whole(), zone) != first }) {
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
