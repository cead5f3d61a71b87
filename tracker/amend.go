package tracker

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
)

// ErrDealt is the cause of an error of Stale: an event deals a serial that was
// dealt before. Serials are never used again.
var ErrDealt = errors.New("dealt before")

// ErrSetAside is the cause of an error of Stale: what an event would set aside was
// set aside meanwhile, by somebody else.
var ErrSetAside = errors.New("set aside already")

// Stale says why an event, new to the record, no longer has its ground: between
// looking and writing somebody else voided or replaced its target, dealt the same
// serial, or put the same plan in force. Nil where it has. What is folded from a
// log, or taken over from another notebook, is never asked: there both are on record.
func (r *Record) Stale(e Event) error {
	if _, known := r.Event(e.ID); known || e.Kind == Accepted {
		return nil
	}
	if err := r.unused(&e); err != nil {
		return err
	}
	if e.Target != "" && r.Voided(e.Target) {
		return fmt.Errorf("the entry was %w, by somebody else at the same time", ErrSetAside)
	}
	fresh := e.Target == "" && len(e.Dealt) == 0
	if e.Kind == PlanAmended && fresh && len(e.Plan) > 0 && r.study != nil && string(e.Plan) == string(r.study.Text) {
		return fmt.Errorf("the earlier plan was %w: this one was put in force by somebody else at the same time", ErrSetAside)
	}
	return nil
}

// An edition is one text of the plan with the instant from which it is in force.
type edition struct {
	from  time.Time // zero for the plan that the study began with
	study *Study
}

// An amendment is a PlanAmended event with the study that its plan text means;
// nil where it only adds specimens.
type amendment struct {
	*Event
	study *Study
}

// amend takes a PlanAmended event. The record is as it was when that fails.
func (r *Record) amend(e *Event) error {
	a := amendment{Event: e}
	if len(e.Plan) > 0 {
		study, err := r.read(e.Plan)
		if err != nil {
			return fmt.Errorf("reading the amended plan: %w", err)
		}
		a.study = &study
	}
	r.amends = append(r.amends, a)
	return nil
}

// unused refuses an event that deals a specimen which another one dealt; a
// correction deals again what it corrects.
func (r *Record) unused(e *Event) error {
	if e.Target != "" {
		return nil
	}
	for _, s := range e.Dealt {
		if r.wasDealt(s.Code) {
			return fmt.Errorf("%s was %w in this study, and a serial is never used again", s.Code.Whole(), ErrDealt)
		}
	}
	return nil
}

// wasDealt reports whether a code was ever dealt, also by what was voided since.
func (r *Record) wasDealt(c labels.Code) bool {
	return slices.ContainsFunc(r.everDealt(), func(s Specimen) bool { return s.Code.Whole() == c.Whole() })
}

func (r *Record) everDealt() (all []Specimen) {
	if r.begun != nil {
		all = slices.Clip(r.begun.Dealt)
	}
	for _, a := range r.amends {
		all = append(all, a.Dealt...)
	}
	return all
}

// Undealt returns the next n codes that may be dealt: behind the highest
// serial ever dealt, without those whose check character is easily misread
// and those that somebody read although nobody had dealt them. It returns
// fewer than n only when there are no more serials.
func (r *Record) Undealt(n int) (codes []labels.Code) {
	highest := 0
	for _, s := range r.everDealt() {
		highest = max(highest, s.Code.Serial)
	}
	for serial := highest + 1; serial <= labels.MaxSerial && len(codes) < n; serial++ {
		if c := labels.New(r.study.Prefix, serial); c.Legible() && !r.strayed(c) {
			codes = append(codes, c)
		}
	}
	return codes
}

// strayed reports whether a code that was never dealt was read: it would turn
// into the specimen that is dealt now.
func (r *Record) strayed(c labels.Code) bool {
	for text := range r.stray {
		if read, err := labels.Parse(text); err == nil && read.Whole() == c {
			return true
		}
	}
	return false
}

// bearsOnPlan reports whether e amends the plan, or voids or replaces what does,
// through however many other events.
func (r *Record) bearsOnPlan(e *Event) bool {
	for range len(r.byID) {
		if e.Kind == PlanAmended {
			return true
		}
		target, ok := r.byID[e.Target]
		if !ok || e.Kind == Accepted {
			return false
		}
		e = target
	}
	return false
}

