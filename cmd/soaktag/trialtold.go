package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/stat"
	"soaktag/tracker/wording"
)

// trialDays are the days under water after which trial labels are to be read.
var trialDays = [...]int{1, 7, 30}

// sayTrials says what the label trials have shown, after something was
// recorded about them.
func (b *book) sayTrials(events []tracker.Event) error {
	if !slices.ContainsFunc(events, isTrialEvent) {
		return nil
	}
	rec, err := b.db.State()
	if err != nil {
		return fmt.Errorf("recorded, but not read back: %w", err)
	}
	for _, t := range rec.Trials() {
		if slices.ContainsFunc(events, func(e tracker.Event) bool { return isAbout(e, t) }) {
			b.say("%s", trialText(t, b.zone()))
		}
	}
	return nil
}

func isTrialEvent(e tracker.Event) bool {
	_, ok := tracker.TrialOf(e.Code)
	return ok
}

func isAbout(e tracker.Event, t tracker.LabelTrial) bool {
	return slices.ContainsFunc(t.Labels, func(l tracker.TrialLabel) bool { return l.Trial.Symbol() == e.Code })
}

// trialText says in one line how a trial stands.
func trialText(t tracker.LabelTrial, zone *time.Location) string {
	lead := "label trial of " + orUnknown(t.Stock, "a stock not named") + ": "
	rounds := t.Readings()
	if n := len(rounds); n > 0 && rounds[n-1].Wet > 0 {
		return lead + shownText(rounds[n-1])
	}
	in, since := inWater(t)
	switch gone := goneInWater(t); {
	case in == 0 && gone > 0:
		return lead + fmt.Sprintf("%d of %d went under water and were lost or damaged, none was ever read wet", gone, len(t.Labels))
	case in == 0:
		return lead + fmt.Sprintf("%d printed, none under water yet", len(t.Labels))
	}
	return lead + fmt.Sprintf("%d under water since %s, not read wet yet", in, wording.Time(since, zone))
}

// goneInWater counts the labels that went under water and did not come through it.
func goneInWater(t tracker.LabelTrial) (n int) {
	for _, l := range t.Labels {
		if len(l.Spells) > 0 && (l.End == tracker.Lost || l.End == tracker.Damaged) {
			n++
		}
	}
	return n
}

// inWater counts the labels that lie under water, and says since when the
// first of them does.
func inWater(t tracker.LabelTrial) (n int, since time.Time) {
	for _, l := range t.Labels {
		if !l.UnderWater() || l.End != "" {
			continue
		}
		n++
		if at := l.Spells[0].In.Mid(); since.IsZero() || at.Before(since) {
			since = at
		}
	}
	return n, since
}

// shownText says what a round of reading proves.
func shownText(r tracker.TrialReading) string {
	if r.Wet == 0 {
		return fmt.Sprintf("%d of %d read dry", r.Read, r.Of)
	}
	text := fmt.Sprintf("%d of %d read after %s under water: ", r.Read, r.Of, schedule.Short(r.Wet))
	share := shownShare(r)
	if share < 1 {
		return text + "that shows nothing in favour of such labels"
	}
	return text + fmt.Sprintf("with 95 %% confidence at least %.0f %% of such labels would", share)
}

// trialConfidence is how sure the share is that a trial is said to show.
const trialConfidence = 0.95

// shownShare is the share of such labels, in whole percent rounded down, of
// which a round shows that at least so many would read: the exact one-sided
// lower limit (Clopper-Pearson), which for all of n is 0.05^(1/n).
func shownShare(r tracker.TrialReading) float64 {
	if r.Read == r.Of {
		return math.Floor(100 * stat.SurvivorsShown(r.Of, trialConfidence))
	}
	failing, err := stat.ProportionAtMost(r.Of-r.Read, r.Of, trialConfidence)
	if err != nil {
		return 0
	}
	return math.Floor(100 * (1 - failing))
}

// showTrials says what the trials of the study show, round by round.
func (s *session) showTrials(c *cli.Context) error {
	view, err := s.look(c)
	if err != nil {
		return err
	}
	trials := view.rec.Trials()
	if len(trials) == 0 {
		s.print("no trial labels were printed in this study\n")
		s.hint("put ten under water before the specimens: soaktag labels --trial --stock STOCK --out trial.pdf")
	}
	for _, t := range trials {
		s.showTrial(t, view.zone())
	}
	return nil
}

func (s *session) showTrial(t tracker.LabelTrial, zone *time.Location) {
	var all []labels.Trial
	for _, l := range t.Labels {
		all = append(all, l.Trial)
	}
	s.print("Label trial of %s: %s\n", orUnknown(t.Stock, "a stock not named"), trialNames(all))
	rounds := t.Readings()
	for _, r := range rounds {
		s.print("  %s  %s\n", wording.Time(r.From, zone), shownText(r))
	}
	s.showEnded(t)
	if in, since := inWater(t); in == 0 && len(rounds) == 0 {
		s.hint("scan each once, then put them under water: soaktag log trial --stage immersion")
	} else if in > 0 {
		s.print("  %d under water since %s%s\n", in, wording.Time(since, zone), nextReading(rounds, since, zone))
	}
	s.showSilent(t, rounds)
}

// showEnded names the labels that somebody said not to read, or took out.
func (s *session) showEnded(t tracker.LabelTrial) {
	for _, l := range t.Labels {
		if l.End == "" {
			continue
		}
		text := string(l.End)
		if l.EndNote != "" {
			text += " (" + l.EndNote + ")"
		}
		s.print("  %s %s\n", l.Trial, text)
	}
}

