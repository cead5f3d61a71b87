package tracker

import (
	"slices"
	"strconv"
	"strings"

	"soaktag/schedule"
)

// Treatment finds a treatment by its key; nil when there is none.
func (s *Study) Treatment(key string) *Treatment {
	for i := range s.Treatments {
		if s.Treatments[i].Key == key {
			return &s.Treatments[i]
		}
	}
	return nil
}

// Adhesive finds an adhesive by its key; nil when there is none.
func (s *Study) Adhesive(key string) *Adhesive {
	for i := range s.Adhesives {
		if s.Adhesives[i].Key == key {
			return &s.Adhesives[i]
		}
	}
	return nil
}

// Rig finds a rig by its name as somebody wrote it: as it stands in the plan,
// else in any case and without spaces around it; nil when there is none.
func (s *Study) Rig(name string) *Rig {
	if i := slices.IndexFunc(s.Rigs, func(r Rig) bool { return r.Name == name }); i >= 0 {
		return &s.Rigs[i]
	}
	name = strings.TrimSpace(name)
	if i := slices.IndexFunc(s.Rigs, func(r Rig) bool { return strings.EqualFold(r.Name, name) }); i >= 0 {
		return &s.Rigs[i]
	}
	return nil
}

// Stage finds a stage of the study by its name, in any case and with hyphens or
// spaces; also a later pass through the bath, "immersion 2", where one soak only
// is planned: the record keeps it, and asks.
func (s *Study) Stage(word string) (schedule.Stage, bool) {
	for _, stage := range s.Stages() {
		if PlainWord(string(stage)) == PlainWord(word) {
			return stage, true
		}
	}
	return LaterPass(word)
}

// LaterPass reads a later pass through the bath, "immersion 2" or "lift-out 3".
func LaterPass(word string) (schedule.Stage, bool) {
	for _, stage := range []schedule.Stage{schedule.Immersion, schedule.LiftOut} {
		number, ok := strings.CutPrefix(PlainWord(word), PlainWord(string(stage)))
		if n, err := strconv.Atoi(number); ok && err == nil && 1 <= n && n < 100 {
			return schedule.Pass(stage, n), true
		}
	}
	return "", false
}

// PlainWord leaves out what people vary in a word of the study: case, and what
// joins words.
func PlainWord(word string) string {
	return strings.NewReplacer("-", "", " ", "", "_", "").Replace(strings.ToLower(word))
}

// NextNamed is the next open stage of a life with its pass, "immersion 2"; empty
// when the life is over.
func (l *Life) NextNamed() schedule.Stage { return schedule.Pass(l.Next, l.Pass) }

// Named is what is to be done with its pass, "immersion 2".
func (d Due) Named() schedule.Stage { return schedule.Pass(d.Stage, d.Pass) }
