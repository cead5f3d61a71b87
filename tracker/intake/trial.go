package intake

import (
	"slices"
	"strconv"
	"strings"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

// A trial label is a label on an offcut, put under water before the specimens
// to see whether it lasts. It is no specimen.

// readTrial reads a text that means a trial label, or all of them; false when
// it means something else, or is a name of the person's own.
func readTrial(rec *tracker.Record, text string) (Subject, bool) {
	if strings.EqualFold(strings.TrimSpace(text), "trial") && !isOwnName(rec, text) {
		return Subject{Text: text, AllTrials: true}, true
	}
	t, seen, ok := labels.ParseTrial(text)
	if !ok || !seen && isOwnName(rec, text) {
		return Subject{}, false
	}
	return Subject{Text: text, Code: t.Symbol(), Trial: true, byEye: !seen}, true
}

// isOwnName reports whether a text is the name of a specimen or of a bath.
func isOwnName(rec *tracker.Record, text string) bool {
	if _, ok := readBath(rec, text); ok {
		return true
	}
	_, _, err := rec.Resolve(text)
	return err == nil
}

// splitTrials takes the trial labels out of words: "trial" for all, "trial 3"
// or TRIAL-03 for one, and trial 3 5 for several. A number behind the word
// never means a specimen.
func splitTrials(rec *tracker.Record, words []string) (trials []Subject, rest []string) {
	for len(words) > 0 {
		sub, ok := readTrial(rec, words[0])
		word := words[0]
		words = words[1:]
		if !ok {
			rest = append(rest, word)
			continue
		}
		numbered := false
		for sub.AllTrials && len(words) > 0 && isNumber(words[0]) {
			if one, ok := readTrial(rec, "trial "+words[0]); ok {
				trials, numbered = append(trials, one), true
			}
			words = words[1:]
		}
		if !numbered {
			trials = append(trials, sub)
		}
	}
	return trials, rest
}

func isNumber(word string) bool {
	_, err := strconv.ParseUint(word, 10, 32)
	return err == nil
}

// typedTrials checks trial labels that were typed: they must have been printed.
func (d *Desk) typedTrials(trials []Subject) error {
	printed := printedTrials(d.rec)
	for _, sub := range trials {
		switch t, _ := tracker.TrialOf(sub.Code); {
		case len(printed) == 0:
			return refuse("no trial labels were printed in this study; nothing recorded").with(PrintTrial{})
		case sub.Trial && !slices.Contains(printed, t):
			return refuse("%s was never printed in this study, %s were; nothing recorded", t, TrialNames(printed))
		}
	}
	return nil
}

// printedTrials lists the trial labels that were printed in a study.
func printedTrials(rec *tracker.Record) []labels.Trial {
	var all []labels.Trial
	for _, t := range rec.Trials() {
		for _, l := range t.Labels {
			all = append(all, l.Trial)
		}
	}
	slices.Sort(all)
	return all
}

// TrialNames lists trial labels, those that follow each other by first and last.
func TrialNames(all []labels.Trial) string {
	var parts []string
	for i := 0; i < len(all); {
		last := i
		for last+1 < len(all) && all[last+1] == all[last]+1 {
			last++
		}
		switch last - i {
		case 0:
			parts = append(parts, all[i].String())
		case 1:
			parts = append(parts, all[i].String(), all[last].String())
		default:
			parts = append(parts, all[i].String()+" to "+all[last].String())
		}
		i = last + 1
	}
	return strings.Join(parts, ", ")
}

// ofTrials makes the events of a fact about a trial label, or about all that
// it can mean.
func (d *Desk) ofTrials(fact tracker.Event, sub Subject) ([]tracker.Event, error) {
	if fact.Kind == tracker.Staged && fact.Stage != schedule.Immersion && fact.Stage != schedule.LiftOut {
		if fact.Via == "typed" && fact.Stage != "" {
			return nil, refuse("a trial label is put under water and lifted out, it has no %s", fact.Stage).with(PutUnderWater{})
		}
		fact.Stage = "" // it was read, whatever is being done to specimens
	}
	if sub.byEye || sub.AllTrials {
		fact.Via = "typed"
	}
	if !sub.AllTrials {
		return []tracker.Event{about(fact, sub)}, nil
	}
	var events []tracker.Event
	for _, t := range d.meantTrials(fact) {
		events = append(events, about(fact, Subject{Code: t.Symbol()}))
	}
	if len(events) == 0 {
		return nil, refuse("no trial label is left for that").with(SeeTrial{})
	}
	return events, nil
}

// meantTrials are the trial labels that "trial" means: those that can go under
// water, that lie there, or, for the rest, that are still in the trial.
func (d *Desk) meantTrials(fact tracker.Event) []labels.Trial {
	var meant []labels.Trial
	for _, t := range d.rec.Trials() {
		for _, l := range t.Labels {
			fits := l.End == ""
			switch fact.Stage {
			case schedule.Immersion:
				fits = fits && !l.UnderWater()
			case schedule.LiftOut:
				fits = l.UnderWater()
			}
			if fits {
				meant = append(meant, l.Trial)
			}
		}
	}
	slices.Sort(meant)
	return meant
}

// isTrialEvent reports whether an event is about a trial label.
func isTrialEvent(e tracker.Event) bool {
	_, ok := tracker.TrialOf(e.Code)
	return ok
}

func notTrial(e tracker.Event) bool { return !isTrialEvent(e) }

func isAbout(e tracker.Event, t tracker.LabelTrial) bool {
	return slices.ContainsFunc(t.Labels, func(l tracker.TrialLabel) bool { return l.Trial.Symbol() == e.Code })
}
