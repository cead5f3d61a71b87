package intake

import (
	"bytes"
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/plan"
)

// A Difference is a value that differs between two plans.
type Difference = plan.Difference

// A Replan is a form: another plan governs what has yet to begin. Preview says
// beforehand what it would change.
type Replan struct {
	Name string // of the file, as a message names it
	Text []byte // the plan file
}

// A Replanned is what another plan would change, as it was foreseen.
type Replanned struct {
	Differences []Difference
	Moved       []Consequence // for those that will go by the new plan
	Kept        []Consequence // for those that began an interval before, and keep the old one
	Specimens   int

	DealsNothing bool // groups or replicates change, and an amendment deals no specimen
	StayInBath   bool // baths change, and specimens stay in theirs
	Reworked     int  // breaks whose results are worked out anew, as rig, rule or bond change
}

// Preview says what a plan would change if it were in force from the entry's
// time on. The error is a *Refusal where it may not be: it is the plan in force,
// would rewrite what happened, or comes in the wrong order.
func (d *Desk) Preview(f Replan) (Replanned, error) {
	r, _, err := d.foresee(f)
	return r, err
}

func (d *Desk) foresee(f Replan) (r Replanned, fact tracker.Event, err error) {
	if err := d.reasoned(); err != nil {
		return r, fact, err
	}
	next, err := plan.Read(f.Text)
	if err != nil {
		return r, fact, refuse("%v", err)
	}
	if bytes.Equal(d.rec.Study().Text, f.Text) {
		return r, fact, refuse("%s is the plan in force, to the letter; nothing recorded", f.Name).with(ChangeTheFile{f.Name})
	}
	if r.Differences, err = plan.Differences(d.rec.Study().Text, f.Text); err != nil {
		return r, fact, refuse("%v", err)
	}
	if confused := d.confused(f.Name, &next); len(confused) > 0 {
		return r, fact, refuse("%s", strings.Join(confused, "; ")).with(ChangeTheFile{f.Name})
	}
	if all := rewrites(d.rec, &next); len(all) > 0 {
		return r, fact, refuse("%s is refused: it would rewrite what happened; nothing recorded", f.Name).because(Rewriting{all})
	}
	fact = d.event(tracker.PlanAmended)
	fact.Plan, fact.Other = f.Text, d.rec.PlanEvent()
	if err := d.inOrder(fact); err != nil {
		return r, fact, err
	}
	after, err := d.rec.With(fact)
	if err != nil {
		return r, fact, refuse("%v", err)
	}
	r.foreseen(d.rec, after)
	return r, fact, nil
}

// confused tells which names of another plan would stand for two things. Those of
// the plan in force stay: it began before anybody asked.
func (d *Desk) confused(file string, next *tracker.Study) (texts []string) {
	now := plan.Names(file, d.rec.Study())
	for _, p := range plan.Names(file, next) {
		if !slices.ContainsFunc(now, func(q plan.Problem) bool { return q.Text == p.Text }) {
			texts = append(texts, p.Text+"; "+p.Hint)
		}
	}
	return texts
}

func (f Replan) take(d *Desk, out *Outcome) (err error) {
	_, fact, err := d.foresee(f)
	if err != nil {
		return err
	}
	before := d.asking()
	verdicts, err := d.db.Record(fact)
	if err != nil {
		return meanwhile(err)
	}
	out.add(PlanInForce{verdicts[0].Event})
	return d.asksNow(out, before, fact)
}

// clockSkew is how far ahead of the desk's clock an amendment may be said to be.
const clockSkew = time.Minute

// inOrder refuses an amendment from a time to come, or from before the plan
// that it was compared with: which plan is in force must not depend on who asks.
func (d *Desk) inOrder(fact tracker.Event) error {
	if fact.At.From.After(d.now().Add(clockSkew)) {
		return refuse("an amendment holds from now or from earlier on; amend again then").because(FromTheFuture{fact.At, d.Zone()})
	}
	for _, e := range d.rec.Events() {
		if (e.Kind == tracker.Begun || e.Kind == tracker.PlanAmended) && !d.rec.Voided(e.ID) && fact.At.From.Before(e.At.From) {
			return refuse("an amendment from before the plan in force would be overruled by it; nothing recorded").because(Overruled{e.At, d.Zone()})
		}
	}
	return nil
}

