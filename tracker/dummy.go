package tracker

import (
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
)

// DummyCode is the code of every event about a dummy: a bond broken to try a
// rig. It carries the mark of a card, so that no way of reading it gives a
// specimen, and is in no life, no count and no result.
const DummyCode = ".DUMMY"

// DummyStage is what a Due calls the breaking of a dummy. No specimen goes
// through it.
const DummyStage schedule.Stage = "dummy"

// dummyNotice is how long before the first lift-out a dummy is asked for: time
// to mend a rig that does not hold.
const dummyNotice = 2 * schedule.Day

// UntriedRigs names the rigs of the plan on which nothing was broken yet, no
// dummy and no specimen, in its order. What did not separate was not broken:
// it shows that the rig does not hold. A break that names no rig counts for
// every one, as it cannot be told which it was.
func (r *Record) UntriedRigs() []string {
	var open []string
	for _, rig := range r.study.Rigs {
		open = append(open, rig.Name)
	}
	for _, e := range r.log {
		if len(open) == 0 {
			return nil
		}
		if e.Kind != Tried || e.Try == nil || e.Try.How != Separated || r.Voided(e.ID) || !r.visible(e) {
			continue
		}
		open = slices.DeleteFunc(open, func(name string) bool { return e.Try.Rig == "" || strings.EqualFold(name, e.Try.Rig) })
	}
	return open
}

// Dummies lists the dummies to be broken before the first lift-out that a break
// follows, one for every untried rig. Each window opens two days before that
// lift-out's does; until then the state is Ongoing. It is Overdue once something
// was lifted out. Without such a lift-out ahead, or begun, there are none.
func (r *Record) Dummies(now time.Time) []Due {
	rigs := r.UntriedRigs()
	if len(rigs) == 0 {
		return nil
	}
	lift, ok := r.outlook(now).firstLift()
	if !ok {
		return nil
	}
	due := Due{Stage: DummyStage, Window: schedule.Window{Opens: lift.at.Add(-dummyNotice), At: lift.at, Closes: lift.at},
		State: schedule.Ongoing, Sure: lift.sure}
	switch {
	case lift.done:
		due.State, due.Over = schedule.Overdue, max(0, now.Sub(lift.at))
	case !now.Before(due.Window.Opens):
		due.State = schedule.Due
	}
	var all []Due
	for _, name := range rigs {
		due.Rig = name
		all = append(all, due)
	}
	return all
}

// dueDummies are the dummies that are asked for by now.
func (r *Record) dueDummies(now time.Time) []Due {
	return slices.DeleteFunc(r.Dummies(now), func(d Due) bool { return d.State == schedule.Ongoing })
}

// A lifting is the last lift-out of a specimen that is still to be broken.
type lifting struct {
	at   time.Time // when it happened, or when its window opens
	done bool
	sure bool // at follows from what is known exactly
}

// firstLift is the earliest lifting of all; of one done and one ahead, the one
// done.
func (o outlook) firstLift() (first lifting, found bool) {
	for i := range o.specimens {
		lift, ok := o.liftOf(o.alone(i))
		if !ok {
			continue
		}
		if !found || lift.done && !first.done || lift.done == first.done && lift.at.Before(first.at) {
			first, found = lift, true
		}
	}
	return first, found
}

// liftOf is the lifting of one life: false where no break after a soak is to
// come, or where nothing has begun.
func (o outlook) liftOf(life *Life) (lifting, bool) {
	last := len(life.Spells) >= max(1, life.passes)
	switch {
	case life.Next == "" || !slices.Contains(life.path, schedule.LiftOut) || len(life.Steps) == 0 || len(life.Tries) > 0 && life.triedSince():
		return lifting{}, false
	case life.Next == schedule.Break, last && !life.InWater():
		return life.lifted(), true
	case last:
		if d := o.dueOf(life); d != nil && !d.Window.At.IsZero() {
			return lifting{at: orAt(d.Window.Opens, d.Window.At), sure: d.Sure}, true
		}
		return lifting{at: o.now}, true // any time will do
	}
	return o.liftAhead(life)
}

func orAt(t, other time.Time) time.Time {
	if t.IsZero() {
		return other
	}
	return t
}

// lifted is a lifting that happened: where the lift-out itself was never
// written down, at the last step that was.
func (l *Life) lifted() lifting {
	at := l.Steps[len(l.Steps)-1].At
	if n := len(l.Spells); n > 0 && !l.Spells[n-1].Out.IsZero() {
		at = l.Spells[n-1].Out
	}
	return lifting{at: at.Mid(), done: true, sure: at.Exact()}
}

// liftAhead forecasts a lifting as forecast does a break, up to the opening of
// its window.
func (o outlook) liftAhead(life *Life) (lifting, bool) {
	at := life.Steps[len(life.Steps)-1].At.Mid()
	final := schedule.Pass(schedule.LiftOut, max(1, life.passes))
	for _, stage := range life.ahead() {
		before := at
		at = later(at.Add(life.wait(stage)), o.now)
		if stage == final {
			return lifting{at: later(at.Add(-life.early(stage)), before)}, true
		}
	}
	return lifting{}, false
}

// early is how long before its planned length an interval that ends at a stage
// may end.
func (l *Life) early(stage schedule.Stage) time.Duration {
	for i := range l.Lapses {
		if iv := l.Lapses[i].Interval; iv.To == stage && iv.Planned.Kind == schedule.Target {
			return iv.Planned.Early
		}
	}
	return 0
}

// DummyTries lists what happened to dummies in order, what does not count among
// it.
func (r *Record) DummyTries() []Entry {
	var facts []fact
	for _, e := range r.stray[DummyCode] {
		if r.visible(e) {
			facts = append(facts, r.factOf(e))
		}
	}
	slices.SortFunc(facts, inLifeOrder)
	entries := make([]Entry, 0, len(facts))
	for _, x := range facts {
		entries = append(entries, Entry{*x.Event, r.Voided(x.ID), x.at, false})
	}
	return entries
}
