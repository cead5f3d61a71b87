package tracker

import "slices"

// settled is the try that somebody said is the break although another had parted
// the bond before it: of several the last; empty where nobody did. It is looked for
// before the life is told, so that what came between the two is not taken for
// something after the break.
func (f *folder) settled(facts []fact) (id string) {
	parted := false
	for _, x := range facts {
		if x.Kind != Tried || x.Try == nil || !x.Try.How.Parts() || f.record.Voided(x.ID) {
			continue
		}
		if parted && f.record.acceptance(Mark{Event: x.ID, Rule: RuleAfterBreak}) != "" {
			id = x.ID
		}
		parted = true
	}
	return id
}

// sever ends the life at a try that parts the bond. A bond comes apart once: of two
// tries one is a slip, most often of the code, and the first is the break until
// somebody accepts a later one. The other is set aside.
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
		Parts: t.How.Parts(), Counts: f.broke == t.Event}
	f.ask(x, RuleAfterBreak, about, Remedy{Do: Readdress, Event: x.ID})
}

// Break is the try that parted the bond; nil while none did. Of several it is the
// first, or the last that somebody accepted.
func (l *Life) Break() *TryAt {
	for i, t := range l.Tries {
		if t.How.Parts() && !t.Aside {
			return &l.Tries[i]
		}
	}
	return nil
}
