package tracker

import (
	"slices"

	"soaktag/schedule"
)

// settled is the try that is the break although another that parted the bond comes
// before it: of those that somebody accepted the last, else one whose time is known,
// within the rough time of the first; empty where the first is the break. It is looked
// for before the life is told, so that what came between the two is not taken for
// something after the break.
func (f *folder) settled(facts []fact) (id string) {
	var first *fact
	exactly := ""
	for i, x := range facts {
		if x.Kind != Tried || x.Try == nil || !x.Try.How.Parts() || f.record.Voided(x.ID) {
			continue
		}
		switch {
		case first == nil:
			first = &facts[i]
		case f.record.acceptance(Mark{Event: x.ID, Rule: RuleAfterBreak}) != "":
			id = x.ID
		case exactly == "" && outdoes(x.at, first.at):
			exactly = x.ID
		}
	}
	return orElse(id, exactly)
}

// outdoes reports whether a time that is known exactly lies within one that is not:
// which of the two came first is then not known.
func outdoes(exact, rough schedule.Span) bool {
	return exact.Exact() && !rough.Exact() && !rough.IsZero() &&
		(rough.From.IsZero() || !exact.From.Before(rough.From)) && (rough.To.IsZero() || !exact.From.After(rough.To))
}

// sever ends the life at a try that parts the bond. A bond comes apart once: of two
// tries one is a slip, most often of the code, and the first is the break until
// somebody accepts a later one, or the later one alone has an exact time. The other
// is set aside.
func (f *folder) sever(t *TryAt) {
	switch {
	case !t.How.Parts():
	case f.broke == "" || f.broke == t.Event:
		over := *t
		f.broke, f.over = t.Event, &over
	default:
		t.Aside = true
	}
}

// twice sets a try aside that was recorded twice. Where it was said to be the
// break, the one that it repeats is.
func (f *folder) twice(x fact) {
	f.mark(x, RuleDoubleScan, TriedTwice{})
	if last := &f.life.Tries[len(f.life.Tries)-1]; x.ID == f.broke {
		f.broke, last.Aside = last.Event, false
		f.sever(last)
	}
}

// partedBefore is the try that parted the bond before t; nil where t is the first to
// be told of, or only loads a bond that is whole as far as is known.
func (f *folder) partedBefore(t TryAt) *TryAt {
	if f.over != nil || !t.How.Parts() {
		return f.over
	}
	for i, before := range slices.Backward(f.life.Tries) {
		if before.Aside {
			return &f.life.Tries[i]
		}
	}
	return nil
}

// again asks about a try after one that parted the bond.
func (f *folder) again(x fact, t TryAt, before *TryAt) {
	about := TriedAgain{Before: Loaded{before.Reading, before.Rig, before.How}, At: f.record.local(before.At.Mid()),
		Parts: t.How.Parts(), Counts: f.broke == t.Event, Third: f.over == nil}
	about.Rough = about.Counts && outdoes(t.At, before.At)
	if about.Third {
		f.mark(x, RuleAfterBreak, about) // somebody accepted a later one: that is settled
		return
	}
	f.ask(x, RuleAfterBreak, about, Remedy{Do: Readdress, Event: x.ID})
}

// Break is the try that parted the bond; nil while none did. Of several it is the
// first, the last that somebody accepted, or the one whose time is known exactly.
func (l *Life) Break() *TryAt {
	for i, t := range l.Tries {
		if t.How.Parts() && !t.Aside {
			return &l.Tries[i]
		}
	}
	return nil
}

// outdone reports whether x takes the place of the break, known only roughly so far:
// the life is then to be told again.
func (f *folder) outdone(x fact) bool {
	return f.over != nil && x.Try != nil && x.Try.How.Parts() && outdoes(x.at, f.over.At)
}
