package intake

import (
	"slices"

	"soaktag/labels"
	"soaktag/tracker"
)

// What a desk notes of an entry of a phone.
type (
	// SentAgain: the entry came before, and nothing is recorded again.
	SentAgain struct{}
	// UndoAhead: UNDO came before what it means; that will count for nothing when it comes.
	UndoAhead struct{}
	// UndoneBefore: the UNDO of this entry came before it, so that it does not count.
	UndoneBefore struct{}
	// PictureNotKept: the photograph that came with a form cannot be kept; the form is.
	PictureNotKept struct{ Why string }
	// ReadApart: phone and station did not read the same in a photograph: what only one of
	// them has and is doubtful, and what the station decoded more than the phone.
	ReadApart struct {
		Phone, Station, More []string
	}
)

func (SentAgain) note()      {}
func (UndoAhead) note()      {}
func (UndoneBefore) note()   {}
func (PictureNotKept) note() {}
func (ReadApart) note()      {}

// A Heed says how much a note wants somebody to look.
type Heed int

const (
	NoHeed  Heed = iota
	LookAt       // something is doubtful, or an earlier entry asks now
	Answer       // it waits for YES or UNDO, or for a stage card
	Refused      // something was not taken
)

// HeedOf says how much a note wants somebody to look.
func HeedOf(n Note) Heed {
	switch n := n.(type) {
	case ReadApart:
		if len(n.Phone)+len(n.Station) > 0 {
			return LookAt
		}
		return NoHeed
	case NotTaken, NotRecorded:
		return Refused
	case NoLabel:
		return Refused
	case LeftOpen, StageExpired:
		return Answer
	case AsksNow, AsksAgain, TimeInDoubt, PictureNotKept, SeveralStages, ProbableCard, Twin, ReadAtStage:
		return LookAt
	}
	return NoHeed
}

// ReadBefore is an entry that the photograph in hand made at another stage, when it was
// handed in before; false where something new was recorded of it.
func (o Outcome) ReadBefore() (tracker.Event, bool) {
	var then []tracker.Event
	for _, n := range o.Notes {
		switch n := n.(type) {
		case SentAgain:
			return tracker.Event{}, false
		case LabelSeen:
			if n.Standing == New || n.Standing == PutRight {
				return tracker.Event{}, false
			}
		case ReadAtStage:
			then = append(then, n.Entries...)
		}
	}
	if len(then) == 0 {
		return tracker.Event{}, false
	}
	return then[0], true
}

// AsideBefore are the entries that the photograph in hand made when it was handed in before,
// and that were taken back since: they do not count again. None where something new was
// recorded of it, or the very entry came again.
func (o Outcome) AsideBefore() (aside []tracker.Event) {
	for _, n := range o.Notes {
		switch n := n.(type) {
		case SentAgain, UndoneBefore:
			return nil
		case LabelSeen:
			switch n.Standing {
			case New, PutRight:
				return nil
			case CountsNot:
				aside = append(aside, n.Event)
			}
		}
	}
	return aside
}

// YesAnswers reports whether YES would accept something that an entry asks.
func (o Outcome) YesAnswers() bool {
	if _, before := o.ReadBefore(); before || len(o.AsideBefore()) > 0 {
		return false
	}
	for _, v := range o.Seen() {
		if slices.ContainsFunc(v.Marks, func(m tracker.Mark) bool { return m.Open() && !oneOfTwo(v.Event, m) }) {
			return true
		}
	}
	return false
}

// UndoAnswers reports whether UNDO would take something back that an entry recorded.
func (o Outcome) UndoAnswers() bool {
	if _, before := o.ReadBefore(); before || len(o.AsideBefore()) > 0 {
		return false
	}
	aside := map[string]bool{}
	for _, n := range o.Notes {
		switch n := n.(type) {
		case AsideAlready:
			aside[n.Event.ID] = true
		case UndoneBefore:
			return false
		}
	}
	return slices.ContainsFunc(o.Seen(), func(v tracker.Verdict) bool { return isFact(v.Event) && !aside[v.Event.ID] })
}

// CardSetsStage reports whether a card put a stage in force.
func (o Outcome) CardSetsStage() bool {
	return slices.ContainsFunc(o.Notes, func(n Note) bool {
		switch n := n.(type) {
		case StageInForce:
			return true
		case PhotographSeen:
			return slices.ContainsFunc(n.Cards, func(c labels.Card) bool { return c.Kind == labels.CardStage })
		}
		return false
	})
}

// oneOfTwo reports whether a mark asks which of two readings of one label is right:
// that YES cannot answer.
func oneOfTwo(e tracker.Event, m tracker.Mark) bool {
	return m.Rule == tracker.RuleProbableCode && tracker.IsOneOfTwo(e.Doubt)
}

// Heed is the most that a note of an outcome wants.
func (o Outcome) Heed() (most Heed) {
	for _, n := range o.Notes {
		most = max(most, HeedOf(n))
	}
	return most
}
