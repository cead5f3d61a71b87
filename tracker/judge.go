package tracker

import (
	"cmp"
	"slices"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
)

// Verdict says what the record makes of an event that it holds.
func (r *Record) Verdict(e Event) Verdict { return r.outlook(e.Recorded).verdict(e) }

// Verdicts is Verdict for several events: what is expected of partners is worked
// out once for all that were written down together.
func (r *Record) Verdicts(events []Event) []Verdict {
	all := make([]Verdict, len(events))
	var ahead outlook
	for i, e := range events {
		if ahead.Record == nil || !ahead.now.Equal(e.Recorded) {
			ahead = r.outlook(e.Recorded)
		}
		all[i] = ahead.verdict(e)
	}
	return all
}

func (r outlook) verdict(e Event) Verdict {
	v := Verdict{Event: e}
	if e.Code == "" || r.study == nil {
		return v
	}
	at := r.Corrected(e)
	i, ok := r.meaning(e.Code, at.Mid())
	if !ok {
		v.Marks = r.strayMarks(e)
		return v
	}
	life := r.whole(i)
	v.Specimen, v.Next = &life.Specimen, r.dueOf(life)
	for _, m := range life.Marks {
		if m.Event == e.ID {
			v.Marks = append(v.Marks, m)
		}
	}
	return v
}

// Marks lists every mark of the study, oldest first, those of codes that
// nobody knows among them.
func (r *Record) Marks() []Mark {
	var all []Mark
	for i := range r.specimens {
		all = append(all, r.whole(i).Marks...)
	}
	for _, events := range r.stray {
		for _, e := range events {
			all = append(all, r.strayMarks(*e)...)
		}
	}
	all = append(all, r.ofNobody()...)
	slices.SortStableFunc(all, func(a, b Mark) int {
		return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Code, b.Code), cmp.Compare(a.Event, b.Event))
	})
	return all
}

// OpenMarks lists the marks that ask, oldest first.
func (r *Record) OpenMarks() []Mark {
	return slices.DeleteFunc(r.Marks(), func(m Mark) bool { return !m.Open() })
}

// strayMarks asks about an event whose code names no specimen.
func (r *Record) strayMarks(e Event) []Mark {
	at := r.Corrected(e).Mid()
	if _, known := r.meaning(e.Code, at); known || r.Voided(e.ID) || !r.visible(&e) {
		return nil
	}
	m := Mark{Rule: RuleUnknownCode, About: NeverDealt{e.Code}, Remedy: Remedy{Do: Relabel, Code: e.Code},
		Asks: true, Event: e.ID, Code: e.Code, At: at}
	if e.Code == DummyCode && slices.Contains([]Kind{Tried, Voided, Noted, Photographed}, e.Kind) {
		return nil // all that can be about a dummy
	}
	if trial, ok := TrialOf(e.Code); ok {
		if _, printed := r.trialStock(r.stray[e.Code]); printed {
			return nil
		}
		m.About, m.Remedy = NeverPrinted{trial}, Remedy{}
	}
	m.Accepted = r.acceptance(m)
	return []Mark{m}
}

// An Entry is one line of a specimen's history.
type Entry struct {
	Event
	Voided bool
	Span   schedule.Span // corrected
	Aside  bool          // a try that says it parted the bond, where another is the break
}

// History lists all events of a specimen in the order of its life, those that
// do not count among them; nil when no such specimen was dealt.
func (r *Record) History(c labels.Code) []Entry {
	i, ok := r.byCode[c.Whole()]
	if !ok {
		return nil
	}
	var entries []Entry
	for _, x := range r.facts(i) {
		aside := slices.ContainsFunc(r.alone(i).Tries, func(t TryAt) bool { return t.Aside && t.Event == x.ID })
		entries = append(entries, Entry{*x.Event, r.Voided(x.ID), x.at, aside})
	}
	if dealing := r.dealing(c); len(dealing) > 0 {
		entries = append(entries, dealing...)
		slices.SortStableFunc(entries, func(a, b Entry) int { return a.Span.Mid().Compare(b.Span.Mid()) })
	}
	return entries
}

// AsOf returns the record as it stood at an instant: without what happened
// later. What corrects the record (voids, exchanges, clocks, and that an entry
// was replaced by another) holds whenever it was written. A plan amended later is
// not in force yet, and a specimen added later not there.
func (r *Record) AsOf(t time.Time) *Record {
	past := NewRecord(r.read)
	past.horizon = t
	for _, e := range r.log {
		past.Add(*e) // the plan was read before: no error can come
	}
	return past
}
