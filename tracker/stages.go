package tracker

import (
	"slices"
	"time"

	"soaktag/schedule"
)

// stage gives a stage fact to the next open step of the life.
func (f *folder) stage(x fact) {
	switch {
	case x.Stage == "":
		f.ask(x, RuleNoStage, Unstaged{}, giveStage(x))
		return
	}
	named := x.Stage
	x = x.plain()
	switch {
	case f.unconfirmed(x), f.otherHalf(x):
		return
	case f.double(x):
		f.mark(x, RuleDoubleScan, ReadTwice{})
		return
	case f.over != nil && x.on.After(f.over.At.To):
		f.ask(x, RuleAfterBreak, Broken{x.Stage}, Remedy{})
		return
	case f.life.End != "":
		f.ask(x, EndRule(f.life.End), Gone{x.Stage, f.life.End}, f.remedy(Find))
	}
	f.last = x
	f.step(x)
	f.otherPass(x, named)
}

// giveStage is what to do about an entry without a stage. It is the same for all
// entries of a photograph: that gives them their stage together.
func giveStage(x fact) Remedy {
	if x.Via == "photo" && x.Target == "" {
		return Remedy{Do: LookAgain}
	}
	return Remedy{Do: GiveStage, Event: x.ID}
}

// otherHalf reports whether x reads the other half of the specimen at the stage
// gone through last: both halves carry a label, and reading both is good practice.
func (f *folder) otherHalf(x fact) bool {
	return f.last.Event != nil && f.last.Stage == x.Stage && f.last.Half*x.Half == 2
}

// double reports whether x reads the same stage again within a minute.
func (f *folder) double(x fact) bool {
	return f.last.Event != nil && f.last.Stage == x.Stage && x.on.Sub(f.last.on) <= doubleScan && x.at.Exact()
}

// step adds a step unless its stage is not on the path or was gone through.
func (f *folder) step(x fact) {
	standard := slices.Contains(schedule.Stages(), x.Stage)
	switch {
	case standard && !slices.Contains(f.path, x.Stage):
		f.ask(x, RuleWrongStage, NotPlanned{x.Stage, f.life.Specimen.Treatment}, Remedy{})
		return
	case x.Stage == schedule.Break:
		f.ask(x, RuleNoReading, Unread{}, Remedy{Do: GiveReading, Code: x.Code})
		return
	case x.Stage == schedule.Immersion:
		f.immerse(x)
		return
	case x.Stage == schedule.LiftOut:
		f.lift(x)
		return
	case standard && f.done(x.Stage) && !(x.Stage.Renews() && !f.later(x.Stage)):
		f.ask(x, RuleRepeated, Again{x.Stage}, Remedy{})
		return
	}
	f.missed(x, x.Stage)
	f.add(x)
}

func (f *folder) add(x fact) {
	f.life.Steps = append(f.life.Steps, Step{Stage: x.Stage, At: x.at, Event: x.ID, Pass: f.passNow(x.Stage)})
}

// missed marks a stage that the plan times and that was never recorded before x.
func (f *folder) missed(x fact, stage schedule.Stage) {
	for _, before := range f.path[:max(0, slices.Index(f.path, stage))] {
		if !before.Prepares() && !f.done(before) {
			f.ask(x, RuleOutOfOrder, Skipped{stage, before}, f.writeUp(before))
		}
	}
	if f.later(stage) {
		f.ask(x, RuleOutOfOrder, Behind{stage}, Remedy{})
	}
}

// later reports whether a stage behind the given one was gone through already.
// What prepares may come in any order: the long board is planed before the cut.
func (f *folder) later(stage schedule.Stage) bool {
	at := slices.Index(f.path, stage)
	return at >= 0 && slices.ContainsFunc(f.path[at+1:], func(behind schedule.Stage) bool {
		return f.done(behind) && !(stage.Prepares() && behind.Prepares())
	})
}

// immerse begins a spell under water.
func (f *folder) immerse(x fact) {
	n := len(f.life.Spells)
	switch {
	case n > 0 && f.life.Spells[n-1].Out.IsZero():
		f.ask(x, RuleRepeated, AgainInBath{schedule.Immersion, schedule.LiftOut}, f.forgotten(schedule.LiftOut))
		return
	case n > 0 && n < f.passes: // the next pass of a planned cycle
	case n > 0:
		f.putBack(x)
	default:
		f.missed(x, x.Stage)
	}
	f.life.Spells = append(f.life.Spells, Spell{In: x.at})
	f.life.State = "wet"
	f.add(x)
}

