package wording

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
	"soaktag/tracker/strength"
)

// Finding says a finding about a study, in its names and units, with the
// treatment or the interval that it is about before it. It is no whole
// sentence: no capital letter, no full stop.
func Finding(f strength.Finding, study *tracker.Study) string {
	if about := f.Treatment + f.Interval; about != "" {
		return about + ": " + FindingSays(f, study)
	}
	return FindingSays(f, study)
}

// Findings says several.
func Findings(all []strength.Finding, study *tracker.Study) []string {
	texts := []string{}
	for _, f := range all {
		texts = append(texts, Finding(f, study))
	}
	return texts
}

// FindingSays says a finding where it is known already what treatment or
// interval it is about.
func FindingSays(f strength.Finding, study *tracker.Study) string {
	t := teller{Finding: f, study: study}
	switch f.Kind {
	case strength.Unfinished:
		return fmt.Sprintf("%d of %d specimens are not broken yet: all this is so far", f.N, f.Of)
	case strength.OneOfEach:
		return "one specimen of each adhesive and treatment: no scatter, no comparison, no order"
	case strength.InBoxes:
		return t.boxes()
	case strength.OtherLength:
		return fmt.Sprintf("%s for all instead of %s: the ranking stands, the name of the plan does not", inDays(f.Length), inDays(f.Planned))
	case strength.NotAlike:
		return fmt.Sprintf("not as planned (%s) and not alike: the groups went from %s to %s", inDays(f.Planned), inDays(f.Length), inDays(f.Longest))
	case strength.FacesToCome:
		return fmt.Sprintf("%d of %d are provisional: what tore is as judged at the press, the dry faces are not read yet%s", f.N, f.Of, halved(f.Halved, f.N))
	}
	return t.ofTreatment()
}

// halved says of how many of n, whose faces are to be read, one half is.
func halved(one, n int) string {
	switch one {
	case 0:
		return ""
	case n:
		return " (1 of 2 halves read)"
	}
	return fmt.Sprintf(" (of %d of them 1 of 2 halves read)", one)
}

// A teller puts a finding about a study into words.
type teller struct {
	strength.Finding
	study *tracker.Study
}

// ofTreatment says what one treatment came to.
func (t teller) ofTreatment() string {
	who := t.name(t.Group.Adhesive)
	switch t.Kind {
	case strength.HeldBest:
		return fmt.Sprintf("%s%s held best%s, %s%s; told apart from %s%s",
			t.among(), who, t.byZeros(), t.mean(t.Group), torn(t.Group), t.names(t.Than), t.beside())
	case strength.ReadHighest:
		return fmt.Sprintf("%s%s %s, %s%s, but cannot be told apart from %s; told apart from %s%s",
			t.among(), who, t.highest(), t.mean(t.Group), torn(t.Group), t.names(t.Ties), t.names(t.Than), t.beside())
	case strength.HangsOnWay:
		return "the lead of " + who + " hangs on how it is worked out: " + t.ways("over")
	case strength.NothingToGoBy:
		return noScatter
	case strength.ReadingsOnly:
		return fmt.Sprintf("%s: the readings of those that held differ, but %s", t.names(t.Who), t.unsure())
	case strength.ReadsMore:
		return t.readsMore()
	case strength.FellMore:
		return t.fellMore(who)
	case strength.NotToldApart:
		return t.notToldApart()
	case strength.Straggled:
		return who + ": " + t.stragglers()
	case strength.HeldLess:
		return fmt.Sprintf("%s, %s, held less than %s%s", who, t.mean(t.Group), t.names(t.Than), t.hanging())
	}
	return t.aside(who)
}

// aside says what stands beside the order.
func (t teller) aside(who string) string {
	switch t.Kind {
	case strength.DoesNotStand:
		return who + ": its comparison does not stand: " + Reason(t.Reason)
	case strength.LongerSoak:
		return fmt.Sprintf("%s soaked %s longer than the others%s", who, schedule.Short(t.Reason.Length), t.wonStill())
	case strength.NoComparison:
		return who + " cannot be compared: " + Reason(t.Reason)
	case strength.NotCompared:
		return fmt.Sprintf("%s is not compared with %s: %s", who, t.name(t.Other.Adhesive), Reason(t.Reason))
	case strength.LeftAside:
		return Reason(t.Reason)
	case strength.BrokenElsewhere:
		return fmt.Sprintf("%s, %s, was broken on %s %s, not like the others on %s %s: not compared with them",
			who, t.mean(t.Group), t.Group.Rig, t.Group.State, t.Other.Rig, t.Other.State)
	case strength.NotBroken:
		return fmt.Sprintf("%s: the rig gave way or stopped first in %d of %d, the highest at %s: it has no place in the order and may be the strongest",
			who, t.N, t.Of, t.stress(t.MPa))
	case strength.NothingLeft:
		return fmt.Sprintf("%s: nothing left to break, %d lost, damaged or withdrawn", who, t.N)
	case strength.FellApartFirst:
		return fmt.Sprintf("%s: %s fell apart before any load%s", who, howMany(t.N, t.Of), t.zeros())
	}
	return fmt.Sprintf("finding %d", t.Kind)
}

