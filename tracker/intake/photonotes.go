package intake

import (
	"time"

	"soaktag/labels"
	"soaktag/labels/photo"
	"soaktag/schedule"
	"soaktag/tracker"
)

// A Standing says of a label in a photograph how its entry stands.
type Standing int

const (
	New       Standing = iota // this photograph added it
	PutRight                  // this photograph corrected it
	Known                     // it was recorded before
	CountsNot                 // it was recorded before, and no longer counts
)

// Odd says what is wrong with the time of a photograph.
type Odd int

const (
	NotOdd Odd = iota
	StillToCome
	LongBefore // the study
)

// A Dated is a photograph with its time.
type Dated struct {
	Name  string
	Taken schedule.Span
}

// What a desk notes of one photograph.
type (
	// PhotographSeen: what a photograph shows, before anything is recorded.
	PhotographSeen struct {
		Name   string
		Taken  schedule.Span
		Labels int // baths and trial labels too
		Cards  []labels.Card
		Clock  bool // a clock symbol
	}
	// ForeignCode: a QR code that is none of ours.
	ForeignCode struct{ Name, Text string }
	// NoLabel: nothing was found; the photograph is not kept.
	NoLabel struct {
		Name  string
		Named bool // by the person, not met in a folder
		Any   bool // codes that are none of ours were looked for too
	}
	// Twin: a label stands in several places of one photograph.
	Twin struct {
		Name, Label string
		Places      int
	}
	// SeveralStages: a photograph shows the cards of several stages. The one that
	// was given is in force; none where none was.
	SeveralStages struct {
		Name   string
		Stages []string
		Given  schedule.Stage
	}
	// CardExpired: the last photograph under a stage card is so long ago that it counts no more.
	CardExpired struct {
		Stage schedule.Stage
		Ago   time.Duration
	}
	// ProbableCard: a card was recognised, not decoded. Text is what its symbol says.
	ProbableCard struct{ Name, Text string }
	// LabelSeen: a label, and what is on record of it now.
	LabelSeen struct {
		tracker.Verdict
		Standing
	}
	// CountAgain: so many entries that were all set aside count again.
	CountAgain struct {
		Name    string
		Entries int
	}
	// StageGiven: entries of a photograph that was read before got their stage;
	// others were left as they are.
	StageGiven struct {
		Name          string
		Stage         schedule.Stage
		Entries, Left int
	}
	// ReadAtStage: entries were read in this photograph before, all at one stage, and
	// stay so although another is in force.
	ReadAtStage struct {
		Entries []tracker.Event
		InForce schedule.Stage
		AtOnce  bool // the stage was given, so that all are put right by it at once
	}
	// ReadAtTime: an entry was read in this photograph before, and stays at its
	// time although another was given.
	ReadAtTime struct{ Event tracker.Event }
	// YesToNothing: YES was photographed, and nothing asks.
	YesToNothing struct{ Name string }
	// YesActedBefore: this very YES accepted something before.
	YesActedBefore struct{ Name string }
	// UndoActedBefore: this very UNDO took something back before. Again: that was
	// recorded again since, and stays.
	UndoActedBefore struct {
		Name  string
		Again bool
	}
	// PhotographTaken is what came of a photograph: its stage, and of everything
	// found in it, in that order, what stands for it; nil for nothing.
	PhotographTaken struct {
		Taken schedule.Span
		Stage schedule.Stage
		Found []*tracker.Verdict

		Symbols []photo.Found // what was found
	}
)

// What a desk notes of a roll of photographs.
type (
	// CameraOff: a photographed clock symbol says that a camera's clock is ahead by
	// so much, behind where below zero.
	CameraOff struct {
		Name, Device string
		Ahead        time.Duration
	}
	// Zoneless: so many photographs say no zone, and were taken for this one's.
	Zoneless struct {
		Photographs int
		Zone        *time.Location
	}
	// TimeUnused: photographs have a time of their own, so the one given, as it
	// was typed, was not taken for them.
	TimeUnused struct {
		At  string
		Own []Dated
	}
	// ClockUnset: a camera's clock was hardly ever set. Device is empty where the
	// time is not by a clock that has a name.
	ClockUnset struct {
		Dated
		More   int // photographs of that camera
		Odd    Odd
		Device string
	}
	// LeftAtStage: photographs were read at another stage than the one given.
	LeftAtStage struct {
		Given
		Names []string
	}
	// LeftAside: all that was read in photographs was set aside, and stays so.
	LeftAside struct {
		Given
		Names []string
	}
	// RollTaken: what became of all photographs.
	RollTaken struct {
		Labels, Before, Right int // recorded, known before, put right
		Photographs, Untaken  int
	}
	// RollAsks: what the roll left open.
	RollAsks struct {
		Given
		Marks    []tracker.Mark // of those with the same words one
		Unstaged []string       // photographs of what has no stage
		Others   bool           // something else asks too
	}
	// RollInterrupted: what is on record of a roll that was not taken to its end.
	RollInterrupted struct {
		Labels, Taken, Photographs int
		Nothing                    bool // is recorded
	}
)

// The kinds of help about photographs.
type (
	// LookAndType: photograph a label again, or type its code.
	LookAndType struct{}
	// LookAtTwins: see which of several places is the label.
	LookAtTwins struct{}
	// LogBath: record by hand whom a bath holds.
	LogBath struct{ Bath string }
	// GiveTime: say when a photograph was taken.
	GiveTime struct{ Name string }
)

func (PhotographSeen) note()  {}
func (ForeignCode) note()     {}
func (NoLabel) note()         {}
func (Twin) note()            {}
func (SeveralStages) note()   {}
func (CardExpired) note()     {}
func (ProbableCard) note()    {}
func (LabelSeen) note()       {}
func (CountAgain) note()      {}
func (StageGiven) note()      {}
func (ReadAtStage) note()     {}
func (ReadAtTime) note()      {}
func (YesToNothing) note()    {}
func (YesActedBefore) note()  {}
func (UndoActedBefore) note() {}
func (PhotographTaken) note() {}

func (CameraOff) note()       {}
func (Zoneless) note()        {}
func (TimeUnused) note()      {}
func (ClockUnset) note()      {}
func (LeftAtStage) note()     {}
func (LeftAside) note()       {}
func (RollTaken) note()       {}
func (RollAsks) note()        {}
func (RollInterrupted) note() {}

func (LookAndType) help() {}
func (LookAtTwins) help() {}
func (LogBath) help()     {}
func (GiveTime) help()    {}
