package wording

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/intake"
)

// amendment words what came of putting the record right; nothing for a note
// about anything else.
func amendment(n intake.Note, zone *time.Location) []Sentence {
	switch n := n.(type) {
	case intake.TimeRead:
		return []Sentence{tell("%s %s", n.Field, Span(n.Span, zone))}
	case intake.TimeDoubted:
		return timeDoubted(n, zone)
	case intake.SetAside:
		return []Sentence{answer("voided  %s: %s", Entries(n.Events, zone), n.Reason)}
	case intake.CountsAgain:
		return countsAgain(n.Events, zone)
	case intake.Replaces:
		return []Sentence{tell("replaces: %s", Entries(n.Events, zone))}
	case intake.Exchanged:
		return []Sentence{exchanged(n.Event, zone)}
	case intake.Explained:
		return []Sentence{explained(n.Event, zone)}
	case intake.TakenForOther:
		return []Sentence{takenForOther(n)}
	case intake.RoundAbout:
		return []Sentence{warn("another exchange holds at that time too, and labels are moved in the order of --from: from %s on %s; is that how they sat on the blocks?",
			Time(n.At, zone), satOn(n.Codes))}
	case intake.AsksNow:
		return append(marks(n.Marks), advise("kept, and asks now: put it right with soaktag amend, or "+AcceptCommand(n.Marks)))
	case intake.AsksAgain:
		return []Sentence{warn("asks again: %s: %s, accepted before (%s) of the entry that was replaced: soaktag accept %s --rule %q --reason \"why it stands\"",
			n.Mark.Code, n.Mark.Rule, n.Reason, ShellWord(n.Mark.Code), n.Mark.Rule)}
	case intake.BreakNow:
		return []Sentence{warn("%s: %s counts now, and %s no longer", n.Code, tryShort(n.Now), tryShort(n.Was))}
	case intake.NoHalves:
		return []Sentence{warn("%s has no break on record, so it has no halves to glue: write it up with soaktag break %s", n.Code, n.Code)}
	case intake.FromNoBoard:
		return []Sentence{warn("from no board: no specimen is compared with it board by board; with --board NAME one would be")}
	case intake.Added:
		return append(added(n.Event), labelsOf(n))
	case intake.PlanInForce:
		return planInForce(n.Event, zone)
	case intake.NoPlan:
		return []Sentence{advise(fmt.Sprintf("the plan names no bath %s: it has no card and no tag", n.Bath))}
	}
	return nil
}

// tryShort is a try by its reading, or where it has none by how it ended.
func tryShort(t tracker.TryAt) string { return cmp.Or(t.Reading, string(t.How)) }

// TimeDoubted says what is doubtful about a time, as it was given.
func TimeDoubted(n intake.TimeDoubted) string {
	return fmt.Sprintf("time %q %s", n.Text, Doubt(n.Doubt))
}

func timeDoubted(n intake.TimeDoubted, zone *time.Location) []Sentence {
	out := []Sentence{warn("%s", TimeDoubted(n))}
	if may := Undoubted(n.Taken, n.Doubt, zone); may != "" {
		out = append(out, advise(may))
	}
	return out
}

// Entries names entries: one whole, of several how many, the first and the last.
func Entries(events []tracker.Event, zone *time.Location) string {
	first, last := events[0], events[len(events)-1]
	if len(events) == 1 {
		return oneEntry(first, zone)
	}
	return fmt.Sprintf("%s, from #%d %s to #%d %s", Counted(len(events), "entry", "entries"), first.Seq, oneEntry(first, zone), last.Seq, oneEntry(last, zone))
}

func oneEntry(e tracker.Event, zone *time.Location) string {
	if e.Kind == tracker.PlanAmended {
		return Says(e) + "  " + Span(e.At, zone)
	}
	return Whom(e) + "  " + What(e, zone) + "  " + Span(e.At, zone)
}

func countsAgain(back []tracker.Event, zone *time.Location) []Sentence {
	first := back[0]
	if len(back) > 1 {
		return []Sentence{answer("count again  %s  (what was set aside had replaced them)", Entries(back, zone))}
	}
	return []Sentence{
		answer("counts again  %s  (what was set aside had replaced #%d)", oneEntry(first, zone), first.Seq),
		advise(fmt.Sprintf("soaktag amend void %d --reason \"why\" takes that out as well", first.Seq)),
	}
}

