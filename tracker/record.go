package tracker

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
)

// A Record is the fold over a study's events. Events may be added in any
// order and any number of times: the same set always gives the same Record.
//
// A life is folded when it is asked for and kept until an event touches it, so
// that adding one event costs one life, not the whole log. A Record is not
// safe for concurrent use.
type Record struct {
	read      PlanReader
	begun     *Event
	study     *Study
	specimens []Specimen
	byCode    map[labels.Code]int
	byName    map[string]int // names and printed codes, in upper case
	codes     []string       // by specimen: its code as it is printed
	ways      map[kind]*way
	partners  map[string][]int // soaked specimens by adhesive and board

	first    *Study      // as the study began
	amends   []amendment // all of them, those that do not count too
	editions []edition   // the plans that count, in the order in which they took effect
	addedBy  map[labels.Code]*Event
	dealtToo map[labels.Code][]*Event // by what was added: the events that dealt the same serial again

	log      []*Event
	byID     map[string]*Event
	byTarget map[string][]*Event    // what voids, replaces or accepts an event
	own      [][]*Event             // by specimen: events whose code, as read, is its own
	stray    map[string][]*Event    // by code as read: events of codes nobody knows
	clocks   map[string][]*Event    // by device
	lives    []*telling             // nil: to be folded again
	abreast  map[string]partnersNow // by partnerKey, until something is added
	horizon  time.Time              // what happened later is not told; zero: everything is
	newest   time.Time              // when the last entry was written down, of those about something that happened
	told     bool                   // some life was folded since all were forgotten
	apart    bool                   // some entry was corrected in two notebooks
	room     []Event                // what comes next goes here

	exchanges []*Event // of labels, and unknown codes explained
	swaps     []swap   // those of exchanges that count; nil: to be worked out again
}

// NewRecord returns an empty Record. It learns the study from its Begun event.
func NewRecord(read PlanReader) *Record {
	return &Record{read: read, byCode: map[labels.Code]int{}, byName: map[string]int{}, ways: map[kind]*way{},
		partners: map[string][]int{}, abreast: map[string]partnersNow{}, byID: map[string]*Event{}, byTarget: map[string][]*Event{},
		stray: map[string][]*Event{}, clocks: map[string][]*Event{}}
}

// Add takes one event into the record. It reports false, and does nothing,
// when the event's id is known already. The error is that of a plan that
// cannot be read; the event is then not taken.
func (r *Record) Add(e Event) (bool, error) {
	if _, known := r.byID[e.ID]; known {
		return false, nil
	}
	kept := r.keep(e)
	clear(r.abreast)
	if e.Kind == PlanAmended {
		if err := r.amend(kept); err != nil {
			return false, err
		}
	}
	if e.Kind == Begun && r.begun == nil {
		if err := r.begin(kept); err != nil {
			return false, err
		}
	}
	r.log = append(r.log, kept)
	if e.Kind.Happens() && e.Recorded.After(r.newest) {
		r.newest = e.Recorded
	}
	r.byID[e.ID] = kept
	if e.Target != "" {
		r.point(kept)
	}
	r.file(kept)
	if len(r.exchanges) > 0 && (kept.Target != "" || r.sways(kept)) {
		r.swaps = nil
	}
	if r.begun != nil && len(r.amends) > 0 && r.bearsOnPlan(kept) {
		r.replan()
	}
	if r.told && !r.extend(kept) {
		r.touch(kept)
	}
	return true, nil
}

// roomFor is how many events are made room for at a time: one by one they
// take longer to make than to fold (measured).
const roomFor = 64

func (r *Record) keep(e Event) *Event {
	if len(r.room) == cap(r.room) {
		r.room = make([]Event, 0, roomFor)
	}
	r.room = append(r.room, e)
	return &r.room[len(r.room)-1]
}

// Expect makes room for n events to come. It changes no answer.
func (r *Record) Expect(n int) {
	if len(r.byID) == 0 {
		r.byID = make(map[string]*Event, n)
	}
	r.log = slices.Grow(r.log, n)
}

