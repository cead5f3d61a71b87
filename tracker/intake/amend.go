package intake

import (
	"slices"

	"soaktag/schedule"
	"soaktag/tracker"
)

// Nothing on record is overwritten: every correction is an event of its own,
// with who, when and why.

// A Void is a form: events never counted, all or none of them.
type Void struct{ Meant }

func (f Void) take(d *Desk, out *Outcome) (err error) {
	if err := d.reasoned(); err != nil {
		return err
	}
	entries, err := d.meant(f.Meant)
	if err != nil {
		return err
	}
	var voids []tracker.Event
	for _, e := range entries {
		voids = append(voids, d.voidsBack(e)...)
	}
	gone := nowOf(entries)
	before, stood := d.asking(), footingOf(d.rec, voids)
	if _, err := d.db.Record(voids...); err != nil {
		return meanwhile(err)
	}
	out.add(SetAside{gone, d.Reason})
	if err := d.revived(out, entries); err != nil {
		return err
	}
	stood.brokenSince(out, d.rec)
	return d.asksNow(out, before)
}

// voidsBack sets aside what counts of an entry, back to the entry itself: what a
// correction had replaced would count again.
func (d *Desk) voidsBack(of entry) (voids []tracker.Event) {
	for e := of.now; ; e, _ = d.rec.Event(e.Target) {
		void := d.event(tracker.Voided)
		void.Target, void.Code, void.Half = e.ID, e.Code, e.Half
		voids = append(voids, void)
		if e.ID == of.was.ID || e.Target == "" {
			return voids
		}
	}
}

// standing finds the events that a word means: each can be amended and still
// counts.
func (d *Desk) standing(word string) ([]tracker.Event, error) {
	if several, ok := d.numbered(word); ok {
		if len(several) == 0 {
			return nil, refuse("%s: none of these counts; nothing recorded", Quoted(word))
		}
		return several, nil
	}
	e, err := eventNamed(d.rec, word)
	switch {
	case err != nil:
		return nil, err
	case e.Kind == tracker.Begun:
		return nil, refuse("the event that began the study cannot be amended; begin another study instead")
	case d.rec.Voided(e.ID):
		now, _ := d.rec.Stands(e.ID)
		return nil, refuse("event %d was set aside already", e.Seq).because(AlreadyAside{e, now})
	}
	return []tracker.Event{e}, nil
}

// reasoned refuses an amendment without its reason.
func (d *Desk) reasoned() error {
	if d.Reason == "" {
		return refuse("an amendment wants a reason that stays on record; nothing recorded")
	}
	return nil
}

// amended commits an amendment whose verdict is nobody's, and tells what asks
// only since then.
func (d *Desk) amended(out *Outcome, fact tracker.Event, said Note) error {
	before := d.asking()
	if _, err := d.db.Record(fact); err != nil {
		return meanwhile(err)
	}
	out.add(said)
	return d.asksNow(out, before)
}

// dealt reads a word that must mean a specimen of the study.
func (d *Desk) dealt(out *Outcome, word string) (Subject, *tracker.Life, error) {
	sub, err := d.Specimen(out, word)
	if err != nil {
		return sub, nil, err
	}
	life := lifeOf(d.rec, sub)
	if life == nil {
		return sub, nil, refuse("%s was never dealt in this study; nothing recorded", sub.Code)
	}
	return sub, life, nil
}

// A Relabel is a form: the label of one half is printed again or, where Was
// names one, an unknown code is explained.
type Relabel struct {
	Subject string
	Was     string // the unknown code that meant this specimen; empty: printed again
	Until   string // with Was: the time until which it did; empty: for ever
	Sure    bool   // doubtful times stand
}

func (f Relabel) take(d *Desk, out *Outcome) (err error) {
	if err := d.reasoned(); err != nil {
		return err
	}
	sub, life, err := d.dealt(out, f.Subject)
	switch {
	case err != nil:
		return err
	case f.Was != "":
		return d.explain(out, f, sub)
	case sub.Half == 0:
		return refuse("which label of %s is printed again?", sub.Code).because(WhichLabel{sub.Code})
	}
	fact := about(d.event(tracker.Relabelled), sub)
	fact.Issue = max(1, life.Issue[sub.Half-1]) + 1
	out.add(Advised{PrintAgain{sub.String(), d.rec.SuggestedStock()}})
	return d.keep(out, fact)
}