// replan works out again which plan is in force when, and which specimens
// there are. It depends on the set of events alone, not on their order.
func (r *Record) replan() {
	standing := r.standing()
	first := *r.first
	r.study, r.editions = &first, []edition{{study: &first}}
	specimens := slices.Clip(r.begun.Dealt)
	r.addedBy, r.dealtToo = map[labels.Code]*Event{}, map[labels.Code][]*Event{}
	for _, a := range standing {
		if a.study != nil {
			r.study, r.editions = a.study, append(r.editions, edition{a.At.Mid(), a.study})
		}
		for _, s := range a.Dealt {
			if code := s.Code.Whole(); r.addedBy[code] == nil {
				r.addedBy[code] = a.Event
				specimens = append(specimens, s)
			} else {
				r.dealtToo[code] = append(r.dealtToo[code], a.Event)
			}
		}
	}
	clear(r.ways)
	r.seat(specimens)
	clear(r.lives)
	r.told = false
}

// standing lists the amendments that count, in the order in which they took effect.
func (r *Record) standing() []amendment {
	var all []amendment
	for _, a := range r.amends {
		if !r.Voided(a.ID) && (r.horizon.IsZero() || !a.At.Mid().After(r.horizon)) {
			all = append(all, a)
		}
	}
	slices.SortFunc(all, func(a, b amendment) int {
		return cmp.Or(a.At.Mid().Compare(b.At.Mid()), a.Recorded.Compare(b.Recorded), cmp.Compare(a.Count, b.Count), cmp.Compare(a.ID, b.ID))
	})
	return all
}

// seat gives every specimen its place, and every event its specimen.
func (r *Record) seat(specimens []Specimen) {
	r.specimens, r.codes = specimens, nil
	clear(r.byCode)
	clear(r.byName)
	clear(r.partners)
	for i, s := range specimens {
		r.byCode[s.Code.Whole()] = i
		r.codes = append(r.codes, s.Code.String())
		r.byName[r.codes[i]] = i
		if s.Name != "" {
			r.byName[nameKey(s.Name)] = i
		}
		if t := r.study.Followed(); t != nil && t.Key == s.Treatment {
			key := partnerKey(s)
			r.partners[key] = append(r.partners[key], i)
		}
	}
	read := slices.Concat(slices.Concat(r.own...), r.strays())
	r.own, r.lives = make([][]*Event, len(specimens)), make([]*telling, len(specimens))
	clear(r.stray)
	for _, e := range read {
		r.place(e)
	}
}

func (r *Record) strays() (all []*Event) {
	for _, events := range r.stray {
		all = append(all, events...)
	}
	return all
}

// Original is the plan that the study began with; nil before the Begun event
// was added. Study is the one in force now.
func (r *Record) Original() *Study {
	if len(r.editions) == 0 {
		return nil
	}
	return r.editions[0].study
}

// Amended reports whether another plan than the original is in force.
func (r *Record) Amended() bool { return len(r.editions) > 1 }

// AddedBy returns the amendment that dealt a specimen after the study began;
// false for those it began with.
func (r *Record) AddedBy(c labels.Code) (Event, bool) {
	e, ok := r.addedBy[c.Whole()]
	if !ok {
		return Event{}, false
	}
	return *e, true
}

// Children lists the specimens that were re-glued from the halves of one, in
// the order dealt.
func (r *Record) Children(c labels.Code) (children []Specimen) {
	for _, s := range r.specimens {
		if s.Parent == c.Whole().String() {
			children = append(children, s)
		}
	}
	return children
}

// added marks a specimen that was dealt after the study began.
func (r *Record) added(life *Life) {
	e := r.addedBy[life.Specimen.Code.Whole()]
	if e == nil {
		return
	}
	rule, parent := RuleAdded, life.Specimen.Parent
	if parent != "" {
		rule = RuleReglued
	}
	life.Marks = append(life.Marks, Mark{Rule: rule, About: Dealt{parent, e.Reason},
		Event: e.ID, Code: life.code, At: e.At.Mid()})
	r.dealtTwice(life, e)
}

