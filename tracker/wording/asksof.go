package wording

import (
	"cmp"
	"slices"

	"soaktag/tracker"
)

// An AskedOf is what the marks of one rule ask, for a page on which no command can be
// typed.
type AskedOf struct {
	Rule  tracker.Rule
	Marks []AskedMark
}

// An AskedMark is one mark that asks.
type AskedMark struct {
	Event string // that it hangs on
	Code  string // the specimen, where it is one of the study; else empty
	Whom  string // the same, or what else it is about
	Says  string // as status says it, but for what to type
	Since string // what happened, by whom, when
	Yes   bool   // somebody's word settles it: nothing is missing
	Ask   string // before YES is recorded
	Type  string // what puts it right, or accepts it, at the terminal
}

// AskCount says how many marks ask.
func AskCount(n int) string {
	if n == 0 {
		return "nothing asks"
	}
	return Counted(n, "asks", "ask")
}

// AsksOf tells what asks one by one, rule by rule, in the order in which rules first
// asked. What another mark says in the same words of the same is told once.
func AsksOf(rec *tracker.Record, open []tracker.Mark) (all []AskedOf) {
	for _, m := range open {
		i := slices.IndexFunc(all, func(a AskedOf) bool { return a.Rule == m.Rule })
		if i < 0 {
			all, i = append(all, AskedOf{Rule: m.Rule}), len(all)
		}
		if one := askedMark(rec, m); !slices.Contains(all[i].Marks, one) {
			all[i].Marks = append(all[i].Marks, one)
		}
	}
	return all
}

func askedMark(rec *tracker.Record, m tracker.Mark) AskedMark {
	out := AskedMark{Event: m.Event, Whom: cmp.Or(m.Code, "the study"), Type: cmp.Or(Remedy(m.Remedy), AcceptCommand([]tracker.Mark{m}))}
	if sp, _, err := rec.Resolve(m.Code); err == nil && m.Code != "" {
		out.Code = sp.Code.String()
	}
	e, known := rec.Event(m.Event)
	if known {
		out.Since = What(e, rec.Zone()) + ", " + Span(rec.Corrected(e), rec.Zone()) + led(", by ", e.By)
	}
	if out.Yes = known && settled(m, e); out.Yes {
		out.Type = ""
	}
	m.Remedy = tracker.Remedy{}
	out.Says = MarkText(m)
	out.Ask = "Does it stand? " + out.Whom + ": " + out.Says
	return out
}

// settled reports whether somebody's word settles a mark: nothing is missing that would
// have to be given, and of two readings of one label it cannot say which is right.
func settled(m tracker.Mark, e tracker.Event) bool {
	if tracker.IsOneOfTwo(e.Doubt) && m.Rule == tracker.RuleProbableCode {
		return false
	}
	switch m.Remedy.Do {
	case tracker.Nothing, tracker.Correct, tracker.Readdress, tracker.Withdraw:
		return true
	}
	return false
}