// readsMore says what only holds if all scatter alike.
func (t teller) readsMore() string {
	few := "so few"
	if t.Each > 0 {
		few = inWords(t.Each) + " each"
	}
	if r := t.Reads[0]; len(t.Reads) == 1 {
		return fmt.Sprintf("%s %s %s times %s: apart if all scatter alike, which %s cannot show",
			t.names(r.Who), oneOr(len(r.Who), "reads", "read"), asMuch(r), t.names(r.Than), few)
	}
	var all []string
	for _, r := range t.Reads {
		all = append(all, fmt.Sprintf("%s %s times %s", t.names(r.Who), asMuch(r), t.names(r.Than)))
	}
	return fmt.Sprintf("some read higher, but are told apart only if all scatter alike, which %s cannot show: %s", few, strings.Join(all, "; "))
}

// unsure says a doubt by what adhesives are called.
func (t teller) unsure() string {
	d := t.Doubt
	d.Who, d.Than = t.name(d.Who), t.name(d.Than)
	return Unsure(d)
}

// asMuch is how many times as high one reads as another.
func asMuch(r strength.Reading) string {
	least, most := fmt.Sprintf("%.1f", r.Least), fmt.Sprintf("%.1f", r.Most)
	if least == most {
		return least
	}
	return least + " to " + most
}

// notToldApart names sets within which nobody is told apart.
func (t teller) notToldApart() string {
	var sets []string
	for _, set := range t.Sets {
		sets = append(sets, t.names(set))
	}
	if len(sets) == 1 {
		return sets[0] + " cannot be told apart" + t.each() + hides(t.Hides)
	}
	return "cannot be told apart among themselves" + t.each() + ": " + strings.Join(sets, "; or ") + hiding(t.Hides)
}

// fellMore gives the shares that tell adhesives apart.
func (t teller) fellMore(who string) string {
	var others []string
	for i, k := range t.Than {
		others = append(others, fmt.Sprintf("%s (%d of %d)", t.called(k), t.Fell[i+1].Of, t.Fell[i+1].N))
	}
	return fmt.Sprintf("more of %s fell apart (%d of %d) than of %s: told apart by that", who, t.Fell[0].Of, t.Fell[0].N, And(others))
}

// boxes names who fell into which box.
func (t teller) boxes() string {
	var parts []string
	for _, b := range t.Boxes {
		parts = append(parts, string(b.Box)+": "+t.names(b.Who))
	}
	return strings.Join(parts, "; ")
}

// ways names who is not told apart, in which ways.
func (t teller) ways(than string) string {
	var parts, last []string
	for i, w := range t.Ways {
		if i > 0 && slices.Equal(w.Than, last) {
			parts[len(parts)-1] += ", nor " + wayIn(w.Way)
			continue
		}
		parts, last = append(parts, fmt.Sprintf("not %s %s %s", than, t.names(w.Than), wayIn(w.Way))), w.Than
	}
	return strings.Join(parts, "; ")
}

// hanging says of a place below others that another way does not give it.
func (t teller) hanging() string {
	if len(t.Ways) == 0 {
		return ""
	}
	return "; that hangs on how it is worked out: " + t.ways("below")
}

// mean writes the mean that a group is ranked by, with what fell apart as 0, at
// least that where something else gave way first; beside it that of those that held.
func (t teller) mean(g strength.Group) string {
	e := g.Estimate()
	if e.Value == nil {
		return "of which " + howMany(g.FellApart, g.N-g.LeftOut) + " fell apart"
	}
	text := fmt.Sprintf("mean %s%s (n %s)", atLeast(e.Bound), t.stress(*e.Value), basis(g))
	if g.FellApart > 0 {
		text = fmt.Sprintf("mean %s%s (n %s, %d that fell apart as 0), of those that held %s%s",
			atLeast(e.Bound), t.stress(*g.Mean), counted(g), g.FellApart, atLeast(e.Bound), t.stress(*e.Value)+fromBlocks(g))
	}
	if g.MeanWithout != nil {
		text += fmt.Sprintf(", %s without %s", t.stress(*g.MeanWithout), stragglersOf(g.Stragglers))
	}
	return text
}

