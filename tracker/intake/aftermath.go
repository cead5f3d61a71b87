package intake

import (
	"slices"

	"soaktag/labels"
	"soaktag/tracker"
)

// A markKey tells a mark from all others of a record.
type markKey struct{ event, rule, code string }

func keyOf(m tracker.Mark) markKey { return markKey{m.Event, string(m.Rule), m.Code} }

// A footing is how lives stood before something was recorded of them: what asked,
// and which try was the break.
type footing struct {
	of    []tracker.Event // that are recorded
	asked map[markKey]bool
	broke map[labels.Code]tracker.TryAt
}

// footingOf is how the lives stand that events are about.
func footingOf(rec *tracker.Record, events []tracker.Event) footing {
	s := footing{events, map[markKey]bool{}, map[labels.Code]tracker.TryAt{}}
	for _, life := range touched(rec, events) {
		for _, m := range life.Marks {
			if m.Open() {
				s.asked[keyOf(m)] = true
			}
		}
		if b := life.Break(); b != nil {
			s.broke[life.Specimen.Code] = *b
		}
	}
	return s
}

// touched are the lives that events are about, each once, and those of what they
// replace.
func touched(rec *tracker.Record, events []tracker.Event) (all []*tracker.Life) {
	seen := map[string]bool{}
	take := func(code string) {
		if seen[code] || code == "" {
			return
		}
		seen[code] = true
		if life := lifeOf(rec, Subject{Code: code}); life != nil {
			all = append(all, life)
		}
	}
	for _, e := range events {
		take(e.Code)
		if old, corrects := rec.Event(e.Target); corrects {
			take(old.Code)
		}
	}
	return all
}

// sinceThen tells what changed in those lives since the events were recorded: what asks
// newly of earlier entries, what asks again although it was accepted of the entry that
// was replaced, and which try is the break in place of another.
func (s footing) sinceThen(out *Outcome, rec *tracker.Record) {
	s.brokenSince(out, rec)
	var marks []tracker.Mark
	for _, life := range touched(rec, s.of) {
		marks = append(marks, life.Marks...)
	}
	asksSince(out, rec, marks, s.asked, s.of)
}

// asksSince tells which marks ask that did not before: anew, or again although they
// were accepted of the entry that was replaced. What hangs on events that were told
// already is left out.
func asksSince(out *Outcome, rec *tracker.Record, marks []tracker.Mark, before map[markKey]bool, told []tracker.Event) {
	var asking []tracker.Mark
	for _, m := range marks {
		if !m.Open() || before[keyOf(m)] {
			continue
		}
		if reason := acceptedBefore(rec, m); reason != "" {
			out.add(AsksAgain{m, reason})
		} else if !isOf(told, m) {
			asking = append(asking, m)
		}
	}
	if len(asking) > 0 {
		out.add(AsksNow{asking})
	}
}

func isOf(events []tracker.Event, m tracker.Mark) bool {
	return slices.ContainsFunc(events, func(e tracker.Event) bool { return e.ID == m.Event })
}

// brokenSince tells of the break alone.
func (s footing) brokenSince(out *Outcome, rec *tracker.Record) {
	for _, life := range touched(rec, s.of) {
		s.broken(out, rec, life)
	}
}

// broken tells that another try is the break than before; not of one that was only
// corrected.
func (s footing) broken(out *Outcome, rec *tracker.Record, life *tracker.Life) {
	was, parted := s.broke[life.Specimen.Code]
	now := life.Break()
	if !parted || now == nil || now.Event == was.Event {
		return
	}
	if stands, _ := rec.Stands(was.Event); stands.ID != now.Event {
		out.add(BreakNow{life.Specimen.Code, was, *now})
	}
}

// acceptedBefore is the reason with which a mark was accepted of an entry that the one
// it hangs on now replaced; empty where it never was.
func acceptedBefore(rec *tracker.Record, m tracker.Mark) (reason string) {
	replaced := map[string]bool{}
	for e, ok := rec.Event(m.Event); ok && e.Target != "" && !replaced[e.Target]; e, ok = rec.Event(e.Target) {
		replaced[e.Target] = true
	}
	if len(replaced) == 0 {
		return ""
	}
	for _, e := range rec.Events() {
		if e.Kind == tracker.Accepted && replaced[e.Target] && e.Rule == m.Rule && !rec.Voided(e.ID) {
			reason = e.Reason
		}
	}
	return reason
}

// AsksSomething reports whether a note tells of an earlier entry that asks now.
func AsksSomething(n Note) bool {
	switch n.(type) {
	case AsksNow, AsksAgain:
		return true
	}
	return false
}

// asking lists what asks, to be compared with what asks after an amendment.
func (d *Desk) asking() map[markKey]bool {
	asking := map[markKey]bool{}
	for _, m := range d.rec.Marks() {
		if m.Open() {
			asking[keyOf(m)] = true
		}
	}
	return asking
}

// asksNow tells what asks only since an amendment: it may lie with events and
// specimens that the amendment itself does not name. Marks on the events told
// already are left out.
func (d *Desk) asksNow(out *Outcome, before map[markKey]bool, told ...tracker.Event) error {
	if err := d.reread(); err != nil {
		return err
	}
	asksSince(out, d.rec, d.rec.Marks(), before, told)
	return nil
}

// revived tells whoever set corrections aside that the entries which they had
// replaced count again.
func (d *Desk) revived(out *Outcome, gone []entry) error {
	var back []tracker.Event
	if err := d.reread(); err != nil {
		return err
	}
	for _, e := range gone {
		old, ok := d.rec.Event(e.was.Target)
		if ok && e.was.Kind != tracker.Accepted && !d.rec.Voided(old.ID) {
			back = append(back, old)
		}
	}
	if len(back) > 0 {
		out.add(CountsAgain{back})
	}
	return nil
}
