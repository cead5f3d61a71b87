package intake

import (
	"errors"
	"fmt"

	"soaktag/labels"
	"soaktag/tracker"
)

// MostAdded is how many specimens are added at once: far more than anybody
// glues after the plan; beyond it is a slip.
const MostAdded = 100

// mostTries is how often serials are chosen anew because another program dealt
// the same ones first.
const mostTries = 50

// An Add is a form: specimens are dealt after the study began, more of a group,
// or one glued anew from the halves of an earlier one, of which it takes over
// what is left empty here. They get the next serials.
type Add struct {
	Of                         string // the earlier specimen whose halves were glued anew; empty for none
	Adhesive, Treatment, Board string // keys and a name of the plan in force
	NoBoard                    bool   // of no board, although the earlier one was
	Count                      int    // 1 to MostAdded
}

func (f Add) take(d *Desk, out *Outcome) (err error) {
	if err := d.reasoned(); err != nil {
		return err
	}
	if f.Count < 1 || f.Count > MostAdded {
		return refuse("add 1 to %d specimens at a time; nothing recorded", MostAdded).because(HowMany{f.Count, MostAdded})
	}
	model, err := d.model(out, f)
	if err != nil {
		return err
	}
	fact, err := d.dealMore(model, f.Count)
	if err != nil {
		return err
	}
	out.add(Added{fact})
	return nil
}

// model is a specimen as those to be added will be, still without its code.
func (d *Desk) model(out *Outcome, f Add) (sp tracker.Specimen, err error) {
	if f.Of != "" {
		_, parent, err := d.dealt(out, f.Of)
		if err != nil {
			return sp, err
		}
		sp = reglued(out, parent)
	}
	for text, to := range map[*string]*string{&f.Adhesive: &sp.Adhesive, &f.Treatment: &sp.Treatment, &f.Board: &sp.Board} {
		if *text != "" {
			*to = *text
		}
	}
	if f.NoBoard {
		sp.Board = ""
	}
	return sp, fitting(out, d.rec.Study(), &sp)
}

// reglued is what a specimen glued anew takes over from its parent.
func reglued(out *Outcome, parent *tracker.Life) tracker.Specimen {
	if len(parent.Tries) == 0 {
		out.add(NoHalves{parent.Specimen.Code})
	}
	return tracker.Specimen{Parent: parent.Specimen.Code.Whole().String(), Adhesive: parent.Specimen.Adhesive,
		Treatment: parent.Specimen.Treatment, Board: parent.Specimen.Board}
}

// fitting checks a specimen against the plan in force and gives it its bath.
func fitting(out *Outcome, study *tracker.Study, sp *tracker.Specimen) error {
	a, t := study.Adhesive(sp.Adhesive), study.Treatment(sp.Treatment)
	switch {
	case sp.Adhesive == "" || sp.Treatment == "":
		return refuse("which adhesive and treatment, or glued anew from which specimen?").because(WhichGroup{})
	case a == nil:
		return refuse("no adhesive %q in the plan in force, which has %s; nothing recorded", sp.Adhesive, adhesiveKeys(study)).with(PlanFirst{})
	case t == nil:
		return refuse("no treatment %q in the plan in force, which has %s; nothing recorded", sp.Treatment, treatmentKeys(study)).with(PlanFirst{})
	case sp.Board != "" && !hasBoard(study, sp.Board):
		return refuse("no board %q in the plan in force; nothing recorded", sp.Board).with(PlanFirst{Board: true})
	case sp.Board == "" && len(study.Wood.Boards) > 0:
		out.add(FromNoBoard{})
	}
	if t.Soaked {
		sp.Bath = a.Bath
	}
	return nil
}

// dealMore records n specimens like the model under the next serials. Another
// program may deal between reading and writing: the store then refuses the
// serials, and the next ones are taken.
func (d *Desk) dealMore(model tracker.Specimen, n int) (tracker.Event, error) {
	fact := d.event(tracker.PlanAmended)
	for range mostTries {
		if err := d.refresh(); err != nil {
			return fact, err
		}
		codes := d.rec.Undealt(n)
		if len(codes) < n {
			return fact, refuse("only %d serials are left under the prefix %s; nothing recorded", len(codes), d.rec.Study().Prefix)
		}
		fact.Dealt = dealtLike(model, codes, len(d.rec.Specimens()))
		if _, err := d.db.Record(fact); !errors.Is(err, tracker.ErrDealt) {
			return fact, err
		}
	}
	return fact, fmt.Errorf("other programs go on adding specimens; NOT recorded, try again")
}

// dealtLike gives a model the codes, and places in the order dealt after the
// last one.
func dealtLike(model tracker.Specimen, codes []labels.Code, last int) (dealt []tracker.Specimen) {
	for i, code := range codes {
		sp := model
		sp.Code, sp.Order = code, last+i+1
		dealt = append(dealt, sp)
	}
	return dealt
}
