package intake

import (
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

// The notes of amendments.
type (
	// TimeRead: the time of a field was taken for this instant or range.
	TimeRead struct {
		Field string // "at", "from", "until", "shown"
		Span  schedule.Span
	}
	// TimeDoubted: a time of a form is doubtful; somebody may be asked.
	TimeDoubted struct {
		Text  string // as given
		Doubt schedule.Doubt
		Taken schedule.Span // for which it is taken
	}
	// SetAside: events no longer count.
	SetAside struct {
		Events []tracker.Event
		Reason string
	}
	// CountsAgain: what corrections that were set aside had replaced counts again.
	CountsAgain struct{ Events []tracker.Event }
	// Replaces: the events that corrections are about to replace.
	Replaces struct{ Events []tracker.Event }
	// Exchanged: two labels sat on each other's specimen.
	Exchanged struct{ Event tracker.Event }
	// Explained: an unknown code meant a specimen.
	Explained struct{ Event tracker.Event }
	// NoHalves: a specimen to be glued anew has no break on record.
	NoHalves struct{ Code labels.Code }
	// FromNoBoard: specimens are added from no board of a plan that has boards.
	FromNoBoard struct{}
	// Added: specimens were dealt after the study began. Stock is what to print their
	// labels on.
	Added struct {
		Event tracker.Event
		Stock string
	}
	// PlanInForce: another plan governs what has yet to begin.
	PlanInForce struct{ Event tracker.Event }
	// AsksNow: marks that ask only since something was recorded, of earlier events too.
	AsksNow struct{ Marks []tracker.Mark }
	// AsksAgain: a mark was accepted of an entry that was replaced since.
	AsksAgain struct {
		Mark   tracker.Mark
		Reason string // why it stood
	}
	// BreakNow: another try is the break than before.
	BreakNow struct {
		Code     labels.Code
		Was, Now tracker.TryAt
	}
)

func (TimeRead) note()    {}
func (TimeDoubted) note() {}
func (SetAside) note()    {}
func (CountsAgain) note() {}
func (Replaces) note()    {}
func (Exchanged) note()   {}
func (Explained) note()   {}
func (NoHalves) note()    {}
func (FromNoBoard) note() {}
func (Added) note()       {}
func (PlanInForce) note() {}
func (AsksNow) note()     {}
func (AsksAgain) note()   {}
func (BreakNow) note()    {}

// The causes of refusals of amendments.
type (
	// InDoubt: a time is doubtful, see the notes, and nobody was asked yet.
	InDoubt struct{}
	// WhichEvent: it was not said which entries are meant.
	WhichEvent struct{}
	// NothingCorrected: it was not said what is to be corrected.
	NothingCorrected struct{}
	// NotIn: an event of its kind has no such field. Other: no event has it, but
	// perhaps what was measured.
	NotIn struct {
		Event tracker.Event
		Field string
		Other bool
	}
	// EndsBeforeItBegan: until is not after from.
	EndsBeforeItBegan struct{}
	// AlreadyAside: the event does not count any more. Now is what replaced it and
	// counts, zero where nothing does.
	AlreadyAside struct{ Event, Now tracker.Event }
	// WhichLabel: a specimen has two labels.
	WhichLabel struct{ Code string }
	// HowMany: no or too many specimens were to be added at once.
	HowMany struct{ Given, Most int }
	// HowManyTrials: no or too many trial labels were to be printed at once.
	HowManyTrials struct{ Given, Most int }
	// WhichGroup: it was not said of which adhesive and treatment.
	WhichGroup struct{}
	// MissingAlone: all that is missing was wanted, and something else as well.
	MissingAlone struct{}
	// Rewriting: another plan would rewrite what happened.
	Rewriting struct{ Of []Rewrite }
	// FromTheFuture: an amendment of the plan from a time to come.
	FromTheFuture struct {
		At   schedule.Span
		Zone *time.Location
	}
	// Overruled: an amendment from before the plan in force.
	Overruled struct {
		From schedule.Span // of the plan in force
		Zone *time.Location
	}
	// ExchangedAlready: an earlier exchange holds at that time.
	ExchangedAlready struct {
		A, B    string
		Earlier tracker.Event
		Zone    *time.Location
	}
)

func (InDoubt) cause()           {}
func (WhichEvent) cause()        {}
func (NothingCorrected) cause()  {}
func (NotIn) cause()             {}
func (EndsBeforeItBegan) cause() {}
func (AlreadyAside) cause()      {}
func (WhichLabel) cause()        {}
func (HowMany) cause()           {}
func (HowManyTrials) cause()     {}
func (WhichGroup) cause()        {}
func (MissingAlone) cause()      {}
func (Rewriting) cause()         {}
func (FromTheFuture) cause()     {}
func (Overruled) cause()         {}
func (ExchangedAlready) cause()  {}

// The help about amendments.
type (
	// PrintAgain: a label is to be printed again.
	PrintAgain struct{ Subject, Stock string }
	// ExchangeThem: two labels on each other's specimen are an exchange.
	ExchangeThem struct{ A, B string }
	// PlanFirst: an adhesive, treatment or board goes into the plan first.
	PlanFirst struct{ Board bool }
	// ChangeTheFile: a plan to be amended by is to differ from the one in force.
	ChangeTheFile struct{ Name string }
	// VoidAndExchange: an exchange that ended is set aside and said anew.
	VoidAndExchange struct{ Event int64 }
)

func (PrintAgain) help()      {}
func (ExchangeThem) help()    {}
func (PlanFirst) help()       {}
func (ChangeTheFile) help()   {}
func (VoidAndExchange) help() {}
