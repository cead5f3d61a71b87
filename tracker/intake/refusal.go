package intake

import (
	"fmt"

	"soaktag/schedule"
)

// A Refusal says why something that came in was not recorded, and what would
// put it right. Nothing of what it speaks of is on record.
type Refusal struct {
	Why   string // for a person
	Cause Cause  // why, where the whole sentence shows a time, an event or what to type; else nil
	Help  Help   // nil where there is no better advice than the reason itself
}

func (r *Refusal) Error() string { return r.Why }

// A Cause is why something was refused, as a typed fact: package wording has the
// sentence, which says more than Why.
type Cause interface{ cause() }

// A Help is what somebody can do about a refusal, or next: a typed fact, of
// which package wording makes the sentence.
type Help interface{ help() }

// The kinds of cause of what went through a stage.
type (
	// WhichDevice: a time is that of a device's clock, and no device is named.
	WhichDevice struct{}
	// NothingSaid: neither a stage nor a remark was given.
	NothingSaid struct{}
)

func (WhichDevice) cause() {}
func (NothingSaid) cause() {}

// refuse makes a refusal without help.
func refuse(format string, args ...any) *Refusal {
	return &Refusal{Why: fmt.Sprintf(format, args...)}
}

// refusalOf is an error as a refusal.
func refusalOf(err error) *Refusal {
	if r, ok := err.(*Refusal); ok {
		return r
	}
	return &Refusal{Why: err.Error()}
}

// with adds help to a refusal.
func (r *Refusal) with(h Help) *Refusal {
	r.Help = h
	return r
}

// because gives a refusal its cause.
func (r *Refusal) because(c Cause) *Refusal {
	r.Cause = c
	return r
}

// The kinds of help.
type (
	// ReadAgain: the label was misread; near are the codes that look like it.
	ReadAgain struct{ Near []string }
	// SeeStatus: how far the specimens are decides what can be recorded.
	SeeStatus struct{}
	// Advice is a sentence that names no command.
	Advice struct{ Text string }
	// BreakWithReading: a break wants its reading. Timed: its time as well.
	BreakWithReading struct {
		Subject string // as somebody would type it; empty for any
		Reading string // what was given of it; empty for nothing
		Choose  bool   // the plan has several rigs
		Timed   bool
	}
	// ReadingFollows: at the break every code is followed by its reading.
	ReadingFollows struct{}
	// PrintTrial: there are no trial labels yet.
	PrintTrial struct{}
	// NameThem: if it happened all the same, they are named one by one.
	NameThem struct{}
	// NameTheCodes: several that cannot be named in one word are named by their codes.
	NameTheCodes struct{}
	// WriteUpOne: if it happened all the same, it is written up of each by its code.
	WriteUpOne struct{ Stage schedule.Stage }
	// InQuotes: what is named in two words is one word in quotes: "bath B1".
	InQuotes struct{ Lead string }
	// ChangeIn: the water of these baths can be changed.
	ChangeIn struct{ Baths []string }
	// SeeTrial: how the trial labels are decides what can be recorded of them.
	SeeTrial struct{}
	// PutUnderWater: a trial label is put under water and read there.
	PutUnderWater struct{}
	// StagesAre lists the stages of the plan.
	StagesAre struct{ Names []string }
	// VoidEarlier: what was recorded before this desk was opened is voided by itself.
	VoidEarlier struct{}
	// BathsAre lists the baths of the study.
	BathsAre struct{ Names []string }
)

func (ReadAgain) help()        {}
func (SeeStatus) help()        {}
func (Advice) help()           {}
func (BreakWithReading) help() {}
func (ReadingFollows) help()   {}
func (PrintTrial) help()       {}
func (NameThem) help()         {}
func (NameTheCodes) help()     {}
func (WriteUpOne) help()       {}
func (InQuotes) help()         {}
func (ChangeIn) help()         {}
func (SeeTrial) help()         {}
func (PutUnderWater) help()    {}
func (StagesAre) help()        {}
func (VoidEarlier) help()      {}
func (BathsAre) help()         {}

// Quoted shows a text of any kind safely and shortly.
func Quoted(text string) string {
	if len(text) > 40 {
		return fmt.Sprintf("%q and %d more bytes", text[:40], len(text)-40)
	}
	return fmt.Sprintf("%q", text)
}
