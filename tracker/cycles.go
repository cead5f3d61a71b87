package tracker

import (
	"cmp"
	"slices"

	"soaktag/schedule"
)

// A treatment may go through the bath several times: soak, dry, soak. Its
// intervals name the later passes, "immersion 2" and "lift-out 2"
// (schedule.Pass); people scan IMMERSION and LIFTOUT each time, and the fold
// gives a scan to the next open pass. What is scanned beyond the passes planned
// was put back, and asks.

// passesOf is how often specimens with these intervals go through the bath: as
// often as the highest pass that one of them names.
func passesOf(list []schedule.Interval) int {
	n := 1
	for _, iv := range list {
		for _, s := range [...]schedule.Stage{iv.From, iv.To} {
			if stage, pass := schedule.PassOf(s); stage.Wet() && iv.Planned.Kind != schedule.None {
				n = max(n, pass)
			}
		}
	}
	return n
}

// inPasses ends with the last pass what belongs to all of them: the soak as a
// sum, and what lasts from the lift-out to the break.
func inPasses(list []schedule.Interval) []schedule.Interval {
	n := passesOf(list)
	for i := range list {
		iv := &list[i]
		if iv.Name == schedule.Soak && iv.To == schedule.LiftOut {
			iv.To = schedule.Pass(schedule.LiftOut, n)
		}
		if iv.From == schedule.LiftOut && iv.To == schedule.Break {
			iv.From = schedule.Pass(schedule.LiftOut, n)
		}
	}
	return list
}

// prepare works out once how often the way leads through the bath, and which of
// its intervals are the steps of a published schedule.
func (w *way) prepare(t *Treatment) {
	if w.passes > 0 {
		return
	}
	w.passes = passesOf(w.intervals)
	if t == nil {
		return
	}
	for i := range t.Protocol.Steps {
		step, _ := t.Protocol.IntervalOf(i)
		if leg, ok := intervalNamed(w.intervals, step.Name); ok {
			w.legs = append(w.legs, leg)
		}
	}
}

// plain takes "immersion 2", as somebody may write it, for the immersion that
// it is: which pass it was follows from its place in the life.
func (x fact) plain() fact {
	if last := x.Stage[len(x.Stage)-1]; last < '0' || last > '9' {
		return x // nearly always
	}
	if stage, pass := schedule.PassOf(x.Stage); pass > 1 && stage.Wet() {
		e := *x.Event
		e.Stage, x.Event = stage, &e
	}
	return x
}

// otherPass marks a step that somebody wrote down as another pass than it is:
// likely one before it was never recorded.
func (f *folder) otherPass(x fact, named schedule.Stage) {
	_, pass := schedule.PassOf(named)
	n := len(f.life.Steps)
	if pass == 1 || n == 0 || len(f.life.Spells) > f.passes || f.passes <= 1 {
		return
	}
	if was := f.life.Steps[n-1]; was.Event == x.ID && was.Pass != pass {
		f.ask(x, RuleOtherPass, OtherPass{named, schedule.Pass(was.Stage, was.Pass)}, f.remedy(WriteUp))
	}
}

// passNamed takes a stage that an interval names apart: pass 0 is any.
func (f *folder) passNamed(s schedule.Stage) (schedule.Stage, int) {
	if f.passes <= 1 {
		return s, 0
	}
	stage, pass := schedule.PassOf(s)
	if !stage.Wet() {
		return s, 0
	}
	return stage, pass
}

// passNow is the pass of a step that is taken now, its spell begun or ended
// already. Spells beyond those planned belong to the last pass.
func (f *folder) passNow(s schedule.Stage) int {
	if f.passes <= 1 || !s.Wet() {
		return 0
	}
	return min(max(1, len(f.life.Spells)), f.passes)
}

// passAhead is the pass of a stage that is still to come.
func (f *folder) passAhead(next schedule.Stage) int {
	n := len(f.life.Spells)
	if next == schedule.Immersion {
		n++
	}
	if f.passes <= 1 || !next.Wet() {
		return 0
	}
	return min(max(1, n), f.passes)
}

// InWater reports whether the specimen still lies in its bath.
func (l *Life) InWater() bool { return inWater(l.Spells) }

func inWater(spells []Spell) bool {
	n := len(spells)
	return n > 0 && spells[n-1].Out.IsZero()
}

// missedPass marks a break before all passes through the bath were made.
func (f *folder) missedPass(x fact) {
	if n := len(f.life.Spells); n > 0 && n < f.passes && !f.life.InWater() {
		f.ask(x, RuleOutOfOrder, Skipped{schedule.Break, schedule.Pass(schedule.Immersion, n+1)}, f.writeUp(schedule.Immersion))
	}
}

// forgotten is the remedy that planned cycles make likely: that the scan between
// two was forgotten. Without cycles there is none.
func (f *folder) forgotten(between schedule.Stage) Remedy {
	if f.passes <= 1 {
		return Remedy{}
	}
	return f.writeUp(between)
}

// skipped marks a step of the schedule that was never recorded before x.
func (f *folder) skipped(x fact) {
	if own := f.ownStage(); own != "" {
		f.ask(x, RuleOutOfOrder, Skipped{cmp.Or(x.Stage, schedule.Break), own}, f.writeUp(own))
	}
}

// ownStage is the next stage where a published schedule has a step of its own
// begin, such as boiled specimens going into cold water; empty where the next
// stage is one that every study has.
func (f *folder) ownStage() schedule.Stage {
	for _, leg := range slices.Backward(f.legs) {
		if _, _, begun := f.reached(leg.From, false); !begun {
			continue
		}
		_, _, done := f.reached(leg.To, false)
		from, _ := schedule.PassOf(leg.From)
		if done || standard(leg.To) || (from == schedule.Immersion) != f.life.InWater() {
			return ""
		}
		return leg.To
	}
	return ""
}

// standard reports whether every study has a stage, in some pass.
func standard(s schedule.Stage) bool {
	stage, _ := schedule.PassOf(s)
	return slices.Contains(schedule.Stages(), stage)
}

// Stages lists the stages of a plan: those that every study has, in order, and
// behind them its own. A later pass through the bath is the same stage again.
func (s *Study) Stages() []schedule.Stage {
	order := schedule.Stages()
	take := func(list []schedule.Interval) {
		for _, iv := range list {
			for _, stage := range [...]schedule.Stage{iv.From, iv.To} {
				if !standard(stage) && !slices.Contains(order, stage) {
					order = append(order, stage)
				}
			}
		}
	}
	take(s.Intervals)
	for _, a := range s.Adhesives {
		take(a.Intervals)
	}
	for _, t := range s.Treatments {
		take(t.Intervals)
	}
	return order
}

// cycled writes the passes through the bath out in a path.
func cycled(path []schedule.Stage, passes int) []schedule.Stage {
	var full []schedule.Stage
	for _, stage := range path {
		full = append(full, stage)
		for n := 2; stage == schedule.LiftOut && n <= passes; n++ {
			full = append(full, schedule.Pass(schedule.Immersion, n), schedule.Pass(schedule.LiftOut, n))
		}
	}
	return full
}

// ahead lists the stages still to come, the next one first.
func (l *Life) ahead() []schedule.Stage {
	full := cycled(l.path, l.passes)
	if l.Next == "" {
		return nil
	}
	if standard(l.Next) {
		return full[max(0, slices.Index(full, schedule.Pass(l.Next, l.Pass))):]
	}
	at := 0
	for _, s := range l.Steps {
		at = max(at, 1+slices.Index(full, schedule.Pass(s.Stage, s.Pass)))
	}
	return append([]schedule.Stage{l.Next}, full[at:]...)
}
