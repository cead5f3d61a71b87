package intake

import (
	"errors"
	"fmt"

	"soaktag/tracker"
	"soaktag/tracker/design"
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
	Missing bool // all that the plan in force wants beyond those dealt; nothing else is said then

	Of                         string // the earlier specimen whose halves were glued anew; empty for none
	Adhesive, Treatment, Board string // keys and a name of the plan in force
	NoBoard                    bool   // of no board, although the earlier one was
	Count                      int    // 1 to MostAdded
}

func (f Add) take(d *Desk, out *Outcome) (err error) {
	if err := d.reasoned(); err != nil {
		return err
	}
	deal, err := d.dealOf(out, f)
	if err != nil {
		return err
	}
	fact, err := d.dealMore(deal)
	if err != nil {
		return err
	}
	out.add(Added{fact, d.rec.SuggestedStock()})
	return nil
}

// A deal is what is to be added to the specimens dealt so far, each still without
// its code.
type deal func(dealt []tracker.Specimen) []tracker.Specimen

func (d *Desk) dealOf(out *Outcome, f Add) (deal, error) {
	if f.Missing {
		return d.missing(f)
	}
	if f.Count < 1 || f.Count > MostAdded {
		return nil, refuse("add 1 to %d specimens at a time; nothing recorded", MostAdded).because(HowMany{f.Count, MostAdded})
	}
	model, err := d.model(out, f)
	return func(dealt []tracker.Specimen) (more []tracker.Specimen) {
		for i := range f.Count {
			model.Order = len(dealt) + i + 1
			more = append(more, model)
		}
		return more
	}, err
}

// missing deals what the plan in force lacks, as the first were dealt.
func (d *Desk) missing(f Add) (deal, error) {
	alone := f
	alone.Missing, alone.Count = false, 0
	if alone != (Add{}) {
		return nil, refuse("all that is missing is added, of every group; nothing recorded").because(MissingAlone{})
	}
	all := func(dealt []tracker.Specimen) []tracker.Specimen { return design.Missing(d.rec.Study(), dealt) }
	if len(all(d.rec.Specimens())) == 0 {
		return nil, refuse("nothing is missing: every group has as many specimens as the plan in force wants; nothing recorded").with(PlanFirst{})
	}
	return all, nil
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

// dealMore records what is dealt under the next serials. Another program may deal
// between reading and writing: the store then refuses the serials, and it is
// dealt anew.
func (d *Desk) dealMore(deal deal) (tracker.Event, error) {
	fact := d.event(tracker.PlanAmended)
	for range mostTries {
		if err := d.refresh(); err != nil {
			return fact, err
		}
		fact.Dealt = deal(d.rec.Specimens())
		codes := d.rec.Undealt(len(fact.Dealt))
		if len(codes) < len(fact.Dealt) {
			return fact, refuse("only %d serials are left under the prefix %s; nothing recorded", len(codes), d.rec.Study().Prefix)
		}
		for i, code := range codes {
			fact.Dealt[i].Code = code
		}
		if _, err := d.db.Record(fact); !errors.Is(err, tracker.ErrDealt) {
			return fact, err
		}
	}
	return fact, fmt.Errorf("other programs go on adding specimens; NOT recorded, try again")
}
