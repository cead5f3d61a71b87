package tracker

import (
	"maps"
	"slices"

	"soaktag/schedule"
)

// StageRows are the stages of a plan in the order in which they happen: every
// pass through the bath on its own, and a stage of the plan's own behind the one
// that its interval begins with.
func (s *Study) StageRows() []schedule.Stage {
	rows := schedule.Stages()
	for n := 2; n <= s.MostPasses(); n++ {
		at := slices.Index(rows, schedule.Break)
		rows = slices.Insert(rows, at, schedule.Pass(schedule.Immersion, n), schedule.Pass(schedule.LiftOut, n))
	}
	for _, iv := range s.everyInterval() {
		if at := slices.Index(rows, iv.From); at >= 0 && !slices.Contains(rows, iv.To) {
			rows = slices.Insert(rows, at+1, iv.To)
		}
	}
	for _, own := range s.Stages() {
		if !slices.Contains(rows, own) {
			rows = append(rows, own)
		}
	}
	return rows
}

// MostPasses is the highest pass through the bath that a plan names.
func (s *Study) MostPasses() int {
	most := 1
	for _, iv := range s.everyInterval() {
		for _, stage := range []schedule.Stage{iv.From, iv.To} {
			_, n := schedule.PassOf(stage)
			most = max(most, n)
		}
	}
	return most
}

// everyInterval lists all intervals that a plan has for anyone.
func (s *Study) everyInterval() []schedule.Interval {
	all := slices.Clone(s.Intervals)
	for _, a := range s.Adhesives {
		all = append(all, a.Intervals...)
	}
	for _, t := range s.Treatments {
		all = append(all, t.Intervals...)
	}
	return all
}

// PassNames says of every event that was a pass through the bath which it was;
// "immersion again" beyond those planned.
func (l *Life) PassNames() map[string]schedule.Stage {
	names, met := map[string]schedule.Stage{}, map[schedule.Stage]bool{}
	for _, step := range l.Steps {
		if step.Pass == 0 {
			continue
		}
		name := schedule.Pass(step.Stage, step.Pass)
		if met[name] {
			name = step.Stage + " again"
		}
		names[step.Event], met[name] = name, true
	}
	return names
}

// A StageCount says how many specimens have been through a stage, of those that
// the plan sends through it.
type StageCount struct {
	Stage    schedule.Stage
	Done, Of int
}

// StagesDone counts the specimens stage by stage, in the order of the plan;
// stages that nobody meets are left out.
func (r *Record) StagesDone() (counts []StageCount) {
	done, planned := map[schedule.Stage]int{}, map[schedule.Stage]int{}
	for _, life := range r.Lives() {
		was := life.Done()
		for stage := range was {
			done[stage]++
		}
		of := r.study.StagesOf(life.Specimen)
		maps.Copy(of, was)
		for stage := range of {
			planned[stage]++
		}
	}
	for _, stage := range r.study.StageRows() {
		if planned[stage] > 0 {
			counts = append(counts, StageCount{stage, done[stage], planned[stage]})
		}
	}
	return counts
}
