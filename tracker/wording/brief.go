package wording

import (
	"fmt"
	"slices"
	"strings"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/strength"
)

// A Brief is what results come to for somebody at a terminal of two screens:
// what held, and what cannot be said. Beside its table it speaks in keys.
type Brief struct {
	Headline []string
	Caption  string     // of the table
	Rows     [][]string // of groups of several specimens, below BriefHeadings
	Notes    []string   // below the table: its signs, and what its keys stand for
	Singles  *Boxes     // of groups of one; nil without any
	Cannot   []string
}

// NoResults is said where there is nothing to brief anybody of.
const NoResults = "nothing has been broken yet"

// CannotTitle stands above what cannot be said.
const CannotTitle = "What cannot be said"

// mostCannot is how many things that cannot be said there is room for.
const mostCannot = 8

// BriefOf says shortly what results come to. What a row of the table or its letters
// say is not said again.
func BriefOf(r strength.Report, study *tracker.Study) Brief {
	b := briefer{Report: r, study: ByKeys(study, func(tracker.Adhesive) bool { return true })}
	out := Brief{Headline: b.headline(), Cannot: b.cannot()}
	if n := len(out.Cannot); n > mostCannot {
		out.Cannot = append(out.Cannot[:mostCannot-1:mostCannot-1], fmt.Sprintf("%d more with --full, and in the report", n-mostCannot+1))
	}
	several, single := r.BySize()
	if len(several) > 0 {
		out.table(several, r, study)
	}
	if len(single) > 0 {
		boxes := BoxesOf(study, r)
		out.Singles = &boxes
	}
	return out
}

// table sets the groups of several specimens side by side.
func (b *Brief) table(several []strength.Group, r strength.Report, study *tracker.Study) {
	b.Caption = fmt.Sprintf("Shear strength, mean in %s of what survived; the order is that of the plan, not a ranking", study.Units.StressUnit())
	for _, g := range several {
		b.Rows = append(b.Rows, BriefRow(g, several, r, study))
	}
	b.Notes = []string{briefNotes(several, r)}
	if names := namesOf(several, study); names != "" {
		b.Notes = append(b.Notes, names)
	}
}

// ByKeys is a study in which some adhesives have no name but their key.
func ByKeys(study *tracker.Study, some func(tracker.Adhesive) bool) *tracker.Study {
	s := *study
	s.Adhesives = slices.Clone(s.Adhesives)
	for i, a := range s.Adhesives {
		if some(a) {
			s.Adhesives[i].Name = ""
		}
	}
	return &s
}

type briefer struct {
	strength.Report
	study *tracker.Study
}

// headline is what held best in each treatment or, where that is not known, that
// they cannot be told apart, and who held less all the same.
func (b briefer) headline() (out []string) {
	best := []strength.FindingKind{strength.HeldBest, strength.ReadHighest, strength.FellMore}
	led := func(treatment string) bool {
		return slices.ContainsFunc(b.Findings, func(f strength.Finding) bool { return f.Treatment == treatment && slices.Contains(best, f.Kind) })
	}
	said := map[string]bool{}
	for _, f := range b.Findings {
		first := slices.Contains(best, f.Kind) && !said[f.Treatment]
		instead := (f.Kind == strength.NotToldApart || f.Kind == strength.HeldLess) && !led(f.Treatment)
		if first || instead || f.Kind == strength.Unfinished || f.Kind == strength.OneOfEach {
			said[f.Treatment], out = true, append(out, Finding(f, b.study))
		}
	}
	return out
}

// cannot is what stands in the way of saying more, once for all of whom it is so.
func (b briefer) cannot() []string {
	var t tallied
	for _, f := range b.Findings {
		b.weigh(&t, f)
	}
	for _, ret := range b.WithoutSingles().Retention {
		b.kept(&t, ret)
	}
	out := t.says()
	if n := b.nominal(); n > 0 {
		out = append(out, fmt.Sprintf("%s on nominal area: bond length and width were not measured", Plural(n, "strength")))
	}
	for _, f := range b.Findings {
		if f.Kind == strength.FacesToCome {
			out = append(out, Finding(f, b.study))
		}
	}
	return out
}

// weigh adds what a finding leaves unsaid.
func (b briefer) weigh(t *tallied, f strength.Finding) {
	whole := Finding(f, b.study)
	key := fmt.Sprint(f.Kind, f.Treatment, f.Reason.Kind, f.Reason.Interval)
	switch f.Kind {
	case strength.LongerSoak:
		if len(f.Than) > 0 {
			key = whole
		}
		t.add(key, whole, f.Group.Adhesive, f.Treatment+": %s soaked longer than the others, so no comparison with them stands")
	case strength.HangsOnWay, strength.ReadingsOnly, strength.ReadsMore, strength.NothingToGoBy, strength.LeftAside, strength.BrokenElsewhere,
		strength.NotBroken, strength.NothingLeft, strength.OtherLength, strength.NotAlike:
		t.add(whole, whole, "", "")
	case strength.HeldLess:
		if len(f.Ways) > 0 {
			t.add(key, whole, f.Group.Adhesive, f.Treatment+": that %s held less than those above hangs on how it is worked out")
		}
	case strength.Straggled:
		t.add(key, whole, Stragglers(f.Group.Stragglers), f.Treatment+": unlike the rest of their groups: %s")
	case strength.DoesNotStand:
		t.add(key, whole, f.Group.Adhesive, f.Treatment+": no comparison with %s stands: "+inShort(f.Reason))
	case strength.NoComparison:
		t.add(key, whole, f.Group.Adhesive, f.Treatment+": %s cannot be compared: "+inShort(f.Reason))
	case strength.NotCompared:
		t.add(key, whole, f.Group.Adhesive, f.Treatment+": not every comparison with %s stands: "+inShort(f.Reason))
	}
}

