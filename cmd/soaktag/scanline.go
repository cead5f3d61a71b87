package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
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

	trial     bool // a trial label; code is its symbol
	allTrials bool // every trial label
	byEye     bool // a trial label that was typed: no scanner read it
}

// shown is the subject as a message names it.
func (sub subject) shown() string {
	switch {
	case sub.bath != "":
		return "bath " + sub.bath
	case sub.allTrials:
		return "trial"
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

// A scanItem is one thing on a line of the scan stream: a card, or a subject
// with perhaps a time of its own.
type scanItem struct {
	card   *labels.Card
	sub    subject
	at     schedule.Span
	timed  bool
	end    tracker.Ending // of a trial label, said by hand
	doubts []schedule.Doubt
}

// A lineReader turns a line into items.
type lineReader struct {
	rec    *tracker.Record
	stages []string
	base   time.Time // of --at: the day that a bare time of day belongs to; zero for now
}

// read understands a line: a card, a subject, a subject followed by a time, or
// several run together by a scanner that sends no Enter.
func (r lineReader) read(line string, now time.Time) ([]scanItem, error) {
	item, err := r.item(line)
	if err == nil {
		return []scanItem{item}, nil
	}
	if item, ok := trialEnd(r.rec, line); ok {
		return []scanItem{item}, nil
	}
	items, apart := r.together(r.pieces(line))
	if len(items) > 1 {
		return items, nil
	}
	if item, timeErr, ok := r.timed(line, now); ok {
		return []scanItem{item}, timeErr
	}
	if apart != nil {
		return nil, apart
	}
	return nil, r.blame(line, err)
}

// blame prefers to say that the first word of a line is a misread code, where
// it is, over saying that the whole line is nothing.
func (r lineReader) blame(line string, err error) error {
	first := lineWords(line)
	var wrong *labels.CheckError
	if len(first) > 1 {
		if _, cause := labels.Parse(first[0]); errors.As(cause, &wrong) {
			return unreadable(r.rec, first[0], cause)
		}
	}
	return err
}

// lineWords cuts a line where people and scanners put a gap.
func lineWords(line string) []string {
	return strings.FieldsFunc(line, func(c rune) bool { return strings.ContainsRune(gaps, c) })
}

const gaps = " \t,;"

func (r lineReader) item(text string) (scanItem, error) {
	card, ok := labels.ParseCard(text, r.stages)
	if ok && card.Kind == labels.CardBath {
		if _, known := readBath(r.rec, text); !known {
			return scanItem{}, &notRead{fmt.Sprintf("%s: the study has no such bath", quoted(text)),
				"its baths: " + orNone(strings.Join(baths(r.rec), ", "))}
		}
	} else if ok {
		return scanItem{card: &card}, nil
	}
	if stage, ok := tracker.LaterPass(strings.TrimPrefix(text, ".")); ok {
		return scanItem{card: &labels.Card{Kind: labels.CardStage, Name: string(stage)}}, nil
	}
	if sub, ok := trialSubject(r.rec, text); ok {
		return scanItem{sub: sub}, nil
	}
	sub, err := readSubject(r.rec, text)
	return scanItem{sub: sub}, err
}

func orNone(text string) string {
	if text == "" {
		return "none"
	}
	return text
}

// timed reads a subject followed by a time. It reports false when no beginning
// of the line is a subject.
func (r lineReader) timed(line string, now time.Time) (scanItem, error, bool) {
	words := lineWords(line)
	for n := min(len(words)-1, 6); n > 0; n-- {
		item, err := r.item(strings.Join(words[:n], " "))
		if err != nil || item.card != nil {
			continue
		}
		rest := strings.Join(words[n:], " ")
		item.at, item.doubts, err = r.when(rest, now)
		if err != nil {
			return scanItem{}, &notRead{fmt.Sprintf("%s is a code, but %s behind it is no time: %v", item.sub.shown(), quoted(rest), err),
				"a time looks like 18:10, -2h30m or 2026-03-27 18:10"}, true
		}
		item.timed = true
		return item, nil, true
	}
	return scanItem{}, nil, false
}

// when reads a time behind a code: relative to --at where that was given, as
// whoever writes up last week's list means last week's day by "10:05". Only
// what lies after the real now is in the future.
func (r lineReader) when(text string, now time.Time) (schedule.Span, []schedule.Doubt, error) {
	base := now
	if !r.base.IsZero() {
		base = r.base
	}
	span, doubts, err := schedule.ParseTime(text, base, r.rec.Study().Zone)
	if err != nil || r.base.IsZero() {
		return span, doubts, err
	}
	doubts = slices.DeleteFunc(doubts, func(d schedule.Doubt) bool { return d == schedule.Future })
	if span.From.After(now) || span.To.After(now) {
		doubts = append(doubts, schedule.Future)
	}
	return span, doubts, nil
}

// pieces cuts a line before every card mark and before every place where the
// study's prefix begins.
func (r lineReader) pieces(line string) []string {
	upper, prefix := strings.ToUpper(line), r.rec.Study().Prefix
	if len(upper) != len(line) {
		return nil
	}
	var pieces []string
	start := 0
	for i := 1; i < len(line); i++ {
		if line[i] == '.' || strings.HasPrefix(upper[i:], prefix) {
			pieces = append(pieces, strings.Trim(line[start:i], gaps))
			start = i
		}
	}
	return append(pieces, strings.Trim(line[start:], gaps))
}

// together reads all the pieces or none. It returns nothing at all when no
// piece can be read: that is no run of codes.
func (r lineReader) together(pieces []string) ([]scanItem, error) {
	var items []scanItem
	var failed error
	for _, piece := range pieces {
		item, err := r.item(piece)
		if err != nil {
			failed = err
			continue
		}
		items = append(items, item)
	}
	if len(items) == 0 || failed == nil {
		return items, nil
	}
	return nil, &notRead{fmt.Sprintf("several codes seem to run together, and of them %v", failed),
		"let the scanner send Enter after every code, then scan these again"}
}

// longestLine is how much of a line is looked at; no code, card and time needs
// a tenth of it.
const longestLine = 4096

// nextLine reads one line of any length in bounded memory and drops what a
// scanner may put around a code. The error is io.EOF after the last line.
func nextLine(in *bufio.Reader) (string, error) {
	var kept []byte
	for {
		part, err := in.ReadSlice('\n')
		kept = append(kept, part[:min(len(part), longestLine-len(kept))]...)
		if err == bufio.ErrBufferFull {
			continue
		}
		if err == io.EOF && len(kept) > 0 {
			err = nil
		}
		return strings.Trim(string(kept), "\r\n\t \x00\x02\x03\ufeff"), err
	}
}