// putBack marks a spell that no plan has: after a try the rig failed, which is
// reason enough.
func (f *folder) putBack(x fact) {
	about := BackInBath{len(f.life.Spells) + 1}
	if len(f.life.Tries) > 0 {
		f.mark(x, RulePutBack, about)
		return
	}
	f.ask(x, RulePutBack, about, Remedy{})
}

// lift ends a spell under water.
func (f *folder) lift(x fact) {
	n := len(f.life.Spells)
	switch {
	case n == 0:
		f.missed(x, x.Stage)
	case !f.life.Spells[n-1].Out.IsZero():
		f.ask(x, RuleRepeated, AgainInBath{schedule.LiftOut, schedule.Immersion}, f.forgotten(schedule.Immersion))
		return
	default:
		f.skipped(x)
		f.life.Spells[n-1].Out = x.at
	}
	if t := f.record.study.Treatment(f.life.Specimen.Treatment); t != nil && t.State != "" {
		f.life.State = t.State
	}
	f.add(x)
}

// try takes one attempt at a break.
func (f *folder) try(x fact) {
	if x.Try == nil {
		return
	}
	t := TryAt{Try: *x.Try, At: x.at, Event: x.ID}
	if f.sameTry(t) {
		f.twice(x)
		return
	}
	before := f.partedBefore(t)
	f.sever(&t)
	switch {
	case before != nil:
		f.again(x, t, before)
	case !t.Aside:
		f.early(x, t)
	}
	f.load(x, t)
	f.readAfterAll()
	f.life.Tries = append(f.life.Tries, t)
	if t.State != "" && !t.Aside {
		f.life.State = t.State
	}
}

// readAfterAll settles what asked for the reading of a break before this one.
func (f *folder) readAfterAll() {
	settled := func(m Mark) bool { return m.Rule == RuleNoReading }
	if slices.ContainsFunc(f.life.Marks, settled) {
		f.life.Marks = slices.DeleteFunc(slices.Clone(f.life.Marks), settled)
	}
}

// load marks a try that cannot be as it was written: of a specimen out of the
// count, or above what the gauge can show.
func (f *folder) load(x fact, t TryAt) {
	if f.life.End != "" {
		f.ask(x, EndRule(f.life.End), GoneTried{f.life.End}, f.remedy(Find))
	}
	if rig := f.record.study.Rig(t.Rig); rig != nil && rig.Gauge.Exceeded(t.Reading) {
		f.ask(x, RuleOverGauge, OverGauge{t.Reading, t.Rig}, Remedy{Do: Correct, Event: x.ID})
	}
}

// sameTry reports whether t repeats the try before it, to the letter and within a minute.
func (f *folder) sameTry(t TryAt) bool {
	n := len(f.life.Tries)
	if n == 0 {
		return false
	}
	b := f.life.Tries[n-1]
	near := t.At.Mid().Sub(b.At.Mid()) <= doubleScan
	return near && t.Rig == b.Rig && t.Reading == b.Reading && t.How == b.How && t.Mode == b.Mode && t.State == b.State &&
		(t.WoodFailure == nil) == (b.WoodFailure == nil) && (t.WoodFailure == nil || *t.WoodFailure == *b.WoodFailure)
}

// early marks a try before its time and a bond that was loaded before.
func (f *folder) early(x fact, t TryAt) {
	if t.How != FellApart {
		f.missed(x, schedule.Break)
		f.missedPass(x)
		f.skipped(x)
	}
	if n := len(f.life.Spells); t.How != FellApart && n > 0 && f.life.Spells[n-1].Out.IsZero() && f.done(schedule.LiftOut) {
		f.ask(x, RuleOutOfOrder, BrokenInBath{}, f.writeUp(schedule.LiftOut))
	}
	if n := len(f.life.Tries); n > 0 {
		b := f.life.Tries[n-1]
		f.mark(x, RuleLoadedBefore, Loaded{b.Reading, b.Rig, b.How})
	}
}

