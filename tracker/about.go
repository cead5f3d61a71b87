package tracker

import (
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker/quantity"
)

// An About is what a mark is about: one of the types below, each with the facts
// of one thing that can look wrong. Package wording has a sentence for each.
type About interface{ about() }

// Unstaged is an entry without a stage.
type Unstaged struct{}

// ReadTwice is a label read twice within a minute.
type ReadTwice struct{}

// TriedTwice is a try at breaking recorded twice within a minute.
type TriedTwice struct{}

// Broken is a stage recorded after the specimen was broken.
type Broken struct{ Stage schedule.Stage }

// TriedAgain is a try after one that parted the bond.
type TriedAgain struct {
	Before Loaded    // the try that did
	At     time.Time // of that, in the zone of the study
	Parts  bool      // this one says that it parted the bond as well
	Counts bool      // this one is the break, since somebody accepted it, or Rough
	Rough  bool      // of the other it is only roughly known when that was
	Third  bool      // neither is the break: a later one was accepted
}

// EndedBroken is a specimen taken out of the count after it was broken.
type EndedBroken struct{ End Ending }

// Gone is a stage recorded of a specimen that was out of the count.
type Gone struct {
	Stage schedule.Stage
	End   Ending
}

// GoneTried is a try at a specimen that was out of the count.
type GoneTried struct{ End Ending }

// NotPlanned is a stage that the plan has not for specimens of that treatment.
type NotPlanned struct {
	Stage     schedule.Stage
	Treatment string // its key
}

// Unread is a break without a reading.
type Unread struct{}

// Again is a stage recorded before.
type Again struct{ Stage schedule.Stage }

// AgainInBath is an immersion, or a lift-out, that follows another without its
// counterpart in between.
type AgainInBath struct{ Stage, Missing schedule.Stage }

// Skipped is a stage recorded before one that should have come first.
type Skipped struct{ Stage, Missing schedule.Stage }

// Behind is a stage recorded after a later one.
type Behind struct{ Stage schedule.Stage }

// BrokenInBath is a break of a specimen that still lies in its bath.
type BrokenInBath struct{}

// OtherPass is a pass through the bath written down as another than it is.
type OtherPass struct{ Named, Is schedule.Stage }

// BackInBath is a specimen put back into the bath.
type BackInBath struct{ Spell int } // which of its times under water begins

// OverGauge is a reading beyond what the gauge of a rig shows.
type OverGauge struct{ Reading, Rig string }

// Loaded is a bond that a try before this one had loaded; Reading and Rig are
// empty where it gave none.
type Loaded struct {
	Reading, Rig string
	How          How
}

// FacesFirst is fracture faces read of a specimen that was never broken.
type FacesFirst struct{}

// NeverLost is a specimen found that was never out of the count.
type NeverLost struct{}

// OddSize is a measured bond far from the plan.
type OddSize struct {
	Value   Value // as it was measured
	Planned quantity.Length
	Units   quantity.System // in which the study shows lengths
}

// InFuture is an entry about an instant after it was written down.
type InFuture struct{ At time.Time } // in the zone of the study

// WrittenLate is an entry written up some time after the fact.
type WrittenLate struct{ By time.Duration }

// InDoubt is what whoever made an entry was not sure of, in his words.
type InDoubt struct{ Text string }

// NeverDealt is a code that names no specimen.
type NeverDealt struct{ Code string }

// NeverPrinted is a trial label that was never printed in this study.
type NeverPrinted struct{ Trial labels.Trial }

// Explained is a code that was later found to mean this specimen.
type Explained struct{ Code string }

// Swapped is an entry read from the label of another specimen, at a time when
// the two labels were exchanged.
type Swapped struct{ Code string }

// NewLabel is a label printed again.
type NewLabel struct {
	Issue  int
	Reason string // empty where none was given
}

// Unclocked is a time from a device whose clock was never compared.
type Unclocked struct{ Device string }

// Clocked is a time from a device whose clock was found to be off.
type Clocked struct {
	Device      string
	Ahead       time.Duration // of the true time; negative for a slow clock
	Showed, Was time.Time     // in the zone of the study
}

// PartnerInBath is a control broken while its soaked partner, of that code, lies in the bath.
type PartnerInBath struct{ Partner string }

// OffPlan is an interval that did not keep to its length, or may not have.
type OffPlan struct {
	Interval string
	Planned  schedule.Planned // a partner's age put in
	Verdict  schedule.Verdict
	Lo, Hi   time.Duration // its length; Hi is schedule.Unbounded where only a least is known
}

// Dealt is a specimen that was added after the study began.
type Dealt struct {
	Parent string // the code of that from whose halves it was re-glued; or empty
	Reason string // empty where none was given
}

// DealtTwice is a serial that two notebooks dealt, each to a specimen of its own.
type DealtTwice struct {
	First, Second Event    // the dealing that the code means here, and the other
	Other         Specimen // that the second dealt
}

// AmendedApart is a plan made in one notebook beside one of another: neither was
// known when the other was made, and the later holds.
type AmendedApart struct {
	Beside Event     // the plan amendment before it
	At     time.Time // from which that one was in force, in the zone of the study
}

// SettledApart is a correction of an entry that another notebook corrected as well,
// or took back; this one counts.
type SettledApart struct{ Also Event }

func (Unstaged) about()      {}
func (ReadTwice) about()     {}
func (TriedTwice) about()    {}
func (Broken) about()        {}
func (TriedAgain) about()    {}
func (EndedBroken) about()   {}
func (Gone) about()          {}
func (GoneTried) about()     {}
func (NotPlanned) about()    {}
func (Unread) about()        {}
func (Again) about()         {}
func (AgainInBath) about()   {}
func (Skipped) about()       {}
func (Behind) about()        {}
func (BrokenInBath) about()  {}
func (OtherPass) about()     {}
func (BackInBath) about()    {}
func (OverGauge) about()     {}
func (Loaded) about()        {}
func (FacesFirst) about()    {}
func (NeverLost) about()     {}
func (OddSize) about()       {}
func (InFuture) about()      {}
func (WrittenLate) about()   {}
func (InDoubt) about()       {}
func (NeverDealt) about()    {}
func (NeverPrinted) about()  {}
func (Explained) about()     {}
func (Swapped) about()       {}
func (NewLabel) about()      {}
func (Unclocked) about()     {}
func (Clocked) about()       {}
func (PartnerInBath) about() {}
func (OffPlan) about()       {}
func (Dealt) about()         {}
func (DealtTwice) about()    {}
func (AmendedApart) about()  {}
func (SettledApart) about()  {}
