package intake

import (
	"slices"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// Lots, as the models of the desk know them.

// windowsOf are what is due of specimens, by code.
func windowsOf(rec *tracker.Record, now time.Time) map[string]tracker.Due {
	all := map[string]tracker.Due{}
	for _, d := range rec.Due(now) {
		all[d.Specimen.Code.String()] = d
	}
	return all
}

// inTime leaves out whose lot's window is still to begin, unless that is all. In
// smallPlan windows of a stage are equally long, and somebody is always there: a
// lot is whose windows begin within half of that after the first.
func inTime(waited []string, stage schedule.Stage, windows map[string]tracker.Due, now time.Time) (meant []string) {
	began := func(code string) bool {
		w, due := windows[code]
		return !due || w.Stage != stage || !w.Window.Opens.After(now)
	}
	byOpening := slices.SortedFunc(slices.Values(waited), func(a, b string) int { return windows[a].Window.Opens.Compare(windows[b].Window.Opens) })
	lots, first := map[string]bool{}, "" // whether a lot has begun, of its members
	for _, code := range byOpening {
		w := windows[code].Window
		if first == "" || w.Opens.Sub(windows[first].Window.Opens) > w.Closes.Sub(w.Opens)/2 {
			first = code
		}
		lots[code] = began(code) || began(first)
	}
	for _, code := range waited {
		if lots[code] {
			meant = append(meant, code)
		}
	}
	if len(meant) == 0 {
		return waited
	}
	return meant
}

// evenings takes all through their stages one by one, on one evening or on several, and
// then reads a bath's tag for the next: lots are rare where all is random.
func (m *machine) evenings() {
	d, p := m.desks[0], &m.model.posts[0]
	logs := func(wait time.Duration, word string, stage schedule.Stage) {
		m.clock.now = m.clock.now.Add(wait)
		m.model.now = m.clock.now
		d.At, d.Recorded = schedule.At(m.clock.now), m.clock.now
		if told := m.model.read(p, stage, word); len(told.fresh) > 0 {
			m.takes(d, p, Stage{Subjects: []string{word}, Name: string(stage)}, told, false)
		}
	}
	for i, stage := range stages[:3] {
		for _, code := range soakedOnes() {
			logs(pick(m.Rand, time.Minute, time.Hour, 3*time.Hour, 26*time.Hour), code, stage)
		}
		long := []time.Duration{20 * time.Hour, 6*24*time.Hour - 2*time.Hour, 6*24*time.Hour + 18*time.Hour}[i]
		for _, bath := range []string{"B1", "B2"} {
			logs(long, "bath "+bath, stages[i+1])
			long = time.Hour
		}
	}
}
