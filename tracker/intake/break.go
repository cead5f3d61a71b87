package intake

import (
	"strings"

	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/quantity"
	"soaktag/tracker/strength"
)

// A Try is a form: one try at breaking a specimen, or a dummy. All of it is as
// typed; what was left empty was not said.
type Try struct {
	Subject     string // one specimen, or dummy
	Reading     string // of the gauge, with its unit
	Ended       string // how the try ended; as much as tells the ways apart will do
	Rig         string // the plan's only one unless named
	WoodFailure string // percent of the face that failed in the wood
	Mode        string // failure mode
	State       string // at the break, where it is not as planned
}

func (f Try) take(d *Desk, out *Outcome) (err error) {
	sub, err := d.toBreak(out, f)
	if err != nil {
		return err
	}
	try, err := d.tryOf(out, f)
	if err != nil {
		return err
	}
	out.Notes = append(out.Notes, foreign(d.rec.Study().Rig(try.Rig), try.Reading)...)
	fact := about(d.event(tracker.Tried), sub)
	fact.Try = &try
	if err := d.keep(out, fact); err != nil {
		return err
	}
	return d.came(out, fact)
}

// came says what a recorded try comes to, and of a dummy what that shows.
func (d *Desk) came(out *Outcome, fact tracker.Event) error {
	if err := d.weigh(out, fact); err != nil {
		return err
	}
	if fact.Code == tracker.DummyCode {
		out.add(showed(d.rec.Study(), *fact.Try))
	}
	return nil
}

// toBreak is what a try is about: a dummy, or one specimen.
func (d *Desk) toBreak(out *Outcome, f Try) (Subject, error) {
	if IsDummy(d.rec, f.Subject) {
		return Dummy(), OfDummy(f.says)
	}
	return d.Specimen(out, f.Subject)
}

// OfDummy refuses what is kept of specimens only, by its name: a dummy tries the
// rig. The error is a *Refusal.
func OfDummy(given func(name string) bool) error {
	for _, name := range []string{"wood-failure", "mode", "state"} {
		if given(name) {
			return refuse("a dummy tries the rig: %s is kept of specimens only; nothing recorded", name).because(OfSpecimens{name})
		}
	}
	return nil
}

// says reports whether the form says something under a name of OfDummy.
func (f Try) says(name string) bool {
	return strings.TrimSpace(map[string]string{"wood-failure": f.WoodFailure, "mode": f.Mode, "state": f.State}[name]) != ""
}

// tryOf reads what the form says of the try, in the order in which the press
// shows it.
func (d *Desk) tryOf(out *Outcome, f Try) (try tracker.Try, err error) {
	study := d.rec.Study()
	if try.How, err = ParseEnded(f.Ended); err != nil {
		return try, d.howToBreak(f, err)
	}
	if try.Reading, err = ParseReading(study.Units, try.How, inUnit(strings.TrimSpace(f.Reading), unitOf(rigOf(study, f.Rig)))); err != nil {
		return try, err
	}
	if try.Rig, err = d.triedOn(try.How, f.Rig); err != nil {
		return try, err
	}
	if try.Rig != "" && study.Rig(try.Rig) == nil {
		out.add(UnknownRig{try.Rig})
	}
	if strings.TrimSpace(f.WoodFailure) != "" {
		percent, err := ParsePercent(f.WoodFailure)
		if err != nil {
			return try, err
		}
		try.WoodFailure = &percent
	}
	if strings.TrimSpace(f.State) != "" {
		try.State, err = ParseState(f.State)
	}
	try.Mode = strings.TrimSpace(f.Mode)
	return try, err
}

// howToBreak helps with a try of which nobody said how it ended: what to type for
// a whole one, its reading among it.
func (d *Desk) howToBreak(f Try, err error) error {
	r := refusalOf(err)
	if _, missing := r.Cause.(Missing); !missing {
		return r
	}
	return r.with(BreakWithReading{Subject: f.Subject, Reading: strings.TrimSpace(f.Reading), Choose: d.AsksRig(tracker.Separated)})
}

// weigh says what the reading of a recorded try comes to; nothing where it has
// none. It names no adhesive: breaking stays blind.
func (d *Desk) weigh(out *Outcome, fact tracker.Event) error {
	read, unread := quantity.ParseReading(fact.Try.Reading)
	if unread != nil {
		return nil
	}
	if err := d.reread(); err != nil {
		return err
	}
	load, err := strength.OfTry(d.rec.Study(), lifeRead(d.rec, Subject{Code: fact.Code}, fact.At.Mid()), *fact.Try)
	if err != nil {
		out.add(NoForce{read, err})
		return nil
	}
	out.add(Weighed{read, load})
	return nil
}

// showed compares what a dummy came to with what the breaks are expected to
// take on its rig.
func showed(study *tracker.Study, try tracker.Try) DummyShowed {
	shown := DummyShowed{How: try.How, Rig: try.Rig}
	if load, err := strength.OfTry(study, nil, try); err == nil {
		shown.Force = load.Force
	}
	var loads []design.Load
	loads, shown.Unknown = design.Loads(study)
	for _, l := range loads {
		if l.Rig == try.Rig {
			shown.Expected = append(shown.Expected, l)
		}
	}
	return shown
}

// Foresee says, before anything is asked about a break, what the record will
// ask of it; nothing where it is the specimen's next step.
func (d *Desk) Foresee(sub Subject) (out Outcome) {
	life := lifeRead(d.rec, sub, d.now())
	if life == nil {
		out.add(Foreseen{Subject: sub})
	} else if f := (Foreseen{sub, true, life.End, life.NextNamed()}); f.asks() {
		out.add(f)
	}
	return out
}