// explain says which specimen a code meant that nobody knew: unless a time was
// given from the beginning, so that what was read before is explained too.
func (d *Desk) explain(out *Outcome, f Relabel, sub Subject) error {
	unknown, err := d.Specimen(out, f.Was)
	if err != nil {
		return err
	}
	if lifeOf(d.rec, unknown) != nil {
		return refuse("%s is a specimen of this study, not an unknown code; nothing recorded", unknown.Code).
			with(ExchangeThem{sub.Code, unknown.Code})
	}
	fact := about(d.event(tracker.Relabelled), sub)
	fact.Other = unknown.Code
	if !d.Timed {
		fact.At = schedule.Span{}
	}
	if fact.Until, err = d.until(out, f.Until, fact.At); err != nil {
		return err
	}
	if err := d.undoubted(out, f.Sure); err != nil {
		return err
	}
	return d.amended(out, fact, Explained{fact})
}

// An Exchange is a form: two labels sat on each other's specimen.
type Exchange struct {
	A, B  string
	From  string // the time from which they did
	Until string // the time until which; empty: for ever
	Sure  bool   // doubtful times stand
}

func (f Exchange) take(d *Desk, out *Outcome) (err error) {
	fact, err := d.exchanged(out, f)
	if err == nil {
		err = d.undoubted(out, f.Sure)
	}
	if err != nil {
		return err
	}
	if err := d.amended(out, fact, Exchanged{fact}); err != nil {
		return err
	}
	d.roundAbout(out, fact)
	if e, _ := d.rec.Event(fact.ID); e.Until.IsZero() {
		out.add(Advised{StillExchanged{e}})
	}
	return nil
}

func (d *Desk) exchanged(out *Outcome, f Exchange) (fact tracker.Event, err error) {
	if err := d.reasoned(); err != nil {
		return fact, err
	}
	a, _, err := d.dealt(out, f.A)
	if err != nil {
		return fact, err
	}
	b, _, err := d.dealt(out, f.B)
	switch {
	case err != nil:
		return fact, err
	case a.Code == b.Code:
		return fact, refuse("%s cannot be exchanged with itself", a.Code)
	}
	fact = d.event(tracker.Exchanged)
	fact.Code, fact.Other = a.Code, b.Code
	if fact.At, fact.Doubt, err = d.moment(out, "from", f.From); err != nil {
		return fact, err
	}
	if fact.Until, err = d.until(out, f.Until, fact.At); err != nil {
		return fact, err
	}
	return fact, d.exchangedAlready(fact)
}

// exchangedAlready refuses an exchange of two labels at a time when they are
// exchanged anyhow: it would change nothing, and look as if it did.
func (d *Desk) exchangedAlready(fact tracker.Event) error {
	for _, e := range d.rec.Events() {
		same := e.Code == fact.Code && e.Other == fact.Other || e.Code == fact.Other && e.Other == fact.Code
		if e.Kind != tracker.Exchanged || !same || d.rec.Voided(e.ID) || fact.At.From.Before(e.At.From) ||
			!e.Until.IsZero() && !fact.At.From.Before(e.Until.To) {
			continue
		}
		return refuse("%s and %s are exchanged already; nothing recorded", fact.Code, fact.Other).
			because(ExchangedAlready{fact.Code, fact.Other, e, d.Zone()}).with(VoidAndExchange{e.Seq})
	}
	return nil
}

// A Move is a form: specimens went into another bath.
type Move struct {
	Subjects []string
	Bath     string
}

func (f Move) take(d *Desk, out *Outcome) (err error) {
	if err := d.reasoned(); err != nil {
		return err
	}
	if f.Bath == "" {
		return refuse("a move wants the bath that they went into; nothing recorded")
	}
	subjects, err := d.subjects(out, f.Subjects)
	if err != nil {
		return err
	}
	var events []tracker.Event
	for _, sub := range each(subjects) {
		if err := d.movable(sub); err != nil {
			return err
		}
		fact := about(d.event(tracker.Moved), sub)
		fact.Bath = f.Bath
		events = append(events, fact)
	}
	if !slices.ContainsFunc(d.rec.Study().Adhesives, func(a tracker.Adhesive) bool { return a.Bath == f.Bath }) {
		out.add(NoPlan{f.Bath})
	}
	return d.keep(out, events...)
}

// movable refuses what lies in no bath.
func (d *Desk) movable(sub Subject) error {
	life := lifeOf(d.rec, sub)
	switch {
	case sub.Bath != "" || life == nil:
		return refuse("%s is no specimen of this study; nothing recorded", sub)
	case !slices.Contains(d.rec.Study().Path(life.Specimen), schedule.Immersion):
		return refuse("%s is never soaked, it lies in no bath; nothing recorded", sub)
	}
	return nil
}
