// Package intake is the desk: what is scanned, typed, photographed or filled in
// comes in here and becomes events, and what came of it goes out as facts. The
// stage in force and how long, who works, YES and UNDO, whom a bath's tag means:
// every such rule stands here once, for the terminal, for photographs and for
// whatever shows a page.
//
// It never prints, asks nobody and knows no command line. What it says it hands
// out as typed notes; package wording makes sentences of them.
package intake

import (
	"errors"
	"slices"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/store"
)

// A Desk is one person's place: a scanner at a bench, a keyboard, a folder of
// photographs. It remembers the stage in force, who works there, what was taken
// last and what of it asks.
type Desk struct {
	Entry // what stands for all that comes in, unless it says otherwise itself

	db  *store.DB
	rec *tracker.Record
	now func() time.Time

	stage schedule.Stage    // in force
	stays bool              // until there is a card: it was given for a whole roll of photographs
	since time.Time         // the last scan under the stage in force
	count int64             // of this device, for the order of scans
	asked []tracker.Mark    // by what was taken last
	done  [][]tracker.Event // by what was taken, for UNDO
	tried []tracker.Event   // about trial labels
	tally Tally
	sit   sitting // what it asks, answer by answer

	echoed map[string]bool // texts that were said to be read as a code
	wet    bool            // an immersion was met: whether its labels were ever tried is asked once
	lifted bool            // a lift-out was met: whether its rig was ever tried is asked once

	sent    *sentBefore // what phones sent before; shared by the desks of one store
	sending *sending    // the entry of a phone that is being taken; nil for none
}

// Open sets up a desk in an open study. now is its clock.
func Open(db *store.DB, e Entry, now func() time.Time) (*Desk, error) {
	d := &Desk{Entry: e, db: db, now: now, echoed: map[string]bool{}, tally: Tally{open: map[string]tracker.Mark{}}, sent: &sentBefore{}}
	return d, d.refresh()
}

// Beside sets up another desk in the same open study. One of them is used at a time.
func (d *Desk) Beside(e Entry) *Desk {
	return &Desk{Entry: e, db: d.db, rec: d.rec, now: d.now, echoed: map[string]bool{}, tally: Tally{open: map[string]tracker.Mark{}}, sent: d.sent}
}

// refresh reads what others recorded meanwhile. Where that fails the desk goes on
// seeing what it saw.
func (d *Desk) refresh() error {
	rec, err := d.db.State()
	if err == nil {
		d.rec = rec
	}
	return err
}

// Record is the record as the desk sees it now. It is the store's: look at it,
// and not across the next Take.
func (d *Desk) Record() *tracker.Record { return d.rec }

// Zone is the zone that the study runs in.
func (d *Desk) Zone() *time.Location { return d.rec.Zone() }

// An Input is something that comes in: a line of a scanner, a photograph, or a
// filled-in form.
type Input interface {
	take(d *Desk, out *Outcome) error
}

// Take records what an input says, all of it in one transaction for each thing
// taken, and returns what came of it. A *Refusal as the error means that the
// input was not taken and nothing of it recorded; any other error is the store's,
// and says itself whether something was recorded. The outcome holds what was
// said until then.
//
// What others recorded meanwhile is read first: last is the last of anybody but
// phones, and a bath's tag means those who lie there now.
func (d *Desk) Take(in Input) (Outcome, error) {
	var out Outcome
	if err := d.refresh(); err != nil {
		return out, err
	}
	err := in.take(d, &out)
	return out, err
}

// keep commits events together and tells what the record makes of them, what
// the study should have thought of before, and what changed in the lives they are
// about. The outcome has it all.
func (d *Desk) keep(out *Outcome, events ...tracker.Event) error {
	before := footingOf(d.rec, events)
	if err := d.commit(out, events); err != nil {
		return err
	}
	if err := d.reread(); err != nil {
		return err
	}
	before.sinceThen(out, d.rec)
	return nil
}

// commit is keep without what changed.
func (d *Desk) commit(out *Outcome, events []tracker.Event) error {
	d.before(out, events)
	verdicts, err := d.record(events...)
	if err != nil {
		return meanwhile(err)
	}
	out.add(Recorded{verdicts})
	if err := d.afterTrials(out, events); err != nil {
		return err
	}
	out.add(Marked{marksOf(verdicts)})
	sayExchanged(out, d.rec, marksOf(verdicts))
	return nil
}

// meanwhile refuses what somebody else was quicker with; other errors stay.
func meanwhile(err error) error {
	if errors.Is(err, tracker.ErrSetAside) {
		return &Refusal{Why: err.Error()}
	}
	return err
}

// afterTrials tells what the label trials show that events were about.
func (d *Desk) afterTrials(out *Outcome, events []tracker.Event) error {
	if !slices.ContainsFunc(events, isTrialEvent) {
		return nil
	}
	if err := d.reread(); err != nil {
		return err
	}
	for _, t := range d.rec.Trials() {
		if slices.ContainsFunc(events, func(e tracker.Event) bool { return isAbout(e, t) }) {
			out.add(TrialStands{t})
		}
	}
	return nil
}

// Accept records that marks stand, and why.
func (d *Desk) Accept(marks []tracker.Mark, reason string) (Outcome, error) {
	var out Outcome
	d.Recorded = d.now().UTC().Truncate(time.Millisecond)
	err := d.accepted(&out, d.acceptances(marks, reason), reason)
	return out, err
}

func (d *Desk) accepted(out *Outcome, events []tracker.Event, reason string) error {
	if _, err := d.record(events...); err != nil {
		return err
	}
	out.add(Accepted{len(events), reason, events})
	return nil
}

func (d *Desk) acceptances(marks []tracker.Mark, reason string) []tracker.Event {
	var events []tracker.Event
	for _, m := range marks {
		e := written(d.event(tracker.Accepted))
		e.Target, e.Rule, e.Code, e.Reason = m.Event, m.Rule, m.Code, reason
		events = append(events, e)
	}
	return events
}