// kept adds why nothing is known of what an adhesive kept, where that was not
// said of its comparisons already, and what a control of another age does to it.
func (b briefer) kept(t *tallied, r strength.Retention) {
	aged := func(s strength.Straggler) bool { return s.Interval == schedule.Age }
	switch {
	case r.Ratio != nil && *r.Ratio == 0:
		return
	case r.Comparable && slices.ContainsFunc(r.Stragglers, aged):
		t.add("aged"+r.Treatment, fmt.Sprintf("%s: what %s kept: %s", r.Treatment, r.Adhesive, KeptWithout(r)), r.Adhesive,
			r.Treatment+": what %s kept: some controls are of another age; without them with --full")
		return
	case r.Comparable:
		return
	}
	for _, why := range r.Reasons {
		known := func(f strength.Finding) bool {
			return f.Group.Adhesive == r.Adhesive && f.Treatment == r.Treatment && f.Reason == why
		}
		if slices.ContainsFunc(b.Findings, known) {
			continue
		}
		key := fmt.Sprint("kept", r.Treatment, why.Kind, why.Interval)
		t.add(key, fmt.Sprintf("%s: what %s kept: %s", r.Treatment, r.Adhesive, Reason(why)), r.Adhesive, r.Treatment+": what %s kept: "+inShort(why))
	}
}

// nominal counts the strengths on nominal area, at least and exact alike, as the
// mark of odd specimens does.
func (b briefer) nominal() (n int) {
	for _, s := range b.Specimens {
		if slices.ContainsFunc(s.Marks, func(m strength.Mark) bool { return m.Rule == strength.NominalArea }) {
			n++
		}
	}
	return n
}

// inShort says a reason of several at once, without who and how much.
func inShort(r strength.Reason) string {
	switch r.Kind {
	case strength.CannotTell:
		return "their " + r.Interval + " is not known well enough"
	case strength.Differs:
		return r.Interval + " unlike the others"
	case strength.BeyondLimit:
		return r.Interval + " outside its limit"
	case strength.TooFarApart:
		return r.Interval + " too far apart"
	case strength.OtherAge:
		return "most controls are of another age than their soaked partners"
	case strength.AgeUnsure:
		return "cannot tell whether their controls are of their soaked partners' age"
	case strength.OtherRigs:
		return "broken on different rigs"
	case strength.NoSurvivor, strength.OneSurvivor, strength.OneBlock:
		return tooFew(r, "")
	}
	return Reason(r)
}

// tallied gathers whom the same is so of.
type tallied []struct {
	key, whole, many string
	who              []string
}

// add says whole of one, and many (with its "%s") of several.
func (t *tallied) add(key, whole, who, many string) {
	for i := range *t {
		if x := &(*t)[i]; x.key == key {
			if many != "" && !slices.Contains(x.who, who) {
				x.who = append(x.who, who)
			}
			return
		}
	}
	*t = append(*t, struct {
		key, whole, many string
		who              []string
	}{key, whole, many, []string{who}})
}

func (t tallied) says() (out []string) {
	for _, x := range t {
		if len(x.who) == 1 {
			out = append(out, x.whole)
			continue
		}
		out = append(out, strings.Replace(x.many, "%s", listed(x.who), 1))
	}
	return out
}

// listed joins keys as a sentence does; what is longer than a key stands between
// semicolons.
func listed(who []string) string {
	if !slices.ContainsFunc(who, func(w string) bool { return strings.Contains(w, " ") }) {
		return And(who)
	}
	if n := len(who); n > mostStragglers+1 {
		who = append(who[:mostStragglers:mostStragglers], fmt.Sprintf("%d more", n-mostStragglers))
	}
	return strings.Join(who, "; ")
}

// BriefHeadings stand above a table of BriefRows.
var BriefHeadings = []string{"adhesive", "treatment", ">n", ">mean", "95 % interval", ">wood %", "letters", ">left %", ""}

// BriefRow is the row of a group among several in a text table of all that counts.
func BriefRow(g strength.Group, several []strength.Group, r strength.Report, study *tracker.Study) []string {
	row := GroupRow(g, several, study.Units)
	row = slices.Delete(row, 3, 4) // the standard deviation
	return append(append([]string{g.Adhesive}, row...), r.LettersOf(g), leftOf(g, r.Retention), briefMakeup(g, r.Retention, study))
}

