package wording

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/intake"
)

// PhotographSeen is the line of a photograph in a listing: its time, and what it
// shows.
func PhotographSeen(n intake.PhotographSeen, zone *time.Location) string {
	var parts []string
	if n.Labels > 0 {
		parts = append(parts, Counted(n.Labels, "label", "labels"))
	}
	for _, card := range n.Cards {
		parts = append(parts, "card "+card.Title())
	}
	if n.Clock {
		parts = append(parts, "clock")
	}
	if len(parts) == 0 {
		parts = append(parts, "nothing to record")
	}
	return fmt.Sprintf("%s  %s  %s", n.Name, Span(n.Taken, zone), strings.Join(parts, ", "))
}

// LabelSeen is the line of a label in a photograph: how its entry stands.
func LabelSeen(n intake.LabelSeen, zone *time.Location) string {
	lead := map[intake.Standing]string{
		intake.New: "recorded ", intake.PutRight: "now says ", intake.Known: "known    ", intake.CountsNot: "set aside",
	}[n.Standing]
	return strings.Replace(Recorded(n.Verdict, zone), "recorded ", lead, 1)
}

// ForeignCode is the line of a QR code that is none of ours.
func ForeignCode(n intake.ForeignCode) string {
	return fmt.Sprintf("other     %s  in %s, not recorded", intake.Quoted(n.Text), n.Name)
}

// photograph words what a desk says of one photograph.
func photograph(n intake.Note, zone *time.Location) []Sentence {
	switch n := n.(type) {
	case intake.NoLabel:
		return noLabel(n)
	case intake.SeveralStages:
		return severalStages(n)
	case intake.ReadAtStage:
		return []Sentence{readAtStage(n)}
	case intake.ReadAtTime:
		return []Sentence{advise(fmt.Sprintf("%s: read in this photograph before, at %s, and left so; to change that: soaktag amend correct %s --at TIME --reason \"why\"",
			Whom(n.Event), Span(n.Event.At, zone), n.Event.ID))}
	}
	if s := photographOnce(n); s.Text != "" {
		return []Sentence{s}
	}
	return roll(n, zone)
}

// photographOnce words what takes one sentence.
func photographOnce(n intake.Note) Sentence {
	switch n := n.(type) {
	case intake.Twin:
		return warn("%s: %s stands in %d places: there is one such label, so the others are misread, or copies of it", n.Name, n.Label, n.Places)
	case intake.CardExpired:
		return tell("%s is no longer in force %s after its last photograph", n.Stage, schedule.Short(n.Ago))
	case intake.ProbableCard:
		return warn("%s: the card %s is probable, not decoded; look whether it is that card", n.Name, n.Text)
	case intake.CountAgain:
		return tell("%s: recorded again, %s", n.Name, Counted(n.Entries, "label", "labels"))
	case intake.StageGiven:
		return stageGiven(n)
	case intake.YesToNothing:
		return tell("%s: YES, but nothing asks", n.Name)
	case intake.YesActedBefore:
		return tell("%s: YES was read before, and accepts nothing more", n.Name)
	case intake.UndoActedBefore:
		if n.Again {
			return tell("%s: UNDO took this back before; it was recorded again since, and stays", n.Name)
		}
		return tell("%s: UNDO was read before, and takes nothing more back", n.Name)
	}
	return Sentence{}
}

func noLabel(n intake.NoLabel) []Sentence {
	if !n.Named {
		return []Sentence{tell("%s: no label found; not kept", n.Name)}
	}
	out := []Sentence{warn("%s: no label found; not kept", n.Name),
		advise("go nearer, hold still and avoid glare; or type the code: soaktag log CODE --stage STAGE --at TIME")}
	if !n.Any {
		out = append(out, advise(fmt.Sprintf("soaktag read %s --any lists every QR code there is, one printed by another program too", ShellWord(n.Name))))
	}
	return out
}

func severalStages(n intake.SeveralStages) []Sentence {
	text := fmt.Sprintf("%s: it shows the cards of several stages, %s", n.Name, strings.Join(n.Stages, " and "))
	if n.Given != "" {
		return []Sentence{tell("%s: taken as %s, as --stage says", text, n.Given)}
	}
	return []Sentence{warn("%s: none is in force", text),
		advise(fmt.Sprintf("photograph one stage card at a time; or say which it was: soaktag read %s --stage STAGE", ShellWord(n.Name)))}
}

func stageGiven(n intake.StageGiven) Sentence {
	says := "say"
	if n.Entries == 1 {
		says = "says"
	}
	text := fmt.Sprintf("%s: %s of this photograph now %s %s", n.Name, Counted(n.Entries, "entry", "entries"), says, n.Stage)
	if n.Left > 0 {
		text += fmt.Sprintf("; %d left alone: with a stage already, corrected or set aside", n.Left)
	}
	return tell("%s", text)
}

func readAtStage(n intake.ReadAtStage) Sentence {
	first, more := n.Entries[0], len(n.Entries)-1
	who, them := Whom(first), first.ID
	if more > 0 {
		who, them = fmt.Sprintf("%s and %d more", who, more), numbers(n.Entries)
	}
	text := fmt.Sprintf("%s: read in this photograph before, as %s, and left so", who, cmp.Or(string(first.Stage), "no stage"))
	if more > 0 && n.AtOnce { // the way back says how
		return tell("%s", text)
	}
	return advise(fmt.Sprintf("%s; to change that: soaktag amend correct %s stage=%q --reason \"why\"", text, them, string(n.InForce)))
}

