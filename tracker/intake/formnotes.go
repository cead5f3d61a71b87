package intake

import (
	"slices"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/quantity"
	"soaktag/tracker/strength"
)

// What is said of forms.
type (
	// Foreseen: the record will ask of a break of this subject, because it was
	// never dealt, is out of the count, is broken, or has another stage to come.
	Foreseen struct {
		Subject Subject
		Dealt   bool
		End     tracker.Ending // empty while it counts
		Next    schedule.Stage // what is to come; empty where it is broken
	}
	// UnknownRig: a rig that the plan does not know is on record.
	UnknownRig struct{ Name string }
	// StillAtStake: what does not stand although marks are accepted.
	StillAtStake struct{ Stakes []strength.Stake }
	// Weighed: what a recorded reading comes to.
	Weighed struct {
		Reading quantity.Reading
		Load    strength.Load
	}
	// ForeignReading: a reading of another kind than the dial of its rig is marked in.
	ForeignReading struct{ Reading, Rig, Dial string }
	// NoForce: why a recorded reading comes to no force that is known.
	NoForce struct {
		Reading quantity.Reading
		Err     error
	}
	// DummyShowed: how a dummy ended, and what breaks are expected to take on its rig.
	DummyShowed struct {
		How      tracker.How
		Rig      string
		Force    quantity.Force // 0 where it is not known
		Expected []design.Load
		Unknown  error // why some of what is expected is not known
	}
	// NothingAsksThere: marks were to be accepted, and none of those meant asks.
	NothingAsksThere struct{}
	// Stand: these marks were accepted.
	Stand struct{ Marks []tracker.Mark }
	// NoRows: a table holds no events.
	NoRows struct{ Name string }
	// Imported: so many events of a table were added, Fuller stand in place of earlier
	// ones of which the table says more, and Known were there already; some of those
	// were set aside since, by Aside.
	Imported struct {
		Name         string
		Added, Known int
		Fuller       []tracker.Event
		Aside        []tracker.Event
		Dry          bool // would be; nothing was recorded
	}
	// AcceptedAlone: marks that were not accepted with the others, since that would make
	// another try the break.
	AcceptedAlone struct{ Marks []tracker.Mark }
	// AsksSince: so many marks ask in the study after an import, and before it.
	AsksSince struct {
		Now, Before int
		Dry         bool // would ask
	}
)

func (Foreseen) note()         {}
func (UnknownRig) note()       {}
func (Weighed) note()          {}
func (ForeignReading) note()   {}
func (StillAtStake) note()     {}
func (NoForce) note()          {}
func (DummyShowed) note()      {}
func (NothingAsksThere) note() {}
func (Stand) note()            {}
func (NoRows) note()           {}
func (Imported) note()         {}
func (AsksSince) note()        {}
func (AcceptedAlone) note()    {}

// asks reports whether the record asks of a break of what is foreseen.
func (f Foreseen) asks() bool { return !f.Dealt || f.End != "" || f.Next != schedule.Break }

// Short lists what the dummy was too weak for.
func (s DummyShowed) Short() []design.Load {
	return slices.DeleteFunc(slices.Clone(s.Expected), func(l design.Load) bool { return s.Force >= l.Expected })
}

// Why forms are refused.
type (
	// NoSuchEvent: a word means no event of the log.
	NoSuchEvent struct{ Word string }
	// NothingToRead: a try that ended so has no reading, and one is given.
	NothingToRead struct{ How tracker.How }
	// Missing: a form lacks an answer, under its name of the command line, with an example.
	Missing struct{ Form, Field, Example string }
	// OfSpecimens: what is named Field is kept of specimens only, not of dummies.
	OfSpecimens struct{ Field string }
	// WhichHalf: faces are read half by half.
	WhichHalf struct{ Code string }
)

func (NoSuchEvent) cause()   {}
func (NothingToRead) cause() {}
func (Missing) cause()       {}
func (OfSpecimens) cause()   {}
func (WhichHalf) cause()     {}

// The kinds of help with forms.
type (
	// NewLabel: a label is lost, not the specimen.
	NewLabel struct {
		Code     string
		Half     int  // 0: one of the two
		Recorded bool // the specimen is on record as lost, to be taken back first
		Scanned  bool // with UNDO
	}
	// CameApart: a bond that came apart without load fell apart.
	CameApart struct{}
	// NameARig: name a rig of the plan, or say that the other one is meant.
	NameARig struct{}
	// SeeWhatAsks: the study's status lists what asks.
	SeeWhatAsks struct{}
)

func (CameApart) help()   {}
func (NewLabel) help()    {}
func (NameARig) help()    {}
func (SeeWhatAsks) help() {}
