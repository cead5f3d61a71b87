package intake

import (
	"slices"

	"soaktag/labels"
	"soaktag/tracker"
	"soaktag/tracker/strength"
)

// An Accept is a form: marks that ask stand, for the reason that the entry
// gives. With neither a word nor a rule it means every mark that asks.
type Accept struct {
	Words []string // codes, trial labels, events, words that name several; none for all
	Rule  string   // only marks of this rule; empty for all
}

func (f Accept) take(d *Desk, out *Outcome) (err error) {
	if d.Reason == "" {
		return refuse("accepting wants a reason that stays on record; nothing recorded")
	}
	marks, left, err := d.chosen(f)
	if err != nil {
		return err
	}
	if len(left) > 0 {
		out.add(AcceptedAlone{left})
	}
	if len(marks) == 0 && len(left) == 0 {
		out.add(NothingAsksThere{})
	}
	if len(marks) == 0 {
		return nil
	}
	if err := d.accepted(out, d.acceptances(marks, d.Reason), d.Reason); err != nil {
		return err
	}
	if err := d.reread(); err != nil {
		return err
	}
	out.add(Stand{asNow(d.rec, marks)})
	d.stakes(out, marks)
	return nil
}

// Offer lists the marks that a form would accept, before a reason is given.
func (d *Desk) Offer(f Accept) (out Outcome, marks []tracker.Mark, err error) {
	marks, left, err := d.chosen(f)
	if len(left) > 0 {
		out.add(AcceptedAlone{left})
	}
	if len(marks) > 0 {
		out.add(Marked{marks})
	} else if err == nil && len(left) == 0 {
		out.add(NothingAsksThere{})
	}
	return out, marks, err
}

// Stakes tells what accepting marks does not mend, before they are: to somebody who
// can be asked, or where the entry accepts them beforehand.
func (d *Desk) Stakes(marks []tracker.Mark, somebody bool) (out Outcome) {
	if (somebody || d.Yes && d.Reason != "") && d.refresh() == nil {
		d.stakes(&out, marks)
	}
	return out
}

func (d *Desk) stakes(out *Outcome, marks []tracker.Mark) {
	if stakes := strength.StakesOf(d.rec, d.now(), marks); len(stakes) > 0 {
		out.add(StillAtStake{stakes})
	}
}

// asNow are marks as the record has them now: what was accepted may say otherwise
// since.
func asNow(rec *tracker.Record, marks []tracker.Mark) []tracker.Mark {
	now := map[markKey]tracker.Mark{}
	for _, m := range rec.Marks() {
		now[keyOf(m)] = m
	}
	var out []tracker.Mark
	for _, m := range marks {
		if as, known := now[keyOf(m)]; known {
			m = as
		}
		out = append(out, m)
	}
	return out
}

// chosen lists the marks that ask, of some codes and events and of one rule. left are
// those that only their rule or their event means: what would make another try the
// break is not accepted beside others, for a reason meant for them.
func (d *Desk) chosen(f Accept) (marks, left []tracker.Mark, err error) {
	var meant []chosenBy
	for _, word := range f.Words {
		by, err := d.markMeant(word)
		if err != nil {
			return nil, nil, err
		}
		meant = append(meant, by)
	}
	for _, m := range d.rec.Marks() {
		named := f.Rule != "" && m.Rule.Is(f.Rule)
		of := len(meant) == 0
		for _, by := range meant {
			means := by.means(m)
			of, named = of || means, named || means && by.event
		}
		switch ok := m.Open() && of && (f.Rule == "" || m.Rule.Is(f.Rule)); {
		case ok && !named && m.SwapsBreak():
			left = append(left, m)
		case ok:
			marks = append(marks, m)
		}
	}
	return marks, left, nil
}

// A chosenBy tells the marks that a word means; event: of one event.
type chosenBy struct {
	means func(tracker.Mark) bool
	event bool
}

// markMeant tells the marks of a code as the record knows it, of a code that
// nobody knows, of a trial label, of specimens named together, or of an event.
func (d *Desk) markMeant(word string) (chosenBy, error) {
	ofCode := func(code string) chosenBy {
		return chosenBy{means: func(m tracker.Mark) bool { return m.Code == code }}
	}
	rec := d.rec
	if sp, _, err := rec.Resolve(word); err == nil {
		return ofCode(sp.Code.Whole().String()), nil
	}
	if code, err := labels.Parse(word); err == nil {
		return ofCode(code.Whole().String()), nil
	}
	if t, _, ok := labels.ParseTrial(word); ok {
		return ofCode(t.Symbol()), nil
	}
	if sub, ok, refused := readSeveral(rec, word, d.now()); ok {
		return chosenBy{means: func(m tracker.Mark) bool {
			code, err := labels.Parse(m.Code)
			return err == nil && slices.Contains(sub.Several.Codes, code.Whole())
		}}, refused
	}
	e, err := eventNamed(rec, word)
	if err != nil {
		return chosenBy{}, refuse("%s is neither a code nor an event of this study", Quoted(word)).with(SeeWhatAsks{})
	}
	return chosenBy{func(m tracker.Mark) bool { return m.Event == e.ID }, true}, nil
}
