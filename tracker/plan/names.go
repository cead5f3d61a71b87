package plan

import (
	"fmt"
	"slices"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

// Names finds names in a plan that would stand for two things at the bench: a
// card, a tag or a word that is typed must mean one. Each is an error. Read does
// not look at them: a study that began before this was asked still opens.
func Names(file string, s *tracker.Study) []Problem {
	n := namer{file: file}
	stages := s.Stages()
	for i, stage := range stages {
		n.unlike("stage", string(stage), stageNames(stages[:i]))
		n.ofStage(string(stage), stages)
	}
	var baths []string
	for _, a := range s.Adhesives {
		if a.Bath == "" || slices.Contains(baths, a.Bath) {
			continue
		}
		n.unlike("bath", a.Bath, baths)
		for _, stage := range stages {
			if labels.SameName(string(stage), "bath "+a.Bath) {
				n.problem("the stage %q has the card of bath %s", stage, a.Bath)
			}
		}
		baths = append(baths, a.Bath)
	}
	n.typed(s)
	n.counted(s)
	return n.problems
}

// What a plan may have of each: ten times the largest study that anybody told apart by hand, and no more than
// a check takes a second or two for.
const (
	mostAdhesives  = 500
	mostTreatments = 100
	mostRigs       = 500
	mostBoards     = 5000
)

// counted refuses a plan with more of something than this program was made for.
func (n *namer) counted(s *tracker.Study) {
	for _, c := range []struct {
		what     string
		is, most int
	}{{"adhesives", len(s.Adhesives), mostAdhesives}, {"treatments", len(s.Treatments), mostTreatments}, {"rigs", len(s.Rigs), mostRigs}, {"boards", len(s.Wood.Boards), mostBoards}} {
		if c.is > c.most {
			n.problems = append(n.problems, Problem{File: n.file, Level: Error, Rule: "too-many", Text: fmt.Sprintf("the plan has %d %s, more than %d", c.is, c.what, c.most), Hint: "make several studies of it"})
		}
	}
}

// typed looks at names that have no card: those of rigs and boards, which are
// found in any case.
func (n *namer) typed(s *tracker.Study) {
	var rigs, boards []string
	for _, rig := range s.Rigs {
		n.unlikeTyped("rig", rig.Name, rigs)
		rigs = append(rigs, rig.Name)
	}
	for _, board := range s.Wood.Boards {
		n.unlikeTyped("board", board.Name, boards)
		boards = append(boards, board.Name)
	}
}

// unlikeTyped wants a name that nobody types for one before it.
func (n *namer) unlikeTyped(what, name string, before []string) {
	for _, other := range before {
		if labels.SameName(name, other) && name != other {
			n.problem("the %ss %q and %q differ only in case, spaces or signs", what, other, name)
		}
	}
}

func stageNames(stages []schedule.Stage) (names []string) {
	for _, s := range stages {
		names = append(names, string(s))
	}
	return names
}

// A namer gathers what is wrong with names.
type namer struct {
	file     string
	problems []Problem
}

func (n *namer) problem(format string, args ...any) {
	n.problems = append(n.problems, Problem{File: n.file, Level: Error, Rule: "names", Text: fmt.Sprintf(format, args...),
		Hint: "a card or a word must mean one thing at the bench: name it otherwise"})
}

// unlike wants a name that differs from all before it by more than case and what
// joins words, as cards do not show these.
func (n *namer) unlike(what, name string, before []string) {
	for _, other := range before {
		if labels.SameName(name, other) && name != other {
			n.problem("the %ss %q and %q have one card", what, other, name)
		}
	}
}

// reserved are words that are typed where a stage may stand and mean another thing.
var reserved = []string{"lost", "found", "damaged", "withdrawn", "clock"}

// ofStage wants the name of a stage to be read as that stage: on its card, and
// typed.
func (n *namer) ofStage(name string, stages []schedule.Stage) {
	card, misread := otherCard(name, stageNames(stages))
	switch {
	case misread:
		n.problem("a stage called %q is read as the card %s", name, card.Title())
	case isCode(name):
		n.problem("a stage called %q is read as a specimen", name)
	case slices.ContainsFunc(reserved, func(word string) bool { return labels.SameName(word, name) }):
		n.problem("a stage called %q is a word of its own: what became of a specimen, or a clock", name)
	}
}

// otherCard is the card that the name of a stage is read as, typed or scanned,
// where that is none of a stage.
func otherCard(name string, stages []string) (labels.Card, bool) {
	for _, text := range []string{name, labels.Card{Kind: labels.CardStage, Name: name}.Text()} {
		if card, ok := labels.ParseCard(text, stages); ok && card.Kind != labels.CardStage {
			return card, true
		}
	}
	return labels.Card{}, false
}

func isCode(name string) bool {
	_, err := labels.Parse(name)
	return err == nil
}
