package worksheet

import (
	"strings"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// first stands at the end of every caution.
const first = "These are the usual cautions only: defer to local codes and licensed practice."

// bathWarning stands on every bath tag.
const bathWarning = "DANGER FOR CHILDREN: a small child drowns in a few inches of water. Keep the lid locked or the room locked. Empty the bath when the test is done."

// bathCare stands on a bath tag below the warning.
const bathCare = "{water}: fill in place, siphon to empty. Bad smell: air first, do not lean over. No bleach, no mixed chemicals. " +
	"Mains heater or light only with residual-current protection. Bath water not into a stream. " + first

// inUnits writes the measures in a caution. Both are round: 15 gal weigh 125 lb.
func inUnits(text string, u quantity.System) string {
	return strings.NewReplacer("{short}", u.Choose("300 mm", "12 in"),
		"{water}", u.Choose("60 L of water weigh 60 kg", "15 gal of water weigh 125 lb")).Replace(text)
}

// Caution returns the usual caution of a stage in the units of a study, to be
// printed where the work is done, and always the reminder that local codes and
// licensed practice come first. A stage that is not known has the reminder alone.
func Caution(stage string, u quantity.System) string {
	return strings.TrimSpace(inUnits(tracker.WorkOf(schedule.Stage(stage)).Caution, u) + " " + first)
}

// cutCaution is what stands on worksheets for cutting: planing comes first.
func cutCaution(u quantity.System) string {
	var parts []string
	for _, stage := range []schedule.Stage{schedule.Planing, schedule.Cut} {
		parts = append(parts, strings.ToUpper(string(stage))+": "+inUnits(tracker.WorkOf(stage).Caution, u))
	}
	return strings.Join(append(parts, first), " ")
}

// A Brief is what to mind at a stage, in a line.
type Brief struct {
	Stage schedule.Stage
	Text  string
}

// Briefs lists what there is to mind in a study, stage by stage.
func Briefs(study *tracker.Study) []Brief {
	var list []Brief
	for _, w := range tracker.Works() {
		if !w.Needed(study) {
			continue
		}
		for _, text := range w.Briefly {
			list = append(list, Brief{w.Stage, inUnits(text, study.Units)})
		}
		if w.Stage == schedule.GlueUp {
			list = append(list, glueBriefs(study)...)
		}
	}
	return list
}

func glueBriefs(study *tracker.Study) (list []Brief) {
	for _, a := range study.Adhesives {
		if h, ok := a.Hazard(); ok {
			list = append(list, Brief{schedule.GlueUp, a.Key + ": " + h.Danger + h.Care})
		}
	}
	return list
}
