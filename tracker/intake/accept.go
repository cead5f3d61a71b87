package intake

import (
	"soaktag/labels"
	"soaktag/tracker"
)

// An Accept is a form: marks that ask stand, for the reason that the entry
// gives. With neither a word nor a rule it means every mark that asks.
type Accept struct {
	Word string // a code, a trial label or an event; empty for all
	Rule string // only marks of this rule; empty for all
}

func (f Accept) take(d *Desk, out *Outcome) (err error) {
	if d.Reason == "" {
		return refuse("accepting wants a reason that stays on record; nothing recorded")
	}
	marks, err := chosen(d.rec, f)
	if err != nil {
		return err
	}
	if len(marks) == 0 {
		out.add(NothingAsksThere{})
		return nil
	}
	if err := d.accepted(out, d.acceptances(marks, d.Reason), d.Reason); err != nil {
		return err
	}
	if err := d.readBack(); err != nil {
		return err
	}
	out.add(Stand{asNow(d.rec, marks)})
	return nil
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

// chosen lists the marks that ask, of one code or event and of one rule.
func chosen(rec *tracker.Record, f Accept) ([]tracker.Mark, error) {
	means := func(tracker.Mark) bool { return true }
	if f.Word != "" {
		var err error
		if means, err = markMeant(rec, f.Word); err != nil {
			return nil, err
		}
	}
	var marks []tracker.Mark
	for _, m := range rec.Marks() {
		if m.Open() && means(m) && (f.Rule == "" || tracker.PlainWord(f.Rule) == tracker.PlainWord(string(m.Rule))) {
			marks = append(marks, m)
		}
	}
	return marks, nil
}

// markMeant tells the marks of a code as the record knows it, of a code that
// nobody knows, of a trial label, or of an event.
func markMeant(rec *tracker.Record, word string) (func(tracker.Mark) bool, error) {
	ofCode := func(code string) func(tracker.Mark) bool {
		return func(m tracker.Mark) bool { return m.Code == code }
	}
	if sp, _, err := rec.Resolve(word); err == nil {
		return ofCode(sp.Code.Whole().String()), nil
	}
	if code, err := labels.Parse(word); err == nil {
		return ofCode(code.Whole().String()), nil
	}
	if t, _, ok := labels.ParseTrial(word); ok {
		return ofCode(t.Symbol()), nil
	}
	e, err := eventNamed(rec, word)
	if err != nil {
		return nil, refuse("%s is neither a code nor an event of this study", Quoted(word)).with(SeeWhatAsks{})
	}
	return func(m tracker.Mark) bool { return m.Event == e.ID }, nil
}
