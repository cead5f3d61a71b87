package intake

import (
	"soaktag/schedule"
	"soaktag/tracker"
)

// A proposal is what the question for the next specimen showed. Enter takes that,
// however long it comes after: what is proposed by now may be another one.
type proposal struct {
	WhichSpecimen
	progress progress
}

// A progress is how far a specimen has come, as far as its break goes.
type progress struct {
	tries int
	next  schedule.Stage
	end   tracker.Ending
}

func (d *Desk) progress(code string) progress {
	life := lifeRead(d.rec, Subject{Code: code}, d.now())
	if life == nil {
		return progress{}
	}
	return progress{len(life.Tries), life.Next, life.End}
}

// proposed is what the question in hand shows, the same until a line comes.
func (d *Desk) proposed() proposal {
	if d.sit.shown == nil {
		q := d.whichSpecimen()
		d.sit.shown = &proposal{q, d.progress(q.Next)}
	}
	return *d.sit.shown
}

// overtaken says that something happened to what was proposed while nobody
// answered, and proposes anew.
func (d *Desk) overtaken(out *Outcome, code string) error {
	d.sit.again = nil
	why := refuse("%s: something was recorded about it since it was proposed", code)
	return d.unanswered(out, why.with(Advice{"look at what is proposed now; its whole code takes it up all the same"}))
}
