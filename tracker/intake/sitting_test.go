package intake

import (
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

// A seen is what the questions of a desk showed of what is in hand: all that
// somebody at the press can know of what will be recorded.
type seen struct {
	subject, reading, unit string
	how                    tracker.How
	percent                *float64
	inWords                bool
}

// see takes over what a question shows.
func (s seen) see(q Question) seen {
	switch q := q.(type) {
	case WhichRig:
		if s.subject != q.Subject {
			s = seen{subject: q.Subject}
		}
	case WhatReading:
		return seen{subject: q.Subject, unit: q.Unit}
	case HowEnded:
		return seen{subject: q.Subject, reading: q.Reading, inWords: q.InWords}
	case WoodFailed:
		s.how, s.percent = q.How, nil
		s.subject = q.Subject
	case WhichMode:
		s.percent = &q.Percent
	}
	return s
}

// A sitter gives a desk random lines and compares what is recorded with what was
// shown before.
type sitter struct {
	*testing.T
	desk   *Desk
	shown  seen
	counts map[string]bool // ids of tries and faces that count, by what was said
	lines  []string
}

// lines that mean something at one question or another, and some that never do.
func sitterLines() []string {
	lines := []string{"", "", "", "", "12", "9.5 MPa", "1310 psi", "40 kN", "0", "2", "3", "4", "5", "6", "7", "fell apart", "sep", "stopped",
		"u", "u", ".UNDO", ".YES", ".WHOANN", "85", "30 shallow", "100", "101", "a", "c", "x", "in the glue, mostly", "rig", "press", "dummy", "bath B1", "jam", ".TEST",
		"TRF-001-X", "1/1", "99", "\x00\xff", "2 08:30", ".GLUEUP", ".BREAK"}
	for i := range 8 {
		lines = append(lines, code(i+1), code(i+1)+"/1", code(i+1)+"/2")
	}
	return lines
}

func (s *sitter) fails(format string, args ...any) {
	s.Helper()
	s.Fatalf("%q: %s", s.lines, fmt.Sprintf(format, args...))
}

// gives the desk a line.
func (s *sitter) gives(line string) {
	s.lines = append(s.lines, line)
	before := s.desk.Asks()
	s.shown = s.shown.see(before)
	out, err := s.desk.Take(Line(line))
	if err != nil {
		s.fails("%v", err)
	}
	s.came(out, before, line)
}

// came looks at what came of a line.
func (s *sitter) came(out Outcome, before Question, line string) {
	kept, back := false, false
	for _, n := range out.Notes {
		switch n := n.(type) {
		case Recorded:
			for _, v := range n.Verdicts {
				kept = s.recorded(v.Event, line) || kept
			}
		case TakenBack:
			for _, e := range n.Events {
				delete(s.counts, e.ID)
			}
		case Unsaid, PutBack:
			back = true
		}
	}
	s.keptAll(before, kept || back)
}

// recorded compares an event with what was shown, and with the line that ended it.
func (s *sitter) recorded(e tracker.Event, line string) bool {
	switch {
	case e.Try != nil:
		s.tried(e, line)
	case e.Faces != nil:
		if s.shown.subject != Shown(e.Code, e.Half) || s.shown.percent == nil || *s.shown.percent != e.Faces.WoodFailure {
			s.fails("recorded %+v of %s; shown was %+v", e.Faces, Shown(e.Code, e.Half), s.shown)
		}
	default:
		return e.Stage == schedule.Break
	}
	s.counts[e.ID] = true
	return true
}

func (s *sitter) tried(e tracker.Event, line string) {
	subject := s.shown.subject
	if s.shown.how != "" && subject == "" {
		subject = Shown(e.Code, e.Half)
	}
	if subject != Shown(e.Code, e.Half) || s.shown.reading != e.Try.Reading {
		s.fails("recorded %+v of %s; shown was %+v", e.Try, Shown(e.Code, e.Half), s.shown)
	}
	if s.shown.how != "" && s.shown.how != e.Try.How {
		s.fails("recorded %s, shown was %s", e.Try.How, s.shown.how)
	}
	if s.shown.how == "" && e.Try.How != s.shown.meansEnding(line) {
		s.fails("%q became %s", line, e.Try.How)
	}
	if p := s.shown.percent; p != nil && (e.Try.WoodFailure == nil || *e.Try.WoodFailure != *p) {
		s.fails("recorded a wood failure of %v, shown was %g", e.Try.WoodFailure, *p)
	}
}

// meansEnding is how a try ended after the last line, where that was the answer;
// separated where another thing was taken up instead.
func (s seen) meansEnding(line string) tracker.How {
	for i, how := range tracker.Endings() {
		if line == fmt.Sprint(i+1) && !s.inWords || line != "" && line != "u" && strings.HasPrefix(string(how), line) {
			return how
		}
	}
	return tracker.Separated
}

// keptAll: where the desk knew a reading and now asks about something else, it is
// on record, or somebody took it back.
func (s *sitter) keptAll(before Question, kept bool) {
	knew := false
	switch q := before.(type) {
	case HowEnded:
		knew = q.Reading != ""
	case WoodFailed:
		knew = q.How != ""
	case WhichMode:
		knew = true
	}
	same := false
	switch s.desk.Asks().(type) {
	case WhichRig:
		same = true // and then again what it asked before
	case HowEnded, WoodFailed, WhichMode:
		same = s.shown.see(s.desk.Asks()).subject == s.shown.subject
	}
	if knew && !kept && !same {
		s.fails("%+v was known, and is lost", s.shown)
	}
}

// agree: what counts in the record is what was recorded and not taken back.
func (s *sitter) agree() {
	if err := s.desk.refresh(); err != nil {
		s.Fatal(err)
	}
	for _, e := range s.desk.rec.Events() {
		if (e.Try != nil || e.Faces != nil) && s.counts[e.ID] == s.desk.rec.Voided(e.ID) {
			s.fails("%+v: void %v, and by what was said it counts: %v", e, s.desk.rec.Voided(e.ID), s.counts[e.ID])
		}
	}
}

// TestSittingsKeepWhatTheyShow gives random lines to a desk at the press, over
// faces, and under the card of the break.
func TestSittingsKeepWhatTheyShow(t *testing.T) {
	sequences := 25
	if os.Getenv("SOAKTAG_CI") != "" {
		sequences = 300
	}
	lines := sitterLines()
	for _, plan := range []string{smallPlan, smallPlan + strings.Replace(smallPlan[strings.Index(smallPlan, "[[rig]]"):], "press", "lever", 1)} {
		for seq := range sequences {
			rng := rand.New(rand.NewPCG(11, uint64(seq)))
			d, c := deskOf(t, plan, dealt())
			s := &sitter{T: t, desk: d, counts: map[string]bool{}}
			d.now = func() time.Time { c.now = c.now.Add(time.Second); return c.now }
			s.begin(rng)
			for range 40 {
				s.gives(lines[rng.IntN(len(lines))])
			}
			s.shown = s.shown.see(d.Asks())
			out, err := d.Leave()
			if err != nil {
				s.fails("%v", err)
			}
			s.lines = append(s.lines, "end")
			s.came(out, nil, "")
			s.agree()
		}
	}
}

// begin sits down to one of the acts.
func (s *sitter) begin(rng *rand.Rand) {
	switch rng.IntN(3) {
	case 0:
		if _, err := s.desk.SitAtPress(""); err != nil {
			s.Fatal(err)
		}
	case 1:
		for i := range 8 { // so that there are faces
			out, err := s.desk.Take(Try{Subject: code(i + 1), Reading: "9", Ended: "separated", Rig: "press"})
			if err != nil {
				s.Fatal(err)
			}
			s.counts[out.Verdicts()[0].Event.ID] = true
		}
		s.desk.SitOverFaces()
	default:
		s.gives(".BREAK")
	}
	s.lines = append(s.lines, "begin")
}

// The halves come in an order that is random, that is the same each time, and that
// specimens added later do not disturb.
func TestFacesQueueIsFixed(t *testing.T) {
	d, c := deskAt(t, begun(t))
	for i := range 8 {
		c.took(t, d, Try{Subject: code(i + 1), Reading: "9 MPa", Ended: "separated"})
	}
	d.refresh()
	all := d.rec.FacesQueue()
	if len(all) != 16 || slices.IsSortedFunc(all, func(a, b labels.Code) int { return a.Serial - b.Serial }) {
		t.Fatalf("%v", all)
	}
	c.took(t, d, Faces{Subject: all[3].String(), WoodFailure: "5"})
	d.refresh()
	if got, want := d.rec.FacesQueue(), slices.Delete(slices.Clone(all), 3, 4); !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}
