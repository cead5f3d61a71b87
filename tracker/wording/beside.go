package wording

import (
	"fmt"
	"slices"
	"strings"

	"soaktag/tracker/strength"
)

// among limits a "best" to those among whom it can be meant.
func (t teller) among() string {
	switch t.Alike {
	case strength.OfBroken:
		return "of those that broke, "
	case strength.OfTreated:
		return "of those treated alike, "
	case strength.OfRig:
		return fmt.Sprintf("of those broken on the %s, ", t.Group.Rig)
	case strength.OfState:
		return fmt.Sprintf("of those broken %s, ", t.Group.State)
	case strength.OfCompared:
		return "of those that can be compared, "
	}
	return ""
}

// byZeros says that the order hangs on what fell apart.
func (t teller) byZeros() string {
	if t.ByZeros {
		return " with what fell apart as 0"
	}
	return ""
}

// highest is what the first of an order did, that is not sure in first place.
func (t teller) highest() string {
	if t.ByZeros {
		return "stands highest with what fell apart as 0"
	}
	return "read highest"
}

// beside names who was there as well, and may be better.
func (t teller) beside() string {
	var said []string
	for _, b := range t.Beside {
		if text := t.besides(b); !slices.Contains(said, text) {
			said = append(said, text)
		}
	}
	return strings.Join(append([]string{""}, said...), "; ")
}

// besides says how one stands beside the best: those on one rig, or in one state, at
// once.
func (t teller) besides(b strength.Beside) string {
	who := t.name(b.Group.Adhesive)
	switch b.How {
	case strength.OnOtherRig, strength.InOtherState:
		names, where := t.alike(b)
		return fmt.Sprintf("%s, %s, %s not comparable", And(t.partly(names)), where, oneOr(len(names), "is", "are"))
	case strength.OneAlone:
		return fmt.Sprintf("%s, one alone at %s, is not comparable", who, t.stress(b.MPa))
	case strength.OneBroke:
		return fmt.Sprintf("%s, of which one broke, bore %s unbroken", who, t.stress(b.MPa))
	case strength.HeldMore:
		held := len(b.Group.Survivors())
		return fmt.Sprintf("the %d of %d of %s that held read %s", held, held+b.Group.FellApart, who, t.stress(b.MPa))
	}
	if b.How == strength.MoreWithout {
		return fmt.Sprintf("without those that drifted %s reads %s", who, t.stress(b.MPa))
	}
	return fmt.Sprintf("%s bore %s unbroken", who, t.stress(b.MPa))
}

// partly is what adhesives are called, those of which others are in the order as some
// of them.
func (t teller) partly(keys []string) (all []string) {
	for _, k := range keys {
		name := t.called(k)
		if slices.Contains(t.Than, k) || slices.Contains(t.Ties, k) {
			name = "some of " + name
		}
		all = append(all, name)
	}
	return all
}

// alike are all who were broken where one was, and where that is.
func (t teller) alike(b strength.Beside) (names []string, where string) {
	for _, o := range t.Beside {
		same := o.How == b.How && (o.Group.Rig == b.Group.Rig || b.How == strength.InOtherState) && (o.Group.State == b.Group.State || b.How == strength.OnOtherRig)
		if same && !slices.Contains(names, o.Group.Adhesive) {
			names = append(names, o.Group.Adhesive)
		}
	}
	if b.How == strength.OnOtherRig {
		return names, "on the " + string(b.Group.Rig)
	}
	return names, "broken " + string(b.Group.State)
}
