package tracker

import (
	"cmp"
	"slices"
)

// Two copies of one study may be written in apart, and be made one again. Then the
// record holds what no single notebook would have taken: two corrections of one
// entry, two plans that know nothing of each other, a serial dealt twice. One of
// them counts, by what the events say and never by which came in first, and the
// other asks.

// point files e under the event that it is about. In whatever order they come in, the one
// written down last stands last.
func (r *Record) point(e *Event) {
	all := r.byTarget[e.Target]
	at, _ := slices.BinarySearchFunc(all, e, inWritingOrder)
	if e.corrects() && slices.ContainsFunc(all, (*Event).corrects) {
		r.apart = true
	}
	r.byTarget[e.Target] = slices.Insert(all, at, e)
}

func inWritingOrder(a, b *Event) int {
	return cmp.Or(a.Recorded.Compare(b.Recorded), cmp.Compare(a.Count, b.Count), cmp.Compare(a.ID, b.ID))
}

// corrects reports whether an event stands in the place of its target.
func (e *Event) corrects() bool { return e.Target != "" && e.Kind != Voided && e.Kind != Accepted }

// outdone reports whether an event is a correction beside which a later one of the same
// entry stands.
func (r *Record) outdone(id string) bool {
	e, known := r.byID[id]
	if !known || !e.corrects() {
		return false
	}
	for _, x := range slices.Backward(r.byTarget[e.Target]) {
		if x == e {
			return false
		}
		if x.corrects() && r.last(x, nil) != nil {
			return true
		}
	}
	return false
}

// settledApart asks about a correction where the same entry was corrected, or taken
// back, by somebody who knew nothing of it.
func (f *folder) settledApart(x fact) {
	if !x.corrects() {
		return
	}
	for _, also := range f.record.byTarget[x.Target] {
		rival := also.corrects() && f.record.last(also, nil) != nil || also.Kind == Voided && !f.record.cancelled(also.ID, nil)
		if also != x.Event && rival {
			f.ask(x, RuleSettledApart, SettledApart{*also}, Remedy{})
			return
		}
	}
}

// ofNobody lists the marks that are of no specimen: plans that were made apart, and
// places of the log where entries are missing.
func (r *Record) ofNobody() []Mark { return append(r.gaps(), r.amendedApart()...) }

// plain is a mark that asks and hangs on an event alone.
func (r *Record) plain(e *Event, rule Rule, about About) Mark {
	m := Mark{Rule: rule, About: about, Asks: true, Event: e.ID, At: r.corrected(e).Mid()}
	m.Accepted = r.acceptance(m)
	return m
}

// amendedApart asks about every plan that was made without knowing the one before it.
func (r *Record) amendedApart() (all []Mark) {
	var before *Event
	for _, a := range r.standing() {
		if a.study == nil {
			continue
		}
		if before != nil && a.Other != "" && !r.knows(a.Event, before) {
			all = append(all, r.plain(a.Event, RuleAmendedApart, AmendedApart{*before, r.local(before.At.Mid())}))
		}
		before = a.Event
	}
	return all
}

// knows reports whether a plan was made from another, through however many between.
func (r *Record) knows(e, other *Event) bool {
	for range len(r.amends) {
		if e == nil || e.Other == other.ID {
			return e != nil
		}
		e = r.byID[e.Other]
	}
	return false
}

// PlanEvent is the id of the event that put the plan in force.
func (r *Record) PlanEvent() string {
	for _, a := range slices.Backward(r.standing()) {
		if a.study != nil {
			return a.ID
		}
	}
	if r.begun == nil {
		return ""
	}
	return r.begun.ID
}

// dealtTwice asks about a specimen whose serial another notebook dealt as well.
func (r *Record) dealtTwice(life *Life, first *Event) {
	code := life.Specimen.Code.Whole()
	for _, second := range r.dealtToo[code] {
		i := slices.IndexFunc(second.Dealt, func(s Specimen) bool { return s.Code.Whole() == code })
		m := r.plain(second, RuleDealtTwice, DealtTwice{*first, *second, second.Dealt[i]})
		m.Code = life.code
		life.Marks = append(life.Marks, m)
	}
}
