package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"soaktag/labels"
	"soaktag/tracker"
	"soaktag/tracker/wording"
)

// A subject is what somebody named: a specimen, a code that nobody dealt, or a
// whole bath.
type subject struct {
	text string // as given
	code string // as it will be stored; empty for a bath
	half int
	bath string
	echo string // how a text that is no full code was understood
}

// shown is the subject as a message names it.
func (sub subject) shown() string {
	if sub.bath != "" {
		return "bath " + sub.bath
	}
	return wording.Code(sub.code, sub.half)
}

// A notRead says why a text stands for nothing that can be recorded.
type notRead struct{ why, hint string }

func (e *notRead) Error() string { return e.why }

// readSubject finds what a text names: a code in any spelling, a name of the
// person's own, a bare serial, or a bath. A valid code that was never dealt is
// a subject too: the record keeps it and asks. The error is a *notRead.
func readSubject(rec *tracker.Record, text string) (subject, error) {
	text = strings.TrimSpace(text)
	code, err := labels.Parse(text)
	if err == nil {
		return subject{text: text, code: code.Whole().String(), half: code.Half}, nil
	}
	if bath, ok := readBath(rec, text); ok {
		return subject{text: text, bath: bath}, nil
	}
	if sp, half, err := rec.Resolve(text); err == nil {
		return specimenSubject(sp, half, text), nil
	}
	return subject{}, unreadable(rec, text, err)
}

// specimenSubject is the subject for a specimen found: stored under its name if it was
// called by its name, else under its code.
func specimenSubject(sp tracker.Specimen, half int, text string) subject {
	sub := subject{text: text, code: sp.Code.Whole().String(), half: half}
	bare := strings.TrimSuffix(strings.TrimSuffix(text, "/1"), "/2")
	if sp.Name != "" && strings.EqualFold(strings.TrimSpace(bare), sp.Name) {
		sub.code = sp.Name
		return sub
	}
	sub.echo = fmt.Sprintf("%q is read as %s", text, sub.shown())
	return sub
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
	for _, bath := range baths(rec) {
		if labels.SameName(bath, name) {
			return bath, true
		}
	}
	return "", false
}

// baths lists the baths of the plan and those that specimens were moved into.
func baths(rec *tracker.Record) []string {
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
func unreadable(rec *tracker.Record, text string, cause error) *notRead {
	var wrong *labels.CheckError
	why := fmt.Sprintf("%s is no code, name, card or bath of this study", quoted(text))
	if errors.As(cause, &wrong) {
		why = fmt.Sprintf("%s has a wrong check character", quoted(text))
	} else if serial, _, ok := labels.ParseSerial(text); ok {
		why = fmt.Sprintf("%s: no specimen of this study has serial %d", quoted(text), serial)
	}
	hint := "read the label again, or type the code by hand"
	if near := nearest(rec, text); near != "" {
		hint = "nearest: " + near + "; look at the specimen and type its code"
	}
	return &notRead{why, hint}
}

// mostNearest is how many near codes are offered.
const mostNearest = 3

func nearest(rec *tracker.Record, text string) string {
	if len(text) > 40 {
		return ""
	}
	var dealt []labels.Code
	for _, sp := range rec.Specimens() {
		dealt = append(dealt, sp.Code)
	}
	var near []string
	for _, code := range labels.Nearest(text, dealt, mostNearest) {
		near = append(near, code.String())
	}
	return strings.Join(near, ", ")
}

// quoted shows a text of any kind safely and shortly.
func quoted(text string) string {
	if len(text) > 40 {
		return fmt.Sprintf("%q and %d more bytes", text[:40], len(text)-40)
	}
	return fmt.Sprintf("%q", text)
}