// nextReading is the next of the set days that no round came near to.
func nextReading(rounds []tracker.TrialReading, since time.Time, zone *time.Location) string {
	var read time.Duration
	for _, r := range rounds {
		read = max(read, r.Wet)
	}
	for _, day := range trialDays {
		due := time.Duration(day) * 24 * time.Hour
		if read < due*9/10 {
			return fmt.Sprintf("; read them after %s, %s", schedule.Short(due), wording.Time(since.Add(due), zone))
		}
	}
	return ""
}

// showSilent asks for the labels that the last wet round left out, and that
// count as not read until somebody answers.
func (s *session) showSilent(t tracker.LabelTrial, rounds []tracker.TrialReading) {
	if len(rounds) == 0 || rounds[len(rounds)-1].Wet == 0 {
		return
	}
	last := rounds[len(rounds)-1]
	var open, byEye []labels.Trial
	for _, l := range t.Labels {
		switch {
		case l.End != "" || !slices.Contains(last.Silent, l.Trial):
		case l.ByEye.Before(last.From):
			open = append(open, l.Trial)
		default:
			byEye = append(byEye, l.Trial)
		}
	}
	if len(byEye) > 0 {
		s.print("  read by eye only, and counted as not read: %s\n", trialNames(byEye))
	}
	if len(open) > 0 {
		s.print("  not answered for, and counted as not read: %s\n", trialNames(open))
		s.hint("scan %s too, or say what is wrong: soaktag log trial %d --stage damaged (or lost, if the label is gone)", open[0], open[0])
	}
}

// beforeWater says once a command that specimens are about to go under water
// with labels that were never tried there. It must be asked before the events
// are recorded.
func (b *book) beforeWater(events []tracker.Event) {
	b.beforeLift(events)
	if b.wet || !slices.ContainsFunc(events, immerses) {
		return
	}
	b.wet = true
	if text := untried(b.rec); text != "" {
		b.warn("%s", text)
	}
}

// untried says, when the first specimens of a study go under water, that no
// label like theirs was ever read wet; empty when there is nothing to say.
func untried(rec *tracker.Record) string {
	if rec.Immersed() {
		return ""
	}
	stocks, printed := rec.Stocks()
	trials := rec.Trials()
	tried := func(stock string) bool {
		return slices.ContainsFunc(trials, func(t tracker.LabelTrial) bool { return t.Stock == stock && t.ReadWet() })
	}
	open := slices.DeleteFunc(stocks, tried)
	if !printed || len(open) == 0 && (len(stocks) > 0 || slices.ContainsFunc(trials, tracker.LabelTrial.ReadWet)) {
		return ""
	}
	if len(open) == 0 {
		open = []string{""}
	}
	return untriedText(open[0], trials)
}

// immerses reports whether an event puts a specimen under water.
func immerses(e tracker.Event) bool {
	return e.Kind == tracker.Staged && e.Stage == schedule.Immersion && !isTrialEvent(e)
}

// untriedText names the stock and the next thing to do.
func untriedText(stock string, trials []tracker.LabelTrial) string {
	text := fmt.Sprintf("no label of %s was ever read wet here: ", orUnknown(stock, "this study"))
	i := slices.IndexFunc(trials, func(t tracker.LabelTrial) bool { return t.Stock == stock || stock == "" })
	if i < 0 {
		size, material, _ := strings.Cut(orUnknown(stock, "STOCK"), ", ")
		if material != "" {
			material = fmt.Sprintf(" --material %q", material)
		}
		return text + fmt.Sprintf("put ten on offcuts beside these: soaktag labels --trial --stock %q%s --out trial.pdf", size, material)
	}
	if in, _ := inWater(trials[i]); in == 0 {
		return text + "put the trial labels under water beside these: soaktag log trial --stage immersion"
	}
	return text + "scan the trial labels, which lie under water: soaktag scan"
}

// A trialDoc is a label trial as scripts see it in status/1.
type trialDoc struct {
	Stock      string   `json:"stock"`
	Labels     []string `json:"labels"`
	UnderWater int      `json:"under_water"`
	ReadAfterH *float64 `json:"read_after_h"` // of the last wet round; null before
	Read       *int     `json:"read"`
	Of         *int     `json:"of"`
	AtLeastPct *float64 `json:"at_least_pct"` // of such labels, with 95 % confidence
	Silent     []string `json:"silent"`
}

func trialDocs(rec *tracker.Record) []trialDoc {
	docs := []trialDoc{}
	for _, t := range rec.Trials() {
		doc := trialDoc{Stock: t.Stock, Labels: []string{}, Silent: []string{}}
		for _, l := range t.Labels {
			doc.Labels = append(doc.Labels, l.Trial.String())
		}
		doc.UnderWater, _ = inWater(t)
		if rounds := t.Readings(); len(rounds) > 0 && rounds[len(rounds)-1].Wet > 0 {
			doc.last(rounds[len(rounds)-1])
		}
		docs = append(docs, doc)
	}
	return docs
}

func (doc *trialDoc) last(r tracker.TrialReading) {
	wet, share := hours(r.Wet), shownShare(r)
	doc.ReadAfterH, doc.Read, doc.Of, doc.AtLeastPct = &wet, &r.Read, &r.Of, &share
	for _, t := range r.Silent {
		doc.Silent = append(doc.Silent, t.String())
	}
}