func exchanged(e tracker.Event, zone *time.Location) Sentence {
	return answer("exchanged  %s and %s  from %s%s: %s", e.Code, e.Other, Span(e.At, zone), untilText(e.Until, zone), e.Reason)
}

// takenForOther counts what a table says under exchanged labels.
func takenForOther(n intake.TakenForOther) Sentence {
	are := Counted(n.Events, "of these events is", "of these events are")
	if n.Dry {
		are = fmt.Sprintf("%d of these events would be", n.Events)
	}
	return warn("%s taken for the other specimen, since two labels were exchanged then: %s", are, satOn(n.Codes))
}

// satOn says of labels on which specimen each sat.
func satOn(codes []intake.Exchangee) string {
	var pairs []string
	for _, c := range codes[:min(len(codes), fewCodes)] {
		pairs = append(pairs, c.Read+" sat on "+c.Is)
	}
	if more := len(codes) - len(pairs); more > 0 {
		pairs = append(pairs, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(pairs, ", ")
}

func explained(e tracker.Event, zone *time.Location) Sentence {
	return answer("explained  %s meant %s%s: %s", e.Other, Code(e.Code, e.Half), untilText(e.Until, zone), e.Reason)
}

func untilText(until schedule.Span, zone *time.Location) string {
	if until.IsZero() {
		return ""
	}
	return " until " + Span(until, zone)
}

// Cause words why something was refused; empty where the reason itself says it.
func Cause(c intake.Cause) string {
	switch c := c.(type) {
	case intake.WhichEvent:
		return "amend wants an event: last, the beginning of its id, its number, or several: 12-65; soaktag history CODE lists them; or --command last, --import FILE"
	case intake.NothingCorrected:
		return fmt.Sprintf("amend correct wants FIELD=VALUE; fields are %s, or a measured name", strings.Join(intake.Correctable(), ", "))
	case intake.NotIn:
		return notIn(c)
	case intake.EndsBeforeItBegan:
		return "--until is not after --from; nothing recorded"
	case intake.AlreadyAside:
		return alreadyAside(c)
	case intake.WhichLabel:
		return fmt.Sprintf("which label of %s is printed again? amend relabel %s/1 or %s/2; nothing recorded", c.Code, c.Code, c.Code)
	case intake.HowMany:
		return fmt.Sprintf("--count %d: add 1 to %d specimens at a time; nothing recorded", c.Given, c.Most)
	case intake.HowManyTrials:
		return fmt.Sprintf("--count %d: want 1 to %d trial labels", c.Given, c.Most)
	case intake.WhichGroup:
		return "amend add wants --adhesive KEY and --treatment KEY, or --of CODE, the specimen whose halves were glued anew"
	case intake.MissingAlone:
		return "amend add --missing adds all that the plan in force lacks; leave out --adhesive, --treatment, --board and --of"
	case intake.FromTheFuture:
		return fmt.Sprintf("an amendment holds from now or from earlier on, not from %s; amend again then", Span(c.At, c.Zone))
	case intake.Overruled:
		return fmt.Sprintf("the plan in force holds from %s; an amendment from before that would be overruled by it; nothing recorded", Span(c.From, c.Zone))
	case intake.ExchangedAlready:
		return fmt.Sprintf("%s and %s are exchanged already from %s%s; nothing recorded", c.A, c.B,
			Span(c.Earlier.At, c.Zone), untilText(c.Earlier.Until, c.Zone))
	}
	return formCause(c)
}

func notIn(c intake.NotIn) string {
	switch {
	case c.Other:
		return fmt.Sprintf("%q is nothing that can be corrected in a %s; fields are %s", c.Field, What(c.Event, nil), strings.Join(intake.Correctable(), ", "))
	case c.Field == "stage":
		return fmt.Sprintf("a %s has no stage; void it and record it again", What(c.Event, nil))
	}
	return fmt.Sprintf("a %s has no %s", What(c.Event, nil), c.Field)
}

// alreadyAside says that an event does not count any more, and what does instead.
func alreadyAside(c intake.AlreadyAside) string {
	what := fmt.Sprintf("event %d (%s)", c.Event.Seq, Says(c.Event))
	if c.Event.Kind != tracker.PlanAmended {
		what = Whom(c.Event) + " " + What(c.Event, nil)
	}
	switch {
	case c.Now.ID != "":
		return fmt.Sprintf("%s was set aside already: #%d replaced it, and counts (%s)", what, c.Now.Seq, Says(c.Now))
	case c.Event.Kind == tracker.PlanAmended:
		return what + " was set aside already"
	}
	return fmt.Sprintf("%s was set aside already; see soaktag history %s", what, ShellWord(Whom(c.Event)))
}

// amendHelp is what to do about an amendment that was refused, or next.
func amendHelp(h intake.Help) string {
	switch h := h.(type) {
	case intake.PrintAgain:
		return fmt.Sprintf("print it again: soaktag labels %s --stock %q --out %s.pdf",
			ShellWord(h.Subject), h.Stock, strings.ReplaceAll(h.Subject, "/", "-"))
	case intake.ExchangeThem:
		return fmt.Sprintf("two labels on each other's specimen: soaktag amend exchange %s %s --from TIME --reason \"why\"", ShellWord(h.A), ShellWord(h.B))
	case intake.PlanFirst:
		return planFirst(h)
	case intake.ChangeTheFile:
		return fmt.Sprintf("change the file, see what it means with soaktag check %s, and amend again", ShellWord(h.Name))
	case intake.StillExchanged:
		return fmt.Sprintf("every entry under %s or %s of then or later is taken for the other specimen; if the labels were put right since: soaktag amend correct %d until=TIME --reason \"why\"",
			h.Exchange.Code, h.Exchange.Other, h.Exchange.Seq)
	case intake.VoidAndExchange:
		return fmt.Sprintf("to say when it ended: soaktag amend void %d --reason \"why\", then exchange again with --from and --until", h.Event)
	}
	return ""
}

func planFirst(h intake.PlanFirst) string {
	if h.Board {
		return "put it into wood.boards first: soaktag amend plan FILE.toml --reason \"why\""
	}
	return "a new one goes into the plan first: soaktag amend plan FILE.toml --reason \"why\""
}

// added says the new codes. It does not say the adhesive of one glued anew:
// breaking is blind.
func added(e tracker.Event) (out []Sentence) {
	if len(e.Dealt) > fewCodes {
		return addedMany(e)
	}
	for _, sp := range e.Dealt {
		text := "for " + sp.Adhesive + " " + sp.Treatment
		if sp.Parent != "" {
			text = "re-glued from " + sp.Parent
		}
		if sp.Board != "" {
			text += ", board " + sp.Board
		}
		if sp.Bath != "" {
			text += ", bath " + sp.Bath
		}
		out = append(out, answer("added  %s  %s: %s", sp.Code, text, e.Reason))
	}
	return out
}

// addedMany tells how many were added of each group and board, and not which code
// is of which adhesive.
func addedMany(e tracker.Event) []Sentence {
	var groups, boards []string
	for _, sp := range e.Dealt {
		groups = append(groups, sp.Adhesive+" "+sp.Treatment)
		if sp.Board != "" {
			boards = append(boards, "board "+sp.Board)
		}
	}
	out := []Sentence{answer("added  %s, %s to %s: %s", Plural(len(e.Dealt), "specimen"), e.Dealt[0].Code, e.Dealt[len(e.Dealt)-1].Code, e.Reason),
		answer("       %s", ofEach(groups))}
	if len(boards) > 0 {
		out = append(out, answer("       %s", ofEach(boards)))
	}
	return out
}

// ofEach counts the same words, in the order of the alphabet.
func ofEach(words []string) string {
	slices.Sort(words)
	var all []string
	for len(words) > 0 {
		n := 1
		for n < len(words) && words[n] == words[0] {
			n++
		}
		all, words = append(all, fmt.Sprintf("%d %s", n, words[0])), words[n:]
	}
	return strings.Join(all, ", ")
}

// labelsOf says how the labels of just those added are printed.
func labelsOf(n intake.Added) Sentence {
	dealt := n.Event.Dealt
	var codes []string
	for _, sp := range dealt {
		codes = append(codes, sp.Code.String())
	}
	if len(dealt) > fewCodes {
		codes = []string{fmt.Sprintf("%d-%d", dealt[0].Code.Serial, dealt[len(dealt)-1].Code.Serial)}
	}
	return advise(fmt.Sprintf("print the labels: soaktag labels %s --stock %q --out added.pdf", strings.Join(codes, " "), n.Stock))
}
