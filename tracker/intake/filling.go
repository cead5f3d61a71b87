package intake

import (
	"cmp"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"soaktag/labels"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// A Filling is a form about one break, or about the faces of one half, that is
// filled in answer by answer: it says what it asks next until nothing is missing.
type Filling struct {
	study   *tracker.Study
	sub     Subject
	faces   bool
	left    int // halves that wait
	try     Try
	how     tracker.How
	shallow bool
	picture []byte // to be kept with the faces
	said    []step // answered, in order
	given   int    // how many of them were known from the beginning
	briefly bool   // what may be left for later is not asked
	inWords bool   // a bare number is no key: in a stream of scans it is the next serial

	it     item      // what named it: with a time of its own perhaps
	rigWas string    // before another was asked for
	rigIs  string    // in use last, and what Enter stands for; empty for none
	named  bool      // somebody named it; else it was proposed
	since  time.Time // of the first answer
}

// A step is one question of a form.
type step uint8

const (
	complete step = iota
	askRig
	askReading
	askEnding
	askWood
	askMode
)

// Fill begins a form about a break with what is known of it already. Errors are
// what cannot be read of that, each a *Refusal.
func (d *Desk) Fill(sub Subject, known Try) (*Filling, error) {
	f := &Filling{study: d.rec.Study(), sub: sub, try: known, briefly: d.Yes}
	if known.Rig == "" && !d.sit.other && len(f.study.Rigs) > 1 {
		f.rigIs = d.rigInUse()
	}
	f.try.Subject, f.try.Rig = cmp.Or(known.Subject, sub.String()), ""
	return f, f.know(given{askEnding, known.Ended}, given{askRig, known.Rig}, given{askReading, known.Reading},
		given{askWood, known.WoodFailure}, given{askMode, known.Mode})
}

// rigInUse is the rig of the plan that broke a bond last; empty where none did.
func (d *Desk) rigInUse() string {
	for _, e := range slices.Backward(d.rec.Events()) {
		if e.Try != nil && e.Try.Rig != "" && !d.rec.Voided(e.ID) && d.rec.Study().Rig(e.Try.Rig) != nil {
			return e.Try.Rig
		}
	}
	return ""
}

// FillFaces begins a form about the faces of one half, as Fill does about a break.
func (d *Desk) FillFaces(sub Subject, known Faces) (*Filling, error) {
	f := &Filling{study: d.rec.Study(), sub: sub, faces: true, shallow: known.Shallow, picture: known.Picture}
	f.try.Subject = cmp.Or(known.Subject, sub.String())
	return f, f.know(given{askWood, known.WoodFailure}, given{askMode, known.Mode})
}

// A given is what is known of a form before anything is asked.
type given struct {
	of   step
	text string
}

// know fills in what was not left empty.
func (f *Filling) know(all ...given) error {
	for _, g := range all {
		if strings.TrimSpace(g.text) == "" {
			continue
		}
		if err := f.set(g.of, g.text); err != nil {
			return err
		}
	}
	f.given = len(f.said)
	return nil
}

// Break is the form about a break as filled in.
func (f *Filling) Break() Try { return f.try }

// Faces is the form about faces as filled in.
func (f *Filling) Faces() Faces {
	return Faces{Subject: f.try.Subject, WoodFailure: f.try.WoodFailure, Mode: f.try.Mode, Shallow: f.shallow, Picture: f.picture}
}

// next is the first question that is open; complete where none is.
func (f *Filling) next() step {
	for _, s := range []step{askRig, askReading, askEnding, askWood, askMode} {
		if !slices.Contains(f.said, s) && f.wants(s) {
			return s
		}
	}
	return complete
}

// wants reports whether a question is put at all, after what was said.
func (f *Filling) wants(s step) bool {
	switch s {
	case askRig:
		return !f.faces && f.how != tracker.FellApart && len(f.study.Rigs) > 1
	case askReading:
		return !f.faces && (f.how == "" || f.how.Loads())
	case askEnding:
		return !f.faces
	case askWood:
		return f.faces || f.how.Parts() && f.sub.Code != tracker.DummyCode && !f.briefly
	}
	return f.try.WoodFailure != "" && !f.briefly
}

// Asks is what is still missing; nil where nothing is.
func (f *Filling) Asks() Question {
	switch f.next() {
	case askRig:
		return WhichRig{f.sub.String(), rigNames(f.study.Rigs), f.rigIs}
	case askReading:
		q := WhatReading{Subject: f.sub.String(), Unit: f.unit()}
		if len(f.study.Rigs) > 1 {
			q.Rig = f.try.Rig
		}
		return q
	case askEnding:
		return HowEnded{Subject: f.sub.String(), Reading: f.try.Reading, InWords: f.inWords}
	case askWood:
		return WoodFailed{How: f.how, Subject: f.sub.String(), Left: f.left}
	case askMode:
		percent, _ := ParsePercent(f.try.WoodFailure)
		return WhichMode{percent, f.shallow}
	}
	return nil
}

// Answer takes an answer to what is asked; empty is what Enter stands for. It
// reports false, and notes why, where the text is none: the question stands.
func (f *Filling) Answer(out *Outcome, text string) bool {
	text = strings.TrimSpace(text)
	s := f.next()
	if strings.EqualFold(text, "u") {
		return f.back(out)
	}
	switch {
	case f.endsUnread(s, text):
		s = askEnding
	case f.readsAfterAll(s, text):
		f.forget(askReading)
		s = askReading
	}
	if err := f.set(s, text); err != nil {
		out.add(NotTaken{f.wayOut(s, refusalOf(err))})
		return false
	}
	if s == askReading {
		f.look(out)
	}
	out.add(Heard{f.sub, f.answer(f.said[len(f.said)-1])})
	return true
}

// look warns of a reading that was just given and does not go with the dial.
func (f *Filling) look(out *Outcome) {
	rig := f.rig()
	out.Notes = append(out.Notes, foreign(rig, f.try.Reading)...)
	if rig != nil && rig.Gauge.Exceeded(f.try.Reading) {
		out.add(BeyondDial{f.try.Reading, rig.Name})
	}
}

// endsUnread reports whether a text, where the rig or the reading is asked, says
// at once how a try ended that has no reading.
func (f *Filling) endsUnread(s step, text string) bool {
	how, err := tracker.ParseHow(text)
	return err == nil && !how.Loads() && (s == askReading || s == askRig && f.study.Rig(text) == nil)
}

// set reads an answer and keeps it.
func (f *Filling) set(s step, text string) error {
	var err error
	switch s {
	case askRig:
		err = f.setRig(text)
	case askReading:
		err = f.setReading(text)
	case askEnding:
		err = f.setEnding(text)
	case askWood:
		err = f.setWood(text)
	case askMode:
		err = f.setMode(text)
	}
	if err == nil {
		f.said = append(f.said, s)
	}
	return err
}

// setRig takes a rig by its name, by its number in the list, or as the one in use
// last. One that the plan does not know is taken only where everything is meant.
func (f *Filling) setRig(text string) error {
	text = cmp.Or(text, f.rigIs)
	rig := f.study.Rig(text)
	if n, err := strconv.Atoi(text); rig == nil && err == nil && n >= 1 && n <= len(f.study.Rigs) {
		rig = &f.study.Rigs[n-1]
	}
	switch {
	case rig != nil:
		f.try.Rig = rig.Name
	case f.briefly && text != "":
		f.try.Rig = text
	default:
		return refuse("the plan has no rig %q; it has: %s", text, RigNames(f.study.Rigs))
	}
	return nil
}

// setReading takes a reading, or nothing where there was none.
func (f *Filling) setReading(text string) error {
	if f.how != "" {
		text = inUnit(text, f.unit())
		_, err := ParseReading(f.study.Units, f.how, text)
		f.try.Reading = text
		return err
	}
	if text == "" {
		return nil
	}
	if how, err := tracker.ParseHow(text); err == nil {
		return refuse("%s: what did the gauge show? the reading comes first", how)
	}
	text = inUnit(text, f.unit())
	if _, err := quantity.ParseReading(text); err != nil {
		return refuse("reading: %v", f.study.Units.Explain(err))
	}
	f.try.Reading = text
	return nil
}

// decimalComma is one number with a comma and one or two digits behind it, which no
// thousand has, perhaps with a unit. "1,310" may be either, and stays refused.
var decimalComma = regexp.MustCompile(`^([0-9]+),([0-9]{1,2})(\s*[^0-9,.\s].*)?$`)

// inUnit gives a bare number its unit, and a decimal comma its point. What is a
// reading, or none, stays as it is.
func inUnit(text, unit string) string {
	text = decimalComma.ReplaceAllString(text, "$1.$2$3")
	_, bare := quantity.ParseReading(text)
	if full := text + " " + unit; bare != nil && unit != "" {
		if _, err := quantity.ParseReading(full); err == nil {
			return full
		}
	}
	return text
}

// setEnding takes how a try ended: its number in the list, its name, or nothing
// where a bond separated.
func (f *Filling) setEnding(text string) error {
	if text == "" && f.try.Reading != "" {
		text = string(tracker.Separated)
	}
	if !f.inWords {
		text = numbered(text)
	}
	how, err := tracker.ParseHow(text)
	if err != nil {
		return refuse("%v", err)
	}
	if slices.Contains(f.said, askReading) {
		if _, err := ParseReading(f.study.Units, how, f.try.Reading); err != nil {
			return err
		}
	}
	f.how, f.try.Ended = how, string(how)
	return nil
}

// numbered is the ending that a number of the list stands for, else the text.
func numbered(text string) string {
	endings := tracker.Endings()
	if n, err := strconv.Atoi(text); err == nil && n >= 1 && n <= len(endings) {
		return string(endings[n-1])
	}
	return text
}

func (f *Filling) setWood(text string) error {
	if text == "" && !f.faces {
		return nil
	}
	number, shallow := cutShallow(text)
	if _, err := ParsePercent(number); err != nil {
		return err
	}
	if shallow && !f.faces {
		return refuse("shallow is told of a face that is read dry, by soaktag faces; here %s alone", number)
	}
	f.try.WoodFailure, f.shallow = number, f.faces && (shallow || f.shallow)
	return nil
}

// cutShallow takes the word "shallow" off a wood failure, as much of it as was typed.
func cutShallow(text string) (number string, shallow bool) {
	number, word, found := strings.Cut(text, " ")
	if found && len(word) > 1 && strings.HasPrefix("shallow", strings.ToLower(word)) {
		return number, true
	}
	return text, false
}

func (f *Filling) setMode(text string) error {
	mode, ok := tracker.ParseMode(text)
	if !ok {
		return refuse("%q is no key for a failure mode", text)
	}
	f.try.Mode = mode
	return nil
}

// unsay takes the last answer back, and returns it.
func (f *Filling) unsay() (answer string, ok bool) {
	if len(f.said) <= f.given {
		return "", false
	}
	last := f.said[len(f.said)-1]
	f.said = f.said[:len(f.said)-1]
	answer = f.answer(last)
	switch last {
	case askEnding:
		f.how = ""
	case askWood:
		f.shallow = false
	}
	*f.field(last) = ""
	return answer, true
}

// forget takes one answer back, in whatever order it came.
func (f *Filling) forget(s step) {
	if i := slices.Index(f.said, s); i >= 0 {
		f.said = slices.Delete(f.said, i, i+1)
		if *f.field(s) = ""; i < f.given {
			f.given--
		}
	}
}

// answer is what was understood of an answer.
func (f *Filling) answer(s step) string { return *f.field(s) }

// field is where an answer is kept.
func (f *Filling) field(s step) *string {
	switch s {
	case askRig:
		return &f.try.Rig
	case askReading:
		return &f.try.Reading
	case askEnding:
		return &f.try.Ended
	case askWood:
		return &f.try.WoodFailure
	}
	return &f.try.Mode
}

// rig is the rig of the try; nil where there is none, or several.
func (f *Filling) rig() *tracker.Rig { return rigOf(f.study, f.try.Rig) }

// unit is what a bare number of the gauge is in; empty where that is not certain.
func (f *Filling) unit() string { return unitOf(f.rig()) }

func unitOf(rig *tracker.Rig) string {
	if rig == nil {
		return ""
	}
	return rig.Gauge.Unit()
}

// rigOf is the rig named, else the plan's only one; nil for none of these.
func rigOf(study *tracker.Study, named string) *tracker.Rig {
	switch {
	case strings.TrimSpace(named) != "":
		return study.Rig(named)
	case len(study.Rigs) == 1:
		return &study.Rigs[0]
	}
	return nil
}

// foreign notes that a reading is of another kind than the dial of its rig; what
// lies beyond the dial has a mark of its own once it is recorded.
func foreign(rig *tracker.Rig, reading string) []Note {
	if rig == nil || !rig.Gauge.Foreign(reading) {
		return nil
	}
	return []Note{ForeignReading{reading, rig.Name, rig.Gauge.Span.Unit}}
}

// isFullCode reports whether a text is a code with its check character, perhaps
// with a time behind it.
func isFullCode(text string) bool {
	words := lineWords(text)
	if len(words) == 0 {
		return false
	}
	_, err := labels.Parse(words[0])
	return err == nil
}
