package intake

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"soaktag/labels"
	"soaktag/tracker"
)

// A Subject is what somebody named: a specimen, a code that nobody dealt, a
// whole bath, specimens named together, a dummy, a trial label or all of them.
type Subject struct {
	Text string // as given
	Code string // as it will be stored; empty for a bath and for all trial labels
	Half int    // 1, 2, or 0 where none was named
	Bath string

	Several *Several // specimens named together, Code is empty then; else nil

	Called string // the code of a specimen that was called by its name, where that is a number as serials are

	Trial     bool // a trial label; Code is its symbol
	AllTrials bool // every trial label
	byEye     bool // a trial label that was typed: no scanner read it
	read      bool // the text is no full code: how it was understood is to be said
}

// String is the subject as a message names it, and as it can be typed.
func (s Subject) String() string {
	switch {
	case s.Bath != "":
		return "bath " + s.Bath
	case s.AllTrials:
		return "trial"
	case s.Several != nil:
		return s.Text
	}
	return Shown(s.Code, s.Half)
}

// Shown is a code as it was stored, as a message names it.
func Shown(code string, half int) string {
	if t, ok := tracker.TrialOf(code); ok {
		return t.String()
	}
	switch {
	case code == tracker.DummyCode:
		return "dummy"
	case half != 0 && !strings.HasPrefix(code, "."):
		return fmt.Sprintf("%s/%d", code, half)
	}
	return code
}

// ofTrial reports whether a subject is a trial label, or all of them.
func (s Subject) ofTrial() bool { return s.Trial || s.AllTrials }

// Dummy is a bond broken to try a rig.
func Dummy() Subject { return Subject{Text: "dummy", Code: tracker.DummyCode} }

// IsDummy reports whether a word means a dummy. A specimen that somebody named
// so comes first.
func IsDummy(rec *tracker.Record, word string) bool {
	word = strings.TrimSpace(word)
	if strings.EqualFold(word, tracker.DummyCode) {
		return true
	}
	_, _, err := rec.Resolve(word)
	return err != nil && strings.EqualFold(word, "dummy")
}

// readSubject finds what a text names: a code in any spelling, a name of the
// person's own, a bare serial, or a bath. A valid code that was never dealt is
// a subject too: the record keeps it and asks. The error is a *Refusal.
func readSubject(rec *tracker.Record, text string) (Subject, error) {
	text = strings.TrimSpace(text)
	code, err := labels.Parse(text)
	if err == nil {
		return Subject{Text: text, Code: code.Whole().String(), Half: code.Half}, nil
	}
	if bath, ok := readBath(rec, text); ok {
		return Subject{Text: text, Bath: bath}, nil
	}
	if sp, half, err := rec.Resolve(text); err == nil {
		return ofSpecimen(sp, half, text), nil
	}
	return Subject{}, unreadable(rec, text, err)
}

// ofSpecimen is the subject for a specimen found: stored under its name if it
// was called by its name, else under its code.
func ofSpecimen(sp tracker.Specimen, half int, text string) Subject {
	sub := Subject{Text: text, Code: sp.Code.Whole().String(), Half: half}
	if sp.CalledBy(text) {
		sub.Code = sp.Name
		if _, err := strconv.Atoi(sp.Name); err == nil { // which may be another's serial
			sub.read, sub.Called = true, sp.Code.Whole().String()
		}
		return sub
	}
	sub.read = true
	return sub
}

// lifeOf is the life of the specimen that a subject names; nil where it names
// none that was dealt.
func lifeOf(rec *tracker.Record, sub Subject) *tracker.Life {
	code, err := labels.Parse(sub.Code)
	if err == nil {
		return rec.Life(code.Whole())
	}
	sp, _, err := rec.Resolve(sub.Code)
	if err != nil {
		return nil
	}
	return rec.Life(sp.Code)
}

// lifeRead is the life that a code read at an instant is of: another's while two labels
// are exchanged; nil for none.
func lifeRead(rec *tracker.Record, sub Subject, at time.Time) *tracker.Life {
	life := lifeOf(rec, sub)
	if life == nil {
		return nil
	}
	return rec.Life(rec.Meant(life.Specimen.Code, at))
}

// readBath finds the bath that a tag ("bath B2") or the bare name means.
func readBath(rec *tracker.Record, text string) (string, bool) {
	name := text
	if card, ok := labels.ParseCard(text, nil); ok {
		if card.Kind != labels.CardBath {
			return "", false
		}
		name = card.Name
	}
	baths := Baths(rec)
	if typed := afterBath(text); slices.Contains(baths, typed) { // of two that differ in case only, the very one
		return typed, true
	}
	at := slices.IndexFunc(baths, func(bath string) bool { return labels.SameName(bath, name) })
	if at < 0 {
		return "", false
	}
	return baths[at], true
}

// afterBath is a text without the word bath before it.
func afterBath(text string) string {
	if first, name, ok := strings.Cut(text, " "); ok && strings.EqualFold(first, "bath") {
		return strings.TrimSpace(name)
	}
	return text
}

// Baths lists the baths of the plan and those that specimens were moved into.
func Baths(rec *tracker.Record) []string {
	var all []string
	add := func(bath string) {
		if bath != "" && !slices.Contains(all, bath) {
			all = append(all, bath)
		}
	}
	for _, a := range rec.Study().Adhesives {
		add(a.Bath)
	}
	for _, sp := range rec.Specimens() {
		add(sp.Bath)
	}
	return all
}

// unreadable explains a text that names nothing, with the codes nearest to it.
func unreadable(rec *tracker.Record, text string, cause error) *Refusal {
	var wrong *labels.CheckError
	why := fmt.Sprintf("%s is no code, name, card or bath of this study", Quoted(text))
	if errors.As(cause, &wrong) {
		why = fmt.Sprintf("%s has a wrong check character", Quoted(text))
	} else if serial, _, ok := labels.ParseSerial(text); ok {
		why = fmt.Sprintf("%s: no specimen of this study has serial %d", Quoted(text), serial)
	}
	return &Refusal{Why: why, Help: ReadAgain{nearest(rec, text)}}
}

// longestCode is more than any text that a code was misread as.
const longestCode = 40

func nearest(rec *tracker.Record, text string) []string {
	if len(text) > longestCode {
		return nil
	}
	return rec.Nearest(text)
}
