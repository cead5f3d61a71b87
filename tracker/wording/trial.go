package wording

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/intake"
)

// Trial says in one line how a label trial stands.
func Trial(t tracker.LabelTrial, zone *time.Location) string {
	lead := "label trial of " + cmp.Or(t.Stock, "a stock not named") + ": "
	rounds := t.Readings()
	if n := len(rounds); n > 0 && rounds[n-1].Wet > 0 {
		return lead + TrialShown(rounds[n-1])
	}
	in, since := t.InWater()
	switch gone := t.GoneInWater(); {
	case in == 0 && gone > 0:
		return lead + fmt.Sprintf("%d of %d went under water and were lost or damaged, none was ever read wet", gone, len(t.Labels))
	case in == 0:
		return lead + fmt.Sprintf("%d printed, none under water yet", len(t.Labels))
	}
	return lead + fmt.Sprintf("%d under water since %s, not read wet yet", in, Time(since, zone))
}

// TrialShown says what a round of reading trial labels proves.
func TrialShown(r tracker.TrialReading) string {
	if r.Wet == 0 {
		return fmt.Sprintf("%d of %d read dry", r.Read, r.Of)
	}
	text := fmt.Sprintf("%d of %d read after %s under water: ", r.Read, r.Of, schedule.Short(r.Wet))
	share := design.TrialShown(r)
	if share < 1 {
		return text + "that shows nothing in favour of such labels"
	}
	return text + fmt.Sprintf("with 95 %% confidence at least %.0f %% of such labels would", share)
}

// TrialNext says when to read the labels of a trial again that went under water
// at since, led by a semicolon; empty after the last time.
func TrialNext(t tracker.LabelTrial, since time.Time, zone *time.Location) string {
	after, ok := t.NextReading()
	if !ok {
		return ""
	}
	return fmt.Sprintf("; read them after %s, %s", schedule.Short(after), Time(since.Add(after), zone))
}

// untriedLabels names the stock and the next thing to do.
func untriedLabels(n intake.UntriedLabels) string {
	text := fmt.Sprintf("no label of %s was ever read wet here: ", cmp.Or(n.Stock, "this study"))
	i := slices.IndexFunc(n.Trials, func(t tracker.LabelTrial) bool { return t.Stock == n.Stock || n.Stock == "" })
	if i < 0 {
		return text + fmt.Sprintf("put ten on offcuts beside these: soaktag labels --trial %s --out trial.pdf", StockFlags(n.Stock))
	}
	if in, _ := n.Trials[i].InWater(); in == 0 {
		return text + "put the trial labels under water beside these: soaktag log trial --stage immersion"
	}
	return text + "scan the trial labels, which lie under water: soaktag scan"
}

// StockFlags are the flags that name a stock as a print of labels recorded it.
func StockFlags(text string) string {
	stock, material, _ := strings.Cut(cmp.Or(text, "STOCK"), ", ")
	words := fmt.Sprintf("--stock %q", stock)
	if material != "" {
		words += fmt.Sprintf(" --material %q", material)
	}
	return words
}

// DummyAsks is what a dummy is to show.
const DummyAsks = "does it hold, does the gauge read, does the tool run true?"

// DummyCommand is what to type for a dummy on a rig.
func DummyCommand(study *tracker.Study, rig string) string {
	text := "soaktag break dummy"
	if len(study.Rigs) > 1 {
		text += " --rig " + ShellWord(cmp.Or(rig, "NAME"))
	}
	return text + ` --reading "..." --ended separated`
}

// TrialWhole says what a label trial shows, round by round, a line each.
func TrialWhole(t tracker.LabelTrial, zone *time.Location) []string {
	var all []labels.Trial
	for _, l := range t.Labels {
		all = append(all, l.Trial)
	}
	lines := []string{fmt.Sprintf("Label trial of %s: %s", cmp.Or(t.Stock, "a stock not named"), intake.TrialNames(all))}
	for _, r := range t.Readings() {
		lines = append(lines, "  "+Time(r.From, zone)+"  "+TrialShown(r))
	}
	lines = append(lines, trialEnded(t)...)
	if in, since := t.InWater(); in > 0 {
		lines = append(lines, fmt.Sprintf("  %d under water since %s%s", in, Time(since, zone), TrialNext(t, since, zone)))
	}
	return append(lines, trialSilent(t)...)
}

// trialEnded names the labels that somebody said not to read, or took out.
func trialEnded(t tracker.LabelTrial) (lines []string) {
	for _, l := range t.Labels {
		if l.End == "" {
			continue
		}
		text := fmt.Sprintf("  %s %s", l.Trial, l.End)
		if l.EndNote != "" {
			text += " (" + l.EndNote + ")"
		}
		lines = append(lines, text)
	}
	return lines
}

// trialSilent names the labels that the last wet round left out, and that count
// as not read until somebody answers.
func trialSilent(t tracker.LabelTrial) (lines []string) {
	open, byEye := t.Unanswered()
	if len(byEye) > 0 {
		lines = append(lines, "  read by eye only, and counted as not read: "+intake.TrialNames(byEye))
	}
	if len(open) > 0 {
		lines = append(lines, "  not answered for, and counted as not read: "+intake.TrialNames(open))
	}
	return lines
}