// tell returns the life so far, finished; the folder can go on.
func (f *folder) tell() *Life {
	life := *f.life
	life.Spells = slices.Clone(life.Spells) // a lift-out ends one in place
	end := *f
	end.life = &life
	end.finish()
	return &life
}

// finish works out the next stage and how every planned interval went.
func (f *folder) finish() {
	f.life.Next = f.next()
	f.life.Pass = f.passAhead(f.life.Next)
	f.life.Lapses = f.governed()
	for i := range f.life.Lapses {
		f.life.Lapses[i] = f.lapse(f.life.Lapses[i])
	}
}

// next is the first open stage behind the last one gone through; a specimen
// put back into the bath waits for its lift-out again.
func (f *folder) next() schedule.Stage {
	if f.over != nil || f.life.End != "" {
		return ""
	}
	if own := f.ownStage(); own != "" {
		return own
	}
	switch n := len(f.life.Spells); {
	case f.life.InWater():
		return schedule.LiftOut
	case n > 0 && n < f.passes:
		return schedule.Immersion
	}
	for i := len(f.path) - 1; i >= 0; i-- {
		if f.done(f.path[i]) && i+1 < len(f.path) {
			return f.path[i+1]
		}
	}
	return f.path[0]
}

// lapse is how one interval of this life went.
func (f *folder) lapse(l Lapse) Lapse {
	iv := l.Interval
	if iv.Name == schedule.Soak {
		return f.soak(l)
	}
	l.From, _, l.Begun = f.reached(iv.From, iv.To == schedule.Break)
	l.To, l.Closed, l.Done = f.reached(iv.To, false)
	l.Done = l.Done && l.Begun && !l.To.Mid().Before(l.From.Mid())
	if l.Done {
		l.judge(schedule.Length(l.From, l.To))
	}
	return l
}

// judge compares a length with the plan. A partner's age is compared later.
func (l *Lapse) judge(lo, hi time.Duration) {
	l.Lo, l.Hi = lo, hi
	if l.Interval.Planned.Kind != schedule.AsPartner {
		_, _, l.Verdict = l.Interval.Planned.Judge(l.From, l.To)
	}
}

// soak is the sum of all spells under water.
func (f *folder) soak(l Lapse) Lapse {
	spells := f.life.Spells
	if len(spells) == 0 {
		return l
	}
	l.Begun, l.From = true, spells[0].In
	if len(spells) >= f.passes {
		l.To = spells[len(spells)-1].Out
	}
	l.Done = !l.To.IsZero()
	var lo, hi time.Duration
	for _, s := range spells {
		if !s.Out.IsZero() {
			a, b := schedule.Length(s.In, s.Out)
			lo, hi = lo+a, hi+b
		}
	}
	l.Lo, l.Hi = lo, hi
	if l.Done {
		_, l.Closed, _ = f.reached(l.Interval.To, true)
		start := schedule.Span{From: l.To.Mid().Add(-hi), To: l.To.Mid().Add(-lo)}
		_, _, l.Verdict = l.Interval.Planned.Judge(start, schedule.At(l.To.Mid()))
	}
	return l
}

// reached finds when a stage was gone through: the first time, or the last,
// which is also what counts of a stage that renews. The break is the try that ended the life, or the last try so far.
func (f *folder) reached(stage schedule.Stage, last bool) (schedule.Span, string, bool) {
	if stage == schedule.Break {
		return f.broken()
	}
	var found *Step
	stage, pass := f.passNamed(stage)
	for i, s := range f.life.Steps {
		if s.Stage == stage && (pass == 0 || s.Pass == pass) && (found == nil || last || stage.Renews()) {
			found = &f.life.Steps[i]
		}
	}
	if found == nil {
		return schedule.Span{}, "", false
	}
	return found.At, found.Event, true
}

// broken is when the life ended: at the try that parted the bond, else at the
// last one that loaded it.
func (f *folder) broken() (schedule.Span, string, bool) {
	if f.over != nil {
		return f.over.At, f.over.Event, true
	}
	for _, t := range slices.Backward(f.life.Tries) {
		if t.How != BottomedOut {
			return t.At, t.Event, true
		}
	}
	return schedule.Span{}, "", false
}
