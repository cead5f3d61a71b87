package wording

import (
	"fmt"
	"strings"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/strength"
)

// A DueList is what is to be done now, soonest first, as a screen and a page show it.
type DueList struct {
	Counts  string
	Items   []DueSaid
	Danger  []string  // what can still be mended
	After   []DueSaid // what to begin with, and what was loaded before
	Nothing string    // said where there is nothing to do; else empty
}

// A DueSaid is one thing to be done. What is empty is not to be said of it.
type DueSaid struct {
	Label   string         // how it stands, "OVERDUE"
	State   schedule.State // the same where a window says it
	Stage   schedule.Stage // to put in force for it, with its pass; empty where none is
	Title   string         // what, of whom, how many
	When    string
	Do, Why string
	Names   string // of few specimens, and of many their numbers
	Type    string // the command that records it
	Parts   []DuePart
	Baths   []string      // that it is about
	Codes   []labels.Code // of few specimens
	Rig     string        // of a dummy
}

// A DuePart is one of several groups under one heading: who and when, and below
// that which specimens, where these did not find room.
type DuePart struct{ Says, Names string }

// DueListOf words what is due at an instant. What still runs, with nothing to do
// yet, is told only with all.
func DueListOf(rec *tracker.Record, items []tracker.Due, dangers []strength.Danger, now time.Time, all bool) DueList {
	study := rec.Study()
	list := DueList{Counts: Time(now, study.Zone) + ": " + dueCounts(items), Danger: InDanger(dangers)}
	for _, b := range tracker.DueBlocks(study.GroupDue(items)) {
		if all || b[0].State != schedule.Ongoing {
			list.Items = append(list.Items, dueSaid(study, b))
		}
	}
	if start, waits := rec.Start(now); waits {
		list.After = append(list.After, startSaid(start, now, study.Zone))
	}
	if again := rec.BreakAgain(); len(again) > 0 {
		list.After = append(list.After, againSaid(again, study))
	}
	if len(list.Items)+len(list.After) == 0 {
		list.Nothing = "nothing to do now" + led("; ", LookAgain(study, items, now))
	}
	return list
}

func dueCounts(items []tracker.Due) string {
	n := tracker.States(items)
	return fmt.Sprintf("overdue %d, due %d, soon %d, running %d", n[schedule.Overdue], n[schedule.Due], n[schedule.Soon], n[schedule.Ongoing])
}

// led is a text behind its lead, or nothing.
func led(lead, text string) string {
	if text == "" {
		return ""
	}
	return lead + text
}

// dueSaid words a block: a group under a heading of its own, or several below one,
// each with its time unless all have the same.
func dueSaid(study *tracker.Study, b tracker.DueBlock) DueSaid {
	first, all := b[0], b.Items()
	d := DueSaid{Label: strings.ToUpper(first.State.String()), State: first.State, Stage: first.Stage, When: OneWindow(b, study.Zone)}
	d.about(b)
	switch {
	case first.Rig != "":
		d.dummy(study, first.Rig)
	case first.Water():
		d.Title, d.When = WaterOf(b...), Window(first.Whole(), study.Zone)
		d.Do, d.Why, d.Type = WaterAsks, WhyWater, WaterCommand(bathsOf(b...))
	case len(b) == 1:
		d.Title = fmt.Sprintf("%s of %s: %s", first.Stage, DueWhom(first), Plural(len(all), "specimen"))
		d.Names = DueNames(first)
	default:
		d.Title = fmt.Sprintf("%s: %s", first.Stage, Plural(len(all), "specimen"))
		for _, g := range b {
			d.Parts = append(d.Parts, duePart(study.Zone, g, d.When == ""))
		}
	}
	if d.Title += Roughly(all); d.Do == "" {
		d.Do, d.Type = work(study, first)
	}
	return d
}

// about names the baths of a block, and the specimens where they are few.
func (d *DueSaid) about(b tracker.DueBlock) {
	for _, g := range b {
		if g.Bath != "" {
			d.Baths = append(d.Baths, g.Bath)
		}
		for _, item := range g.Items {
			if g.Few() && g.Rig == "" && !g.Water() {
				d.Codes = append(d.Codes, item.Specimen.Code)
			}
		}
	}
}

func (d *DueSaid) dummy(study *tracker.Study, rig string) {
	d.Stage, d.Rig = "", rig
	d.Title = fmt.Sprintf("dummy on %s, before lift-out", rig)
	d.Do, d.Type = fmt.Sprintf("break a dummy on %s: %s", rig, DummyAsks), DummyCommand(study, rig)
}

// duePart words a group among several: who, when if it is timed, and which specimens.
func duePart(zone *time.Location, g tracker.DueGroup, timed bool) DuePart {
	names, whom, many := DueNames(g), DueWhom(g), Plural(len(g.Items), "specimen")
	switch {
	case len(g.Items) == 1 && timed:
		return DuePart{Says: fmt.Sprintf("%s, %s: %s", DueName(g, g.Items[0].Specimen), whom, Window(g.Whole(), zone))}
	case timed:
		return DuePart{fmt.Sprintf("%s: %s, %s", whom, many, Window(g.Whole(), zone)), names}
	case g.Few():
		return DuePart{Says: whom + ": " + names}
	}
	return DuePart{whom + ": " + many, names}
}

// startSaid words what comes before anything is due.
func startSaid(s tracker.Start, now time.Time, zone *time.Location) DueSaid {
	return DueSaid{Label: "TO BEGIN", Stage: s.Stage, Title: StartOf(s), When: StartBy(s, now, zone), Type: StartCommands(s)}
}

// againSaid words what a try left whole.
func againSaid(again []tracker.Due, study *tracker.Study) DueSaid {
	return DueSaid{Label: "LOADED BEFORE", Stage: schedule.Break,
		Title: Plural(len(again), "specimen") + ", whole: to be broken again or withdrawn, as next names them",
		Type:  AgainCommands(again[0].Specimen.Code.String(), study)}
}
