package intake

import (
	"slices"
	"strconv"
	"strings"

	"soaktag/labels"
	"soaktag/tracker"
)

// Several are the specimens that one word names together, in the order dealt.
type Several struct {
	Codes   []labels.Code
	asNamed bool // one by one, as serials
}

// readSeveral finds the specimens that a word of a form names together: all of
// the study, a board ("board A"), or a range of serials ("1-54"). It reports
// false when the word means nothing of that kind. The error is a *Refusal.
func readSeveral(rec *tracker.Record, text string) (Subject, bool, error) {
	all := &Several{}
	sub := Subject{Text: strings.TrimSpace(text), Several: all, read: true}
	lo, hi, ranged := serialRange(sub.Text)
	board, boarded := cutFold(sub.Text, "board ")
	for _, sp := range rec.Specimens() {
		of := strings.EqualFold(sub.Text, "all") || boarded && strings.EqualFold(sp.Board, board) ||
			ranged && lo <= sp.Code.Serial && sp.Code.Serial <= hi
		if of {
			all.Codes = append(all.Codes, sp.Code.Whole())
		}
	}
	all.asNamed = ranged
	switch last := lastSerial(rec); {
	case ranged && (lo > hi || hi > last):
		return sub, true, refuse("%s: the serials dealt go from 1 to %d", Quoted(sub.Text), last)
	case boarded && len(all.Codes) == 0:
		return sub, true, refuse("%s: no specimen of this study is of that board", Quoted(sub.Text))
	}
	return sub, len(all.Codes) > 0, nil
}

// serialRange reads two serials with a hyphen or two dots between them.
func serialRange(text string) (lo, hi int, ok bool) {
	from, to, ok := strings.Cut(text, "..")
	if !ok {
		from, to, ok = strings.Cut(text, "-")
	}
	lo, errLo := strconv.Atoi(strings.TrimSpace(from))
	hi, errHi := strconv.Atoi(strings.TrimSpace(to))
	return lo, hi, ok && errLo == nil && errHi == nil && lo > 0
}

// cutFold cuts a lead off a text, in any case.
func cutFold(text, lead string) (string, bool) {
	if len(text) < len(lead) || !strings.EqualFold(text[:len(lead)], lead) {
		return "", false
	}
	return strings.TrimSpace(text[len(lead):]), true
}

func lastSerial(rec *tracker.Record) (last int) {
	for _, sp := range rec.Specimens() {
		last = max(last, sp.Code.Serial)
	}
	return last
}

// ofSeveral makes the events of a fact about specimens named together. Serials
// are meant as they were named. Of a board, or of all, only those are meant at a
// stage whose next step it is, as at a bath's tag; and what happened to none of
// them is most likely another stage.
func (d *Desk) ofSeveral(out *Outcome, fact tracker.Event, sub Subject) ([]tracker.Event, error) {
	meant, others := d.meantOf(fact, sub)
	if len(meant) == 0 {
		return nil, refuse("no specimen of %s has its %s to come", sub.whole(), fact.Stage).with(NameThem{})
	}
	if len(others) > 0 {
		out.add(SeveralNotMeant{sub.whole(), others})
	}
	var events []tracker.Event
	for _, code := range meant {
		events = append(events, about(fact, Subject{Code: code.String()}))
	}
	return events, nil
}

// whole is what specimens named together are of.
func (s Subject) whole() string {
	if strings.EqualFold(s.Text, "all") {
		return "the study"
	}
	return s.Text
}

func (d *Desk) meantOf(fact tracker.Event, sub Subject) (meant, others []labels.Code) {
	if sub.Several.asNamed || fact.Kind != tracker.Staged {
		return sub.Several.Codes, nil
	}
	then, _ := d.then(fact)
	for _, code := range sub.Several.Codes {
		if life := then.Life(code); life != nil && life.End == "" && life.Awaits(fact.Stage) {
			meant = append(meant, code)
		} else {
			others = append(others, code)
		}
	}
	return meant, others
}

// each names every specimen of subjects that were named together on its own.
func each(subjects []Subject) (all []Subject) {
	for _, sub := range subjects {
		if sub.Several == nil {
			all = append(all, sub)
			continue
		}
		for _, code := range sub.Several.Codes {
			all = append(all, Subject{Text: sub.Text, Code: code.String()})
		}
	}
	return all
}

// IssuesOf are the labels that words name, as they would be printed next: a code
// for both halves or one half of it, or specimens named together. The error is a
// *Refusal.
func IssuesOf(rec *tracker.Record, words []string) (out []Issue, err error) {
	for _, text := range words {
		specimen, half, err := rec.Resolve(text)
		if err == nil {
			out = append(out, issuesOf(rec, specimen, half)...)
			continue
		}
		several, ok, refused := readSeveral(rec, text)
		if refused != nil {
			return nil, refused
		}
		if !ok {
			return nil, refuse("%v", err)
		}
		for _, sp := range rec.Specimens() {
			if slices.Contains(several.Several.Codes, sp.Code.Whole()) {
				out = append(out, issuesOf(rec, sp, 0)...)
			}
		}
	}
	return out, nil
}
