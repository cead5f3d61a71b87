package wording

import (
	"cmp"
	"fmt"

	"soaktag/tracker"
)

// Remedy is the command to type, with what is to be filled in written in
// capitals; empty where there is nothing to do.
func Remedy(r tracker.Remedy) string {
	switch r.Do {
	case tracker.GiveStage:
		return "soaktag amend correct " + r.Event + " stage=STAGE"
	case tracker.LookAgain:
		return "soaktag read PHOTO --stage STAGE, the same photograph again"
	case tracker.WriteUp:
		return fmt.Sprintf("soaktag log %s --stage %s --at TIME", r.Code, cmp.Or(quotedStage(r), "STAGE"))
	case tracker.GiveReading:
		return "soaktag break " + r.Code + " --reading READING"
	case tracker.WriteUpBreak:
		return "soaktag break " + r.Code + " --reading READING --at TIME"
	case tracker.CompareClock:
		return "soaktag log --stage clock --device " + r.Device + " --shown TIME"
	case tracker.Correct:
		return "soaktag amend correct"
	case tracker.Relabel:
		return "soaktag amend relabel CODE --was " + r.Code + " --reason REASON"
	case tracker.Withdraw:
		return "soaktag log " + r.Code + " --stage withdrawn"
	case tracker.Find:
		return "soaktag log " + r.Code + " --stage found"
	case tracker.Readdress:
		return "soaktag amend correct " + r.Event + " code=CODE"
	}
	return ""
}

// quotedStage is a stage as a shell takes it for one word.
func quotedStage(r tracker.Remedy) string {
	if r.Stage == "" {
		return ""
	}
	return fmt.Sprintf("%q", r.Stage)
}

// bareRemedy is Remedy without quotes around a stage that is one word.
func bareRemedy(r tracker.Remedy) string {
	return fmt.Sprintf("soaktag log %s --stage %s --at TIME", r.Code, r.Stage)
}