// numbers are the numbers of events as they can be typed, "12 14-18".
func numbers(events []tracker.Event) string {
	var all []int64
	for _, e := range events {
		all = append(all, e.Seq)
	}
	slices.Sort(all)
	var words []string
	for len(all) > 0 {
		n := 1
		for n < len(all) && all[n] == all[0]+int64(n) {
			n++
		}
		word := fmt.Sprint(all[0])
		if n > 1 {
			word += fmt.Sprintf("-%d", all[n-1])
		}
		words, all = append(words, word), all[n:]
	}
	return strings.Join(words, " ")
}

// fewPhotographs is how many of them are named one by one.
const fewPhotographs = 3

// roll words what a desk says of all photographs of a roll.
func roll(n intake.Note, zone *time.Location) []Sentence {
	switch n := n.(type) {
	case intake.CameraOff:
		return []Sentence{tell("%s: the clock of %s is %s", n.Name, n.Device, Off(n.Ahead))}
	case intake.Zoneless:
		return []Sentence{tell("%s without a time zone: taken as of %s", Plural(n.Photographs, "photograph"), n.Zone)}
	case intake.TimeUnused:
		return timeUnused(n, zone)
	case intake.ClockUnset:
		return clockUnset(n, zone)
	case intake.LeftAtStage:
		return []Sentence{advise("all labels of a photograph at once: " + correctCommand(n.Given, n.Names))}
	case intake.LeftAside:
		return []Sentence{warn("%s: all that was read in it was set aside, and stays so", strings.Join(n.Names, ", ")),
			advise("to record it again: " + correctCommand(n.Given, n.Names))}
	case intake.RollTaken:
		return []Sentence{tell("%s", rollTaken(n))}
	case intake.RollAsks:
		return []Sentence{advise(fmt.Sprintf("%s: %s, or %s", Counted(len(n.Marks), "mark asks", "marks ask"), unstaged(n), AcceptCommand(n.Marks)))}
	case intake.RollInterrupted:
		return []Sentence{tell("%s", interrupted(n))}
	}
	return nil
}

func timeUnused(n intake.TimeUnused, zone *time.Location) []Sentence {
	var texts []string
	for _, p := range n.Own[:min(fewPhotographs, len(n.Own))] {
		texts = append(texts, fmt.Sprintf("%s has its own time, %s", filepath.Base(p.Name), Span(p.Taken, zone)))
	}
	if more := len(n.Own) - len(texts); more > 0 {
		texts = append(texts, fmt.Sprintf("and %d more", more))
	}
	return []Sentence{tell("--at not used for %s: %s", Plural(len(n.Own), "photograph"), strings.Join(texts, "; ")),
		advise(fmt.Sprintf("where its own time is wrong: soaktag read %s --at %s --correct --reason \"why\"", ShellWord(n.Own[0].Name), ShellWord(n.At)))}
}

func clockUnset(n intake.ClockUnset, zone *time.Location) []Sentence {
	more := ""
	if n.More > 0 {
		more = fmt.Sprintf(" and %d more", n.More)
	}
	odd := "long before this study"
	if n.Odd == intake.StillToCome {
		odd = "still to come"
	}
	out := []Sentence{warn("%s%s: the camera's clock says %s, %s: is it set?", n.Name, more, Span(n.Taken, zone), odd)}
	if n.Device != "" {
		out = append(out, advise(fmt.Sprintf("say what it shows at what time, for all its photographs: soaktag log --stage clock --device %s --shown TIME --at TIME", ShellWord(n.Device))))
	}
	return append(out, advise(fmt.Sprintf("or give the time of one: soaktag read %s --at TIME --correct --reason \"why\"", ShellWord(n.Name))))
}

func rollTaken(n intake.RollTaken) string {
	text := fmt.Sprintf("%s recorded from %s", Counted(n.Labels, "label", "labels"), Plural(n.Photographs, "photograph"))
	if n.Before > 0 {
		text += fmt.Sprintf(", %d known before", n.Before)
	}
	if n.Right > 0 {
		text += fmt.Sprintf(", %d put right", n.Right)
	}
	if n.Untaken > 0 {
		text += fmt.Sprintf(", %d not taken", n.Untaken)
	}
	return text
}

func interrupted(n intake.RollInterrupted) string {
	if n.Nothing {
		return "interrupted: nothing recorded; type the same command again"
	}
	return fmt.Sprintf("interrupted: %s recorded from %d of %s, and nothing by halves; the same command again goes on from there",
		Counted(n.Labels, "label", "labels"), n.Taken, Plural(n.Photographs, "photograph"))
}

// unstaged is what to type for what a roll left open: what has no stage gets it
// from its photographs, named one by one or as they were named.
func unstaged(n intake.RollAsks) string {
	text := "soaktag read " + photographs(n.Given, n.Unstaged) + " --stage STAGE"
	switch {
	case len(n.Unstaged) == 0:
		return "put it right with soaktag amend"
	case n.Others:
		return "what has no stage: " + text + "; else put it right with soaktag amend"
	}
	return "say which stage: " + text
}

// correctCommand is what to type to put photographs right.
func correctCommand(g intake.Given, names []string) string {
	stage := "STAGE"
	if g.Stage != "" {
		stage = ShellWord(string(g.Stage))
	}
	return fmt.Sprintf("soaktag read %s --stage %s --correct --reason \"why\"", photographs(g, names), stage)
}

// photographs names few photographs one by one, and many as they were named.
func photographs(g intake.Given, names []string) string {
	if len(names) > fewPhotographs {
		names = g.Words
	}
	var words []string
	for _, name := range names {
		words = append(words, ShellWord(name))
	}
	return strings.Join(words, " ")
}