// begin takes the study from its first event and files what came before it.
func (r *Record) begin(e *Event) error {
	study, err := r.read(e.Plan)
	if err != nil {
		return fmt.Errorf("reading the plan kept in the study: %w", err)
	}
	r.begun, r.first = e, &study
	r.replan()
	return nil
}

func nameKey(name string) string { return strings.ToUpper(strings.TrimSpace(name)) }

func partnerKey(s Specimen) string { return s.Adhesive + "\x00" + s.Board }

// file puts e where the fold looks for it.
func (r *Record) file(e *Event) {
	switch {
	case e.Kind == ClockSeen:
		r.clocks[e.Device] = append(r.clocks[e.Device], e)
	case e.Kind == Exchanged, e.Kind == Relabelled && e.Other != "":
		r.exchanges = append(r.exchanges, e)
	}
	if e.Code != "" && e.Kind != Accepted && e.Kind != Exchanged {
		r.place(e)
	}
}

// place puts e with the specimen whose code it read, or with the strays.
func (r *Record) place(e *Event) {
	if i, ok := r.index(e.Code); ok {
		r.own[i] = append(r.own[i], e)
		return
	}
	r.stray[e.Code] = append(r.stray[e.Code], e)
}

// touch forgets the lives that e may change: its own, that of the event it
// voids or replaces, or all of them.
func (r *Record) touch(e *Event) {
	for range len(r.byID) { // as long a chain of voids as there can be
		if r.sways(e) {
			clear(r.lives)
			r.told = false
			return
		}
		r.forget(e)
		target, ok := r.byID[e.Target]
		if !ok {
			return
		}
		e = target
	}
}

// sways reports whether e changes what other events mean or when they happened.
func (r *Record) sways(e *Event) bool {
	switch e.Kind {
	case Begun, PlanAmended, ClockSeen, Exchanged:
		return true
	case Relabelled:
		return e.Other != ""
	}
	return false
}

// forget drops the folded life that an event is part of.
func (r *Record) forget(e *Event) {
	if i, known := r.meaning(e.Code, r.factOf(e).on); known {
		r.lives[i] = nil
	}
}

// index finds the specimen that a code as read names, exchanges aside.
func (r *Record) index(code string) (int, bool) {
	if i, ok := r.byName[code]; ok {
		return i, true // nearly always: codes are stored as they are printed
	}
	if c, err := labels.Parse(code); err == nil {
		if i, ok := r.byCode[c.Whole()]; ok {
			return i, true
		}
	}
	i, ok := r.byName[nameKey(code)]
	return i, ok
}

// Voided reports whether an event does not count: it was voided, or a correction
// stands in its place, be it one of a correction. Of a chain of corrections the last
// that was not voided counts, and no other; where all were voided, the entry itself.
func (r *Record) Voided(id string) bool {
	return r.apart && r.outdone(id) || slices.ContainsFunc(r.byTarget[id], func(e *Event) bool {
		switch e.Kind {
		case Accepted:
			return false
		case Voided:
			return !r.cancelled(e.ID, nil)
		}
		return r.last(e, nil) != nil
	})
}

// Stands returns what stands in the place of an event: itself, or the last
// correction of it. It reports false when nothing does: it was voided.
func (r *Record) Stands(id string) (Event, bool) {
	e, ok := r.byID[id]
	if !ok {
		return Event{}, false
	}
	if e = r.last(e, nil); e == nil {
		return Event{}, false
	}
	return *e, true
}

// last is the last correction of e that was not voided, else e; nil where that was
// voided as well. above guards against a ring of corrections, which only a merged
// log could hold.
func (r *Record) last(e *Event, above []string) *Event {
	if slices.Contains(above, e.ID) {
		return nil
	}
	for _, x := range slices.Backward(r.byTarget[e.ID]) {
		if x.Kind == Voided || x.Kind == Accepted {
			continue
		}
		if now := r.last(x, append(above, e.ID)); now != nil {
			return now
		}
	}
	if r.cancelled(e.ID, nil) {
		return nil
	}
	return e
}

