package intake

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

// Several are the specimens that one word names together, in the order dealt.
type Several struct {
	Codes   []labels.Code
	Unused  []int // serials of a range that no specimen has
	asNamed bool  // one by one, as serials
}

// readSeveral finds the specimens that a word of a form names together: all of
// the study, a board ("board A"), a range of serials ("1-54"), a lot, which is
// what was glued up on one day ("glued 20 Oct", a time as of now), an adhesive, a
// treatment, or both ("EPX soaked"). It reports false when the word means nothing
// of that kind. The error is a *Refusal.
func readSeveral(rec *tracker.Record, text string, now time.Time) (Subject, bool, error) {
	sub := Subject{Text: strings.TrimSpace(text), Several: &Several{}, read: true}
	is, none, err := namedBy(rec, sub.Text, now)
	if is == nil || err != nil {
		return sub, err != nil, err
	}
	for _, sp := range rec.Specimens() {
		if is(sp) {
			sub.Several.Codes = append(sub.Several.Codes, sp.Code.Whole())
		}
	}
	if lo, hi, ok := serialRange(sub.Text); ok {
		sub.Several.asNamed, sub.Several.Unused = true, unused(sub.Several.Codes, lo, hi)
	}
	if none != "" && len(sub.Several.Codes) == 0 {
		return sub, true, refuse("%s: no specimen of this study %s", Quoted(sub.Text), none)
	}
	return sub, len(sub.Several.Codes) > 0, nil
}

// namedBy tells whom a word means, and what is said where there is nobody.
func namedBy(rec *tracker.Record, text string, now time.Time) (is func(tracker.Specimen) bool, none string, err error) {
	if strings.EqualFold(text, "all") {
		return func(tracker.Specimen) bool { return true }, "", nil
	}
	if lo, hi, ok := serialRange(text); ok {
		if last := lastSerial(rec); lo > hi || hi > last {
			err = refuse("%s: the serials dealt go from 1 to %d", Quoted(text), last)
		}
		return func(sp tracker.Specimen) bool { return lo <= sp.Code.Serial && sp.Code.Serial <= hi }, "", err
	}
	if board, ok := cutFold(text, "board "); ok {
		return func(sp tracker.Specimen) bool { return strings.EqualFold(sp.Board, board) }, "is of that board", nil
	}
	if day, ok := cutFold(text, "glued "); ok {
		is, err = gluedOn(rec, day, now)
		return is, "was glued up then", err
	}
	return ofGroup(rec, text)
}

// unused are the serials of a range that none of its codes has.
func unused(codes []labels.Code, lo, hi int) (out []int) {
	used := map[int]bool{}
	for _, c := range codes {
		used[c.Serial] = true
	}
	for serial := lo; serial <= hi; serial++ {
		if !used[serial] {
			out = append(out, serial)
		}
	}
	return out
}

// gluedOn tells the lot that was first glued up in a time, most often a day.
func gluedOn(rec *tracker.Record, text string, now time.Time) (func(tracker.Specimen) bool, error) {
	span, _, err := schedule.ParseTime(text, now, rec.Zone())
	if err != nil {
		return nil, refuse("glued when? %v", err)
	}
	return func(sp tracker.Specimen) bool {
		at, glued := rec.Life(sp.Code).GluedUp()
		when := at.Mid()
		return glued && (span.From.IsZero() || !when.Before(span.From)) && (span.To.IsZero() || when.Before(span.To) || span.Exact())
	}, nil
}

// ofGroup tells who is of an adhesive, a treatment or both, named by the plan's
// keys in any case. While breaking is blind no adhesive is told.
func ofGroup(rec *tracker.Record, text string) (is func(tracker.Specimen) bool, none string, err error) {
	study := rec.Study()
	for _, a := range study.Adhesives {
		for _, t := range study.Treatments {
			if strings.EqualFold(text, a.Key+" "+t.Key) {
				is = func(sp tracker.Specimen) bool { return sp.Adhesive == a.Key && sp.Treatment == t.Key }
			}
		}
		if strings.EqualFold(text, a.Key) {
			is = func(sp tracker.Specimen) bool { return sp.Adhesive == a.Key }
		}
	}
	if is != nil && breakingBlind(rec, is) {
		return is, "", refuse("%s: which codes are of an adhesive is not told while breaking is blind", Quoted(text)).with(NameTheCodes{})
	}
	for _, t := range study.Treatments {
		if is == nil && strings.EqualFold(text, t.Key) {
			is = func(sp tracker.Specimen) bool { return sp.Treatment == t.Key }
		}
	}
	return is, "is of that group", nil
}

// breakingBlind reports whether somebody is breaking without knowing the
// adhesives, and some of those meant are still to be broken.
func breakingBlind(rec *tracker.Record, is func(tracker.Specimen) bool) bool {
	if !rec.Study().Rule.Blind {
		return false
	}
	begun, left := false, false
	for _, life := range rec.Lives() {
		begun = begun || len(life.Tries) > 0
		left = left || life.Next == schedule.Break && is(life.Specimen)
	}
	return begun && left
}

// idBegins is how many digits an event's id has before its first hyphen, where all are digits:
// more than any serial has.
const idBegins = 8

// serialRange reads two serials with a hyphen or two dots between them. The beginning of
// an id, 12345678-1234, is none.
func serialRange(text string) (lo, hi int, ok bool) {
	from, to, ok := strings.Cut(text, "..")
	if !ok {
		from, to, ok = strings.Cut(text, "-")
	}
	lo, errLo := strconv.Atoi(strings.TrimSpace(from))
	hi, errHi := strconv.Atoi(strings.TrimSpace(to))
	return lo, hi, ok && errLo == nil && errHi == nil && lo > 0 && len(strings.TrimSpace(from)) < idBegins
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
// are meant as they were named. Of all, a board, a lot or a group only those are
// meant at a stage whose next step it is, as at a bath's tag; and what happened to none of
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
// for both halves or one half of it, or specimens named together; and the serials
// of a range that no specimen has. The error is a *Refusal.
func IssuesOf(rec *tracker.Record, words []string, now time.Time) (out []Issue, missing []int, err error) {
	printed := printsOf(rec)
	for _, text := range words {
		specimen, half, err := rec.Resolve(text)
		if err == nil {
			out = append(out, printed.issuesOf(rec, specimen, half)...)
			continue
		}
		several, ok, refused := readSeveral(rec, text, now)
		if refused != nil {
			return nil, nil, refused
		}
		if !ok {
			return nil, nil, refuse("%v", err)
		}
		missing = append(missing, several.Several.Unused...)
		for _, sp := range rec.Specimens() {
			if slices.Contains(several.Several.Codes, sp.Code.Whole()) {
				out = append(out, printed.issuesOf(rec, sp, 0)...)
			}
		}
	}
	return out, missing, nil
}
