package intake

import (
	"strings"

	"soaktag/tracker"
)

// subjects reads all of the words or none, and notes how those that are no full
// code were understood.
func (d *Desk) subjects(out *Outcome, words []string) ([]Subject, error) {
	var all, echoed []Subject
	for _, word := range words {
		sub, err := d.named(word)
		if err != nil {
			return nil, notTaken(err)
		}
		if d.toEcho(sub) {
			echoed = append(echoed, sub)
		}
		all = append(all, sub)
	}
	if len(echoed) > 0 {
		out.add(ReadAs{echoed})
	}
	return all, nil
}

// named is what a word of a form names: one thing first, then several.
func (d *Desk) named(word string) (Subject, error) {
	sub, err := readSubject(d.rec, word)
	if err == nil {
		return sub, nil
	}
	if several, ok, refused := readSeveral(d.rec, word, d.now()); ok {
		return several, refused
	}
	if lead := strings.ToLower(word); lead == "bath" || lead == "board" {
		return sub, refuse("%q stands alone", word).with(InQuotes{lead})
	}
	return sub, err
}

// toEcho reports whether it is to be said how a text that is no full code was
// understood: the first time that a desk meets it.
func (d *Desk) toEcho(sub Subject) bool {
	if !sub.read || d.echoed[sub.Text] {
		return false
	}
	d.echoed[sub.Text] = true
	return true
}

// notTaken says of a refusal that with it the whole input is refused.
func notTaken(err error) error {
	if r, ok := err.(*Refusal); ok {
		return refuse("%s; nothing recorded", r.Why).with(r.Help)
	}
	return err
}

// Specimen reads a word that must mean a specimen, not a bath.
func (d *Desk) Specimen(out *Outcome, word string) (Subject, error) {
	subjects, err := d.subjects(out, []string{word})
	if err != nil {
		return Subject{}, err
	}
	switch {
	case subjects[0].Bath != "":
		return Subject{}, refuse("%q is a bath; name one specimen", word)
	case subjects[0].Several != nil:
		return Subject{}, refuse("%q is several; name one specimen", word)
	}
	return subjects[0], nil
}

// spread makes one event of the fact for every subject, and for every specimen
// of a bath. What a refusal is of, one thing or the whole input, its caller says.
func (d *Desk) spread(out *Outcome, fact tracker.Event, subjects []Subject) ([]tracker.Event, error) {
	var events []tracker.Event
	for _, sub := range subjects {
		made, err := d.eventsOf(out, fact, sub)
		if err != nil {
			return nil, err
		}
		events = append(events, made...)
	}
	return events, nil
}

func (d *Desk) eventsOf(out *Outcome, fact tracker.Event, sub Subject) ([]tracker.Event, error) {
	switch {
	case fact.Stage == tracker.WaterChange:
		return d.ofWater(fact, sub)
	case sub.ofTrial():
		return d.ofTrials(fact, sub)
	case sub.Several != nil:
		return d.ofSeveral(out, fact, sub)
	case sub.Bath == "":
		return []tracker.Event{about(fact, sub)}, nil
	case fact.Kind == tracker.Noted:
		fact.Bath = sub.Bath
		return []tracker.Event{about(fact, sub)}, nil
	}
	return d.ofBath(out, fact, sub.Bath)
}

// ofBath makes the events of a fact about a bath: one for every specimen that
// its tag means.
func (d *Desk) ofBath(out *Outcome, fact tracker.Event, bath string) ([]tracker.Event, error) {
	lives, others := d.inBath(fact, bath)
	if len(lives) == 0 {
		return nil, d.nobodyIn(bath, fact.Stage)
	}
	for _, n := range others {
		out.add(n)
	}
	fact.Bath, fact.Via = bath, "bath"
	var events []tracker.Event
	for _, life := range lives {
		events = append(events, about(fact, Subject{Code: life.Specimen.Code.Whole().String()}))
	}
	return events, nil
}

// about is the fact with a subject and an id of its own, of the same command.
func about(fact tracker.Event, sub Subject) tracker.Event {
	of, _ := runOf(fact.ID)
	fact.ID = of.newID()
	fact.Code, fact.Half = sub.Code, sub.Half
	return fact
}