// foreseen compares the record with what it would be.
func (r *Replanned) foreseen(before, after *tracker.Record) {
	var moved, kept counts[Consequence]
	lives := after.Lives()
	for i, life := range before.Lives() {
		compareLives(life, lives[i], after.Study().IntervalsOf(life.Specimen), &moved, &kept)
	}
	r.Specimens = len(lives)
	r.Moved, r.Kept = consequences(moved), consequences(kept)
	r.DealsNothing = r.touches("replicates", "seed", "spare") || r.newGroups()
	r.StayInBath = r.touches("bath")
	if r.touches("rig", "rule", "specimen.bond") {
		r.Reworked = broken(before)
	}
}

// A Consequence is what another plan means for one interval of so many specimens.
type Consequence struct {
	Change    Change
	Interval  string
	Planned   schedule.Planned // New, Altered: by the new plan; Kept: by the one that stays
	Was       schedule.Planned // Altered
	Specimens int
}

// A Change says what becomes of an interval.
type Change int

const (
	NewInterval  Change = iota // it had none by the plan before
	Altered                    // another length
	NotPlanned                 // no longer planned
	BegunAlready               // it began before, and keeps its length
)

// compareLives compares the intervals of one specimen before and after, and
// with those that the new plan has.
func compareLives(before, after *tracker.Life, planned []schedule.Interval, moved, kept *counts[Consequence]) {
	for _, iv := range planned {
		was, is := lapseNamed(before, iv.Name), lapseNamed(after, iv.Name)
		switch {
		case is != nil && was == nil:
			moved.add(Consequence{Change: NewInterval, Interval: iv.Name, Planned: iv.Planned})
		case is != nil && was.Interval.Planned != is.Interval.Planned:
			moved.add(Consequence{Change: Altered, Interval: iv.Name, Planned: is.Interval.Planned, Was: was.Interval.Planned})
		case is != nil && is.Interval.Planned != iv.Planned:
			kept.add(Consequence{Change: BegunAlready, Interval: iv.Name, Planned: is.Interval.Planned})
		}
	}
	for _, l := range before.Lapses {
		switch name := l.Interval.Name; {
		case slices.ContainsFunc(planned, func(iv schedule.Interval) bool { return iv.Name == name }):
		case lapseNamed(after, name) == nil:
			moved.add(Consequence{Change: NotPlanned, Interval: name})
		default:
			kept.add(Consequence{Change: BegunAlready, Interval: name, Planned: l.Interval.Planned})
		}
	}
}

func lapseNamed(life *tracker.Life, name string) *tracker.Lapse {
	for i := range life.Lapses {
		if life.Lapses[i].Interval.Name == name {
			return &life.Lapses[i]
		}
	}
	return nil
}

func consequences(t counts[Consequence]) []Consequence {
	all := slices.Clone(t.order)
	for i, c := range t.order {
		all[i].Specimens = t.n[c]
	}
	return all
}

// touches reports whether a part of the plan differs that has one of the names.
func (r *Replanned) touches(parts ...string) bool {
	return slices.ContainsFunc(r.Differences, func(d Difference) bool {
		return slices.ContainsFunc(parts, func(p string) bool { return strings.Contains("."+d.Key+".", "."+p+".") })
	})
}

// newGroups reports whether an adhesive or treatment is new.
func (r *Replanned) newGroups() bool {
	return slices.ContainsFunc(r.Differences, func(d Difference) bool {
		return d.Old == "" && (strings.HasPrefix(d.Key, "adhesive.") && strings.HasSuffix(d.Key, ".name") ||
			strings.HasPrefix(d.Key, "treatment.") && strings.Count(d.Key, ".") == 2)
	})
}

func broken(rec *tracker.Record) (n int) {
	for _, life := range rec.Lives() {
		if len(life.Tries) > 0 {
			n++
		}
	}
	return n
}