// counted is how many a mean with zeros rests on, where that is not all of the group.
func counted(g strength.Group) string {
	if n := len(g.Survivors()) + g.FellApart; n < g.N {
		return fmt.Sprintf("%d of %d", n, g.N)
	}
	return fmt.Sprint(g.N)
}

// basis is how many a mean rests on, where that is not all of the group.
func basis(g strength.Group) string {
	n := len(g.Survivors())
	text := fmt.Sprint(g.N)
	if n < g.N {
		text = fmt.Sprintf("%d of %d", n, g.N)
	}
	return text + fromBlocks(g)
}

// fromBlocks says that several of a group come from one bonded block.
func fromBlocks(g strength.Group) string {
	if g.Blocks == len(g.Survivors()) {
		return ""
	}
	return fmt.Sprintf(" from %d bonded %s", g.Blocks, oneOr(g.Blocks, "block", "blocks"))
}

// stress writes a stress given in MPa in the unit in which the plan was written.
func (t teller) stress(mpa float64) string {
	return t.study.Units.AboutStress(quantity.Megapascals(mpa))
}

// torn says that an adhesive mostly tore the wood, if that was judged on more
// than half of those that held.
func torn(g strength.Group) string {
	percent, judged := g.Torn()
	survivors := len(g.Survivors())
	if percent == nil || *percent <= 50 || 2*judged <= survivors {
		return ""
	}
	in := ""
	if judged < survivors {
		in = fmt.Sprintf(" in the %d judged", judged)
	}
	return fmt.Sprintf(", and mostly tore the wood (%.0f %% wood failure%s)", *percent, in)
}

// each says how many were not enough, where all have as many: bonded blocks
// where several specimens come from one.
func (t teller) each() string {
	switch {
	case t.Each == 0:
		return ""
	case t.Blocks:
		return fmt.Sprintf(" with %s bonded blocks each", inWords(t.Each))
	}
	return fmt.Sprintf(" with %s each", inWords(t.Each))
}

// hides says that wood or a rig which gave way first may hide a difference.
func hides(h strength.Hidden) string {
	if h.N == 0 {
		return ""
	}
	who := "the wood"
	if h.Rig {
		who = "wood or rig"
	}
	return fmt.Sprintf(": %s gave way first in %d of %d", who, h.N, h.Of)
}

// hiding is hides behind a list.
func hiding(h strength.Hidden) string {
	if h.N == 0 {
		return ""
	}
	return " (" + strings.TrimPrefix(hides(h), ": ") + ")"
}

// wonStill says what a longer soak leaves of an adhesive's comparisons: those
// that it won all the same.
func (t teller) wonStill() string {
	if len(t.Than) == 0 {
		return ", so its comparison does not stand"
	}
	return " and still came out above " + t.names(t.Than) + ": that stands, any other comparison with it does not"
}

func howMany(n, of int) string {
	if n == of && of > 1 {
		return fmt.Sprintf("all %d", of)
	}
	return fmt.Sprintf("%d of %d", n, of)
}

// zeros gives the mean with and without what fell apart.
func (t teller) zeros() string {
	if t.Group.Mean == nil || t.Group.MeanSurvivors == nil {
		return ""
	}
	bound := atLeast(t.Group.Estimate().Bound)
	return fmt.Sprintf(" (mean of the others %s, with the zeros %s)", bound+t.stress(*t.Group.MeanSurvivors), bound+t.stress(*t.Group.Mean))
}

// name is what an adhesive is called, else its key, fit for a sentence.
func (t teller) name(key string) string { return And([]string{t.called(key)}) }

// called is what an adhesive is called, else its key.
func (t teller) called(key string) string {
	if a := t.study.Adhesive(key); a != nil && a.Name != "" {
		return a.Name
	}
	return key
}

// names lists what adhesives are called as a sentence does.
func (t teller) names(keys []string) string {
	var all []string
	for _, k := range keys {
		all = append(all, t.called(k))
	}
	return And(all)
}

// oneOr is the form of a word that goes with n.
func oneOr(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// inWords writes small counts as a sentence does.
func inWords(n int) string {
	words := []string{"none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}
	if n < len(words) {
		return words[n]
	}
	return fmt.Sprint(n)
}

// inDays writes long lengths as days to the tenth.
func inDays(d time.Duration) string {
	if d < 48*time.Hour {
		return schedule.Short(d)
	}
	return strings.TrimSuffix(fmt.Sprintf("%.1f", d.Hours()/24), ".0") + " d"
}