// dealing lists the amendments that dealt a specimen or one re-glued from it.
func (r *Record) dealing(c labels.Code) (entries []Entry) {
	for _, a := range r.amends {
		about := func(s Specimen) bool { return s.Code.Whole() == c.Whole() || s.Parent == c.Whole().String() }
		if slices.ContainsFunc(a.Dealt, about) && (r.horizon.IsZero() || !a.At.Mid().After(r.horizon)) {
			entries = append(entries, Entry{*a.Event, r.Voided(a.ID), a.At, false})
		}
	}
	return entries
}

// wayFor is the way of one specimen. Where the plan was amended, the path is
// that of the plan in force at its glue-up, and each interval is of the plan
// in force when it began: the folder chooses.
func (r *Record) wayFor(s Specimen, facts []fact) *way {
	if !r.Amended() {
		return r.wayOf(s)
	}
	path := r.editions[r.editionAt(r.gluedUp(facts))].study.Path(s)
	w := &way{path: path}
	for _, e := range r.editions {
		w.editions = append(w.editions, e.study.intervalsAlong(s, path))
	}
	w.intervals = w.editions[len(w.editions)-1]
	return w
}

// gluedUp is when a life's first glue-up was; zero when it has none yet.
func (r *Record) gluedUp(facts []fact) time.Time {
	for _, x := range facts {
		if x.Kind == Staged && x.Stage == schedule.GlueUp && !r.Voided(x.ID) {
			return x.on
		}
	}
	return time.Time{}
}

// editionAt is the plan in force at an instant, the last for one still to come.
func (r *Record) editionAt(t time.Time) int {
	for i := len(r.editions) - 1; i > 0 && !t.IsZero(); i-- {
		if !r.editions[i].from.After(t) {
			return i
		}
	}
	if t.IsZero() {
		return len(r.editions) - 1
	}
	return 0
}

// governed lists the intervals of a life, each from the plan that was in force
// when it began, and those not yet begun from the last; beside each the
// original. What the last plan holds comes first, in its order.
func (f *folder) governed() []Lapse {
	var all []Lapse
	if len(f.editions) == 0 {
		all = make([]Lapse, 0, len(f.intervals))
		for _, iv := range f.intervals {
			all = append(all, Lapse{Interval: iv, Original: iv.Planned})
		}
		return all
	}
	for _, name := range f.namesEver() {
		edition := f.governing(name)
		if iv, ok := intervalNamed(f.editions[edition], name); ok {
			original, _ := intervalNamed(f.editions[0], name)
			all = append(all, Lapse{Interval: iv, Original: original.Planned, edition: edition})
		}
	}
	return all
}

func (f *folder) namesEver() (names []string) {
	for _, list := range slices.Backward(f.editions) {
		for _, iv := range list {
			if !slices.Contains(names, iv.Name) {
				names = append(names, iv.Name)
			}
		}
	}
	return names
}

// governing finds the plan that an interval goes by: the last one that was not
// made after it had begun. That one may have no such interval.
func (f *folder) governing(name string) int {
	for i := len(f.editions) - 1; i > 0; i-- {
		began, begun := f.beganBy(i, name)
		if !begun || !began.Before(f.record.editions[i].from) {
			return i
		}
	}
	return 0
}

// beganBy is when an interval began, by the ends that a plan gives it; where
// that plan does not have it, by the nearest that does.
func (f *folder) beganBy(i int, name string) (time.Time, bool) {
	older := slices.Clone(f.editions[:i+1])
	slices.Reverse(older)
	for _, list := range append(older, f.editions[i+1:]...) {
		if iv, ok := intervalNamed(list, name); ok {
			from, _, begun := f.reached(iv.From, iv.Name != schedule.Soak && iv.To == schedule.Break)
			return from.Mid(), begun
		}
	}
	return time.Time{}, false
}

func intervalNamed(list []schedule.Interval, name string) (schedule.Interval, bool) {
	for _, iv := range list {
		if iv.Name == name {
			return iv, true
		}
	}
	return schedule.Interval{}, false
}

// With is the record as it would be with more events. The record itself stays as
// it is. The error is that of Add.
func (r *Record) With(more ...Event) (*Record, error) {
	next := NewRecord(r.read)
	next.horizon = r.horizon
	next.Expect(len(r.log) + len(more))
	for _, old := range r.log {
		next.Add(*old) // the plan was read before: no error can come
	}
	for _, e := range more {
		if _, err := next.Add(e); err != nil {
			return next, err
		}
	}
	return next, nil
}
