package intake

import (
	"time"

	"soaktag/tracker"
)

// A Question is what a desk waits for, as a typed fact: package wording has the
// sentence. It shows what was understood last.
type Question interface{ question() }

// The questions.
type (
	// WhichSpecimen is to be broken next. Next is proposed; empty where none waits.
	WhichSpecimen struct {
		Next, Board string
		NotBefore   time.Time    // when it may be broken, where that is still to come
		Before      *tracker.Try // a try that left it whole; nil for none
		Left        int          // how many wait, it among them
	}
	// WhichHalfNext has its faces read next: none waits.
	WhichHalfNext struct{}
	// WhichRig breaks the subject, of those in the plan's order. Enter takes the one
	// in use last; empty where none was.
	WhichRig struct {
		Subject string
		Names   []string
		Last    string
	}
	// WhatReading did the gauge show? Unit is what a bare number is in; empty: none is.
	WhatReading struct{ Subject, Rig, Unit string }
	// HowEnded is asked of a try with that reading; empty for none.
	HowEnded struct {
		Subject, Reading string
		InWords          bool // and not by a key each
	}
	// WoodFailed how much: of a try that ended so, or of a half whose faces are read.
	WoodFailed struct {
		How     tracker.How // empty for faces
		Subject string
		Left    int // faces: how many halves wait, it among them
	}
	// WhichMode did it fail in, with so much wood failure?
	WhichMode struct {
		Percent float64
		Shallow bool
	}
)

func (WhichSpecimen) question() {}
func (WhichHalfNext) question() {}
func (WhichRig) question()      {}
func (WhatReading) question()   {}
func (HowEnded) question()      {}
func (WoodFailed) question()    {}
func (WhichMode) question()     {}

// What is said beside the questions.
type (
	// SatDown: a sitting begins, at the press or over faces.
	SatDown struct{ Faces bool }
	// InHand: a line named this specimen, or half, and what is said next is about it.
	InHand struct{ Subject Subject }
	// Heard: this was understood about the subject; the next question shows it.
	Heard struct {
		Subject Subject
		Answer  string
	}
	// NotTaken: a text answers nothing that was asked; it is asked again.
	NotTaken struct{ *Refusal }
	// Unsaid: this answer about the subject is taken back.
	Unsaid struct {
		Subject Subject
		Answer  string
	}
	// PutBack: the subject is no longer in hand; nothing was recorded of it.
	PutBack struct{ Subject Subject }
	// TakenAsSeparated: nobody said how a try with this reading ended; it is recorded as separated.
	TakenAsSeparated struct {
		Subject Subject
		Reading string
	}
	// BeyondDial: a reading that was just given is more than the gauge of the rig can show.
	BeyondDial struct{ Reading, Rig string }
	// Stood: a sitting ends, in which so many were broken or read, and so many tries
	// left a bond whole; what is left to do, and what asks.
	Stood struct {
		Faces                   bool
		Done, Whole, Left, Open int
	}
)

func (SatDown) note()          {}
func (InHand) note()           {}
func (Heard) note()            {}
func (NotTaken) note()         {}
func (Unsaid) note()           {}
func (PutBack) note()          {}
func (TakenAsSeparated) note() {}
func (BeyondDial) note()       {}
func (Stood) note()            {}