// leftOf is the strength left in a group of a treatment; empty for controls.
func leftOf(g strength.Group, all []strength.Retention) string {
	switch r := keptBy(g, all); {
	case r == nil:
		return ""
	case g.AllApart():
		return "0"
	case r.ZerosFirst():
		return bounded(r.Bound, Percent(r.RatioWithZeros))
	case !r.Comparable:
		return "-"
	default:
		return bounded(r.Bound, Percent(r.Ratio))
	}
}

// keptBy is the retention of a group; nil without one.
func keptBy(g strength.Group, all []strength.Retention) *strength.Retention {
	i := slices.IndexFunc(all, func(r strength.Retention) bool {
		return r.Adhesive == g.Adhesive && r.Treatment == g.Treatment && r.Rig == g.Rig && r.State == g.State
	})
	if i < 0 {
		return nil
	}
	return &all[i]
}

// leftBeside is the strength left that the column does not give: with what fell
// apart as 0, or of those that held where most fell apart; empty where it is one.
func leftBeside(g strength.Group, all []strength.Retention) string {
	r := keptBy(g, all)
	switch {
	case r == nil || g.AllApart():
		return ""
	case r.ZerosFirst():
		return "left " + bounded(r.Bound, Percent(r.Ratio)) + " of the " + fmt.Sprint(len(g.Survivors())) + " that held"
	case !r.Comparable || r.RatioWithZeros == nil:
		return ""
	}
	return "left " + bounded(r.Bound, Percent(r.RatioWithZeros))
}

// briefMakeup says what n and the signs in a row do not.
func briefMakeup(g strength.Group, kept []strength.Retention, study *tracker.Study) string {
	fell := "fell apart"
	if g.FellApart > 0 && g.MeanSurvivors != nil {
		fell += ", as 0: mean " + bounded(g.Estimate().Bound, StressCell(study.Units, g.Mean))
	}
	parts := tally{{g.AtLeast, "at least"}, {g.LeftOut, "left out"}, {g.FellApart, fell}}.parts()
	if text := leftBeside(g, kept); text != "" {
		parts = append(parts, text)
	}
	if text := InNarrowRow(g, study.Units); text != "" {
		parts = append(parts, text)
	}
	return strings.Join(parts, ", ")
}

// namesOf says what the keys of a table stand for, where a name says more.
func namesOf(groups []strength.Group, study *tracker.Study) string {
	var names []string
	for _, a := range study.Adhesives {
		of := func(g strength.Group) bool { return g.Adhesive == a.Key }
		if a.Name != "" && a.Name != a.Key && slices.ContainsFunc(groups, of) {
			names = append(names, a.Key+": "+a.Name)
		}
	}
	return strings.Join(names, "; ")
}

// briefNotes explain the signs in a table of BriefRows, those that are there.
func briefNotes(groups []strength.Group, r strength.Report) string {
	any := func(is func(strength.Group) bool) bool { return slices.ContainsFunc(groups, is) }
	var notes []string
	note := func(when bool, text string) {
		if when {
			notes = append(notes, text)
		}
	}
	note(len(r.Letters) > 0, "Sharing a letter: not told apart. No letter: not compared.")
	left := func(with string) bool {
		return any(func(g strength.Group) bool { return strings.Contains(leftOf(g, r.Retention), with) })
	}
	note(any(func(g strength.Group) bool { return leftOf(g, r.Retention) != "" }), "left %: of the dry control, by survivors"+mostFell(r)+".")
	note(left("-"), "-: see below.")
	bound := func(g strength.Group) bool { return g.Estimate().Bound.Censored() }
	note(any(func(g strength.Group) bool { return bound(g) && g.WoodLimited > 0 }), ">=: the wood gave way first.")
	note(any(func(g strength.Group) bool { return bound(g) && g.Outlasting() > 0 }), ">=, at least: some bore more than the mean, unbroken.")
	note(any(func(g strength.Group) bool { return bound(g) && g.Low != nil }), "from: of a bound only the lower limit holds.")
	note(left("=") || left("?"), "Of left %: >= when soaked, <= when dry, ? both.")
	note(any(func(g strength.Group) bool { return g.Low != nil && *g.Low < 0 }), "0*: would begin below 0, too few or too unlike.")
	note(any(func(g strength.Group) bool { return len(g.Stragglers) > 0 }), "drifted: unlike the rest of its group.")
	return strings.Join(notes, " ")
}

// mostFell says whose strength left counts what fell apart as 0 in the first place.
func mostFell(r strength.Report) string {
	var who []string
	for _, ret := range r.Retention {
		if ret.ZerosFirst() {
			who = append(who, ret.Adhesive+" "+ret.Treatment)
		}
	}
	if len(who) == 0 {
		return ""
	}
	return "; of " + And(who) + ", most of which fell apart, with these as 0"
}