// cancelled reports whether an event was voided, by one that was not. It
// guards against a ring of voids, which no client makes but a merged log could
// hold.
func (r *Record) cancelled(id string, above []string) bool {
	if slices.Contains(above, id) {
		return false
	}
	return slices.ContainsFunc(r.byTarget[id], func(e *Event) bool {
		return e.Kind == Voided && !r.cancelled(e.ID, append(above, id))
	})
}

// Study returns the plan in force; nil before the Begun event was added.
func (r *Record) Study() *Study { return r.study }

// Zone returns the zone that the study runs in; UTC where it names none.
func (r *Record) Zone() *time.Location {
	if r.study == nil || r.study.Zone == nil {
		return time.UTC
	}
	return r.study.Zone
}

// Specimens lists all specimens in the order in which they were dealt.
func (r *Record) Specimens() []Specimen { return r.specimens }

// Event returns the event with an id.
func (r *Record) Event(id string) (Event, bool) {
	e, ok := r.byID[id]
	if !ok {
		return Event{}, false
	}
	return *e, true
}

// Events lists all events in the order of the log.
func (r *Record) Events() []Event {
	all := make([]Event, 0, len(r.log))
	for _, e := range r.log {
		if r.visible(e) {
			all = append(all, *e)
		}
	}
	return all
}

// Begun is the event that began the study; false where the record is empty.
func (r *Record) Begun() (Event, bool) {
	i := slices.IndexFunc(r.log, func(e *Event) bool { return e.Kind == Begun })
	if i < 0 {
		return Event{}, false
	}
	return *r.log[i], true
}

// visible reports whether an event happened before the record's horizon, or
// says how the record is to be read, which holds whenever it was said.
func (r *Record) visible(e *Event) bool {
	if r.horizon.IsZero() {
		return true
	}
	switch e.Kind {
	case Begun, Voided, Exchanged, ClockSeen:
		return true
	}
	return !r.corrected(e).Mid().After(r.horizon)
}

// Corrected returns when e happened: the time given, or, where that is a
// device's own reading, that reading less what the device's clock was ahead
// by at the nearest instant at which somebody compared it.
func (r *Record) Corrected(e Event) schedule.Span { return r.corrected(&e) }

// corrected is Corrected without copying an event, which is large.
func (r *Record) corrected(e *Event) schedule.Span {
	if !e.DeviceTime {
		return e.At
	}
	fact := r.nearestClock(e)
	if fact == nil {
		return e.At
	}
	ahead := fact.Shown.Sub(fact.At.Mid())
	at := e.At
	if !at.From.IsZero() {
		at.From = at.From.Add(-ahead)
	}
	if !at.To.IsZero() {
		at.To = at.To.Add(-ahead)
	}
	return at
}

func (r *Record) nearestClock(e *Event) *Event {
	var best *Event
	for _, fact := range r.clocks[e.Device] {
		if r.Voided(fact.ID) {
			continue
		}
		if best == nil || nearer(fact, best, e) {
			best = fact
		}
	}
	return best
}

func nearer(a, b, e *Event) bool {
	da, db := a.Shown.Sub(e.At.Mid()).Abs(), b.Shown.Sub(e.At.Mid()).Abs()
	if da != db {
		return da < db
	}
	return a.ID < b.ID
}

// ClockOf is the comparison of a device's clock by which the time of e is
// corrected; false where nobody ever compared it.
func (r *Record) ClockOf(e Event) (Event, bool) {
	fact := r.nearestClock(&e)
	if fact == nil {
		return Event{}, false
	}
	return *fact, true
}

// EventsAfter lists the events behind the first n of the log.
func (r *Record) EventsAfter(n int) (all []Event) {
	for _, e := range r.log[min(n, len(r.log)):] {
		all = append(all, *e)
	}
	return all
}
