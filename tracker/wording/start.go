package wording

import (
	"fmt"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// StartOf says in a line what comes before anything is due: "cut of 54 specimens".
func StartOf(s tracker.Start) string {
	return fmt.Sprintf("%s of %s", s.Stage, Plural(s.N, "specimen"))
}

// StartBy says when the plan wants the first glue-up, and that it is late; empty
// where something is glued already or the plan does not say.
func StartBy(s tracker.Start, now time.Time, zone *time.Location) string {
	switch {
	case s.GlueUp.IsZero():
		return ""
	case s.GlueUp.Before(now):
		return "overdue by " + schedule.Short(now.Sub(s.GlueUp)) + ": the first glue-up was planned for " + Time(s.GlueUp, zone)
	}
	return "for the first glue-up, planned for " + Time(s.GlueUp, zone)
}

// StartCommands are what to type for it: its worksheet, and then its record.
func StartCommands(s tracker.Start) string {
	return fmt.Sprintf("soaktag worksheet %s --out %s.pdf, then soaktag log SUBJECT --stage %s", s.Stage, s.Stage, s.Stage)
}

// AgainCommands are what to type about a bond that a try left whole.
func AgainCommands(code string, study *tracker.Study) string {
	return fmt.Sprintf("soaktag break %s --reading \"...\"%s --ended separated, or soaktag log %s --stage withdrawn", code, RigFlag(study), code)
}
