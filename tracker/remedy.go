package tracker

import "soaktag/schedule"

// A Do is a kind of thing to do about something that looks wrong.
type Do uint8

const (
	Nothing      Do = iota
	GiveStage       // say the stage of entry Event
	LookAgain       // read the same photograph again, with its stage
	WriteUp         // write up that Code went through Stage; without one, through whichever is missing
	GiveReading     // give the reading of the break of Code
	WriteUpBreak    // write up the break of Code, with its time
	CompareClock    // compare the clock of Device
	Correct         // correct what was written down
	Relabel         // say which specimen Code, which nobody knows, meant
	Withdraw        // leave Code out of the count
	Find            // bring Code back into the count
	Readdress       // say that Event was about another specimen
)

// A Remedy is what would put a mark right; how to type it is for package
// wording. Fields that it does not use are zero.
type Remedy struct {
	Do     Do
	Code   string
	Stage  schedule.Stage
	Event  string
	Device string
}
