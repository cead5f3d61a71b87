package intake

import (
	"errors"
	"slices"
	"strings"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

// An item is one thing on a line of a scanner, or one symbol in a photograph: a
// card, or a subject with perhaps a time of its own.
type item struct {
	card   *labels.Card
	sub    Subject
	at     schedule.Span
	timed  bool
	end    tracker.Ending // of a trial label, said by hand
	doubts []schedule.Doubt
}

// A lineReader turns a line into items.
type lineReader struct {
	rec    *tracker.Record
	stages []string
	base   time.Time // the day that a bare time of day belongs to; zero for now
}

func (d *Desk) lines() lineReader {
	r := lineReader{rec: d.rec, stages: StageNames(d.rec)}
	if d.Timed {
		r.base = d.At.Mid()
	}
	return r
}

// read understands a line: a card, a subject, a subject followed by a time, or
// several run together by a scanner that sends no Enter.
func (r lineReader) read(line string, now time.Time) ([]item, error) {
	one, err := r.item(line)
	if err == nil {
		return []item{one}, nil
	}
	if one, ok := trialEnd(r.rec, line); ok {
		return []item{one}, nil
	}
	items, apart := r.together(r.pieces(line))
	if len(items) > 1 {
		return items, nil
	}
	if one, timeErr, ok := r.timed(line, now); ok {
		return []item{one}, timeErr
	}
	if strings.Contains(line, "://") {
		return nil, refuse("%s is a web address, and no label of this study is one", Quoted(line)).with(Advice{"scan the label with the code alone"})
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

func (r lineReader) item(text string) (item, error) {
	card, ok := labels.ParseCard(text, r.stages)
	if ok && card.Kind == labels.CardBath {
		if _, known := readBath(r.rec, text); !known {
			return item{}, refuse("%s: the study has no such bath", Quoted(text)).with(BathsAre{Baths(r.rec)})
		}
	} else if ok {
		return item{card: &card}, nil
	}
	if stage, ok := tracker.LaterPass(strings.TrimPrefix(text, ".")); ok {
		return item{card: &labels.Card{Kind: labels.CardStage, Name: string(stage)}}, nil
	}
	if sub, ok := readTrial(r.rec, text); ok {
		return item{sub: sub}, nil
	}
	sub, err := readSubject(r.rec, text)
	return item{sub: sub}, err
}

// timed reads a subject followed by a time. Where the line is cut follows from
// the time: behind "12 6 pm" the code is 12. It reports false when no beginning
// of the line is a subject.
func (r lineReader) timed(line string, now time.Time) (it item, err error, ok bool) {
	words := lineWords(line)
	for n := min(len(words)-1, 6); n > 0; n-- {
		one, no := r.item(strings.Join(words[:n], " "))
		if no != nil || one.card != nil {
			continue
		}
		rest := strings.Join(words[n:], " ")
		var noTime error
		if one.at, one.doubts, noTime = r.when(rest, now); noTime == nil {
			one.timed = true
			return one, nil, true
		}
		if !ok {
			it, err, ok = item{}, notATime(one.sub, rest, noTime), true
		}
	}
	return it, err, ok
}

func notATime(sub Subject, rest string, err error) error {
	return refuse("%s is a code, but %s behind it is no time: %v", sub, Quoted(rest), err).
		with(Advice{"a time looks like 18:10, 6:10 pm, -2h30m or 2026-03-27 18:10"})
}

// when reads a time behind a code: relative to the time given for the whole
// list where there is one, as whoever writes up last week's list means last
// week's day by "10:05".
func (r lineReader) when(text string, now time.Time) (schedule.Span, []schedule.Doubt, error) {
	base := now
	if !r.base.IsZero() {
		base = r.base
	}
	return schedule.ParseTimeOn(text, base, now, r.rec.Study().Zone)
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
func (r lineReader) together(pieces []string) ([]item, error) {
	var items []item
	var failed error
	for _, piece := range pieces {
		it, err := r.item(piece)
		if err != nil {
			failed = err
			continue
		}
		items = append(items, it)
	}
	if len(items) == 0 || failed == nil {
		return items, nil
	}
	return nil, refuse("several codes seem to run together, and of them %v", failed).
		with(Advice{"let the scanner send Enter after every code, then scan these again"})
}

// trialEnd reads "trial 3 lost" in a scan stream: what is said by hand of a
// label that a scanner cannot read.
func trialEnd(rec *tracker.Record, line string) (item, bool) {
	words := strings.Fields(line)
	if len(words) < 2 {
		return item{}, false
	}
	end, ok := parseEnd(strings.ToLower(words[len(words)-1]))
	if !ok {
		return item{}, false
	}
	sub, ok := readTrial(rec, strings.Join(words[:len(words)-1], " "))
	sub.byEye = true
	return item{sub: sub, end: end}, ok && !sub.AllTrials
}

func onlyTrials(items []item) bool {
	return !slices.ContainsFunc(items, func(i item) bool { return !i.sub.ofTrial() })
}

func breakNeedsReading(rec *tracker.Record, sub Subject) *Refusal {
	return refuse("%s: a break wants its reading, not only its code", sub).
		with(BreakWithReading{Subject: sub.String(), Choose: len(rec.Study().Rigs) > 1})
}
