package intake

import (
	"slices"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

// An Outcome is what came of something that was taken in: notes, in the order
// in which they came up.
type Outcome struct{ Notes []Note }

// A Note is one thing to be said, as a typed fact. Package wording has the
// sentence, and says whether it is told, warned of or advised.
type Note interface{ note() }

func (o *Outcome) add(notes ...Note) { o.Notes = append(o.Notes, notes...) }

// Verdicts lists what was recorded, with what the record makes of it.
func (o Outcome) Verdicts() (all []tracker.Verdict) {
	for _, n := range o.Notes {
		if r, ok := n.(Recorded); ok {
			all = append(all, r.Verdicts...)
		}
	}
	return all
}

// Seen is Verdicts with what stands of the labels of a photograph.
func (o Outcome) Seen() []tracker.Verdict {
	all := o.Verdicts()
	for _, n := range o.Notes {
		if l, ok := n.(LabelSeen); ok {
			all = append(all, l.Verdict)
		}
	}
	return all
}

// Asks lists the marks of what was recorded that ask.
func (o Outcome) Asks() []tracker.Mark { return openOf(o.Verdicts()) }

func openOf(verdicts []tracker.Verdict) (asking []tracker.Mark) {
	return slices.DeleteFunc(marksOf(verdicts), func(m tracker.Mark) bool { return !m.Open() })
}

func marksOf(verdicts []tracker.Verdict) (all []tracker.Mark) {
	for _, v := range verdicts {
		all = append(all, v.Marks...)
	}
	return all
}

// Refused lists what was not recorded.
func (o Outcome) Refused() (all []*Refusal) {
	for _, n := range o.Notes {
		if r, ok := n.(NotRecorded); ok {
			all = append(all, r.Refusal)
		}
	}
	return all
}

// The notes.
type (
	// Recorded: events are on record; said only after the commit.
	Recorded struct{ Verdicts []tracker.Verdict }
	// NotRecorded: a part of what came in stands for nothing that can be recorded.
	// Stage was in force then.
	NotRecorded struct {
		*Refusal
		Stage schedule.Stage
	}
	// Marked: what looks wrong about what was recorded, whether it asks or not.
	Marked struct{ Marks []tracker.Mark }
	// ReadAs says how texts that are no full code were understood.
	ReadAs struct{ Subjects []Subject }
	// NotMeant: specimens of a bath at whose tag they were not meant, since their next
	// step is another, or opens later.
	NotMeant struct {
		Codes []labels.Code
		Bath  string
		Stage schedule.Stage // that the tag was for
		Next  schedule.Stage
		Opens time.Time // when they may go through the stage, which is their next; else zero
		Then  bool      // it is written up later: Next was next then
	}
	// SeveralNotMeant: of specimens named together those whose next step another is.
	SeveralNotMeant struct {
		Of    string
		Codes []labels.Code
	}
	// NoPlan: a bath that the plan does not name, hence without card and tag.
	NoPlan struct{ Bath string }
	// Accepted: so many marks no longer ask.
	Accepted struct {
		Marks  int
		Reason string
		Of     []tracker.Event // the acceptances
	}
	// TrialStands says how a label trial stands after something was recorded of it.
	TrialStands struct{ Trial tracker.LabelTrial }
	// UntriedLabels: specimens go under water with labels that were never read wet.
	UntriedLabels struct {
		Stock  string // empty: not known
		Trials []tracker.LabelTrial
	}
	// UntriedRigs: specimens are lifted out for rigs on which nothing was broken.
	UntriedRigs struct{ Rigs []string }
	// ClockOff: a device's clock is ahead by so much, behind where below zero.
	ClockOff struct {
		Device string
		Ahead  time.Duration
	}

	// RunTogether: so many codes came without a line end between them.
	RunTogether struct{ Codes int }
	// TimeInDoubt: the time of a line is doubtful; it stands.
	TimeInDoubt struct {
		Doubt schedule.Doubt
		Taken schedule.Span // for which it is taken
	}
	// StageInForce: what is scanned now went through this stage, until then.
	StageInForce struct {
		Stage schedule.Stage
		Until time.Time
	}
	// StageExpired: the last scan under the stage was so long ago that it counts no more.
	StageExpired struct {
		Stage schedule.Stage
		Ago   time.Duration
	}
	// LeftOpen: what was recorded asks, and YES or UNDO answer.
	LeftOpen struct{}
	// Who works at the desk from now on.
	Who struct{ Name string }
	// NothingAsks: YES was said, and nothing asked.
	NothingAsks struct{}
	// NothingToTakeBack: UNDO was said, and nothing is left that it could mean.
	NothingToTakeBack struct{}
	// TakenBack: these events no longer count.
	TakenBack struct{ Events []tracker.Event }
	// AsideAlready: UNDO meant an event that somebody set aside before.
	AsideAlready struct{ Event tracker.Event }
	// ScannerTest: what a test card showed to be wrong; nothing where all is right.
	ScannerTest struct{ Faults []string }
	// CardTaken: a card was read and done; Stage is in force after it.
	CardTaken struct {
		Card  labels.Card
		Stage schedule.Stage
	}
	// Advised is help that nothing was refused for.
	Advised struct{ Help }
)

func (Recorded) note()        {}
func (NotRecorded) note()     {}
func (ReadAs) note()          {}
func (SeveralNotMeant) note() {}
func (NotMeant) note()        {}
func (NoPlan) note()          {}
func (Accepted) note()        {}
func (TrialStands) note()     {}
func (UntriedLabels) note()   {}
func (UntriedRigs) note()     {}
func (ClockOff) note()        {}
func (Marked) note()          {}

func (RunTogether) note()       {}
func (TimeInDoubt) note()       {}
func (StageInForce) note()      {}
func (StageExpired) note()      {}
func (LeftOpen) note()          {}
func (Who) note()               {}
func (NothingAsks) note()       {}
func (NothingToTakeBack) note() {}
func (TakenBack) note()         {}
func (AsideAlready) note()      {}
func (ScannerTest) note()       {}
func (CardTaken) note()         {}
func (Advised) note()           {}
