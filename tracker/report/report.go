// Package report writes what a study found as one HTML page that a person can
// show to others: the finding in words, every specimen as a mark, what can be
// compared and what cannot, and how it was worked out. A slide of the same is
// one page for a screen on a wall.
//
// The file asks for nothing from outside: styles and figures stand in it, it
// has no script, and it names no font, only kinds of them.
//
// Figures are SVG drawn here, not by a plotting library. So their text is the
// page's own text, in the page's font, that can be searched and read aloud;
// title and description hold the numbers; and each is drawn twice, for a wide
// page and for a telephone, because a figure that only shrinks to 360 pixels
// has letters of four. A style shows one of the two. Widths of letters differ
// between machines, so every text has a sixth more room than it should need.
// What a mark means is in its shape, never in its colour alone.
//
// The same record and options always give the same bytes.
package report

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"html/template"
	"io"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/strength"
)

// Options are what a report says of itself.
type Options struct {
	At     time.Time // when it is made; also "now" for intervals that still run, unless AsOf is
	AsOf   time.Time // the past moment that the record is of; zero: it is all that is known
	Head   string    // hash of the whole log's head, as verify gives it
	Events int64     // events in the whole log, later ones too where the record is of a past moment
	Slide  bool      // one page of 16:9 instead of the whole report

	// Progress is told after each step of the work; nil: nobody waits.
	Progress func(done, of int)

	// Photo returns the bytes of a photograph by its SHA-256, as the store
	// does. With nil the page only says how many there are.
	Photo func(sha string) ([]byte, error)
}

// now is the moment that the report speaks of.
func (o Options) now() time.Time {
	if o.AsOf.IsZero() {
		return o.At
	}
	return o.AsOf
}

//go:embed templates/*.tmpl
var templateFiles embed.FS

// Write writes the report on rec to w as one HTML file. An error means that
// the record holds no study yet, or that w failed; a study in which nothing
// was broken gives a page that says so.
func Write(w io.Writer, rec *tracker.Record, o Options) error {
	if rec.Study() == nil {
		return errors.New("report: no study has begun; begin one with soaktag begin PLAN.toml")
	}
	t, err := template.ParseFS(templateFiles, "templates/*.tmpl")
	if err != nil {
		return fmt.Errorf("report: templates: %w", err)
	}
	steps := stepper{tell: o.Progress}
	s := newSource(rec, o, &steps)
	name, view := "report.tmpl", any(nil)
	if o.Slide {
		name, view = "slide.tmpl", newSlide(s)
	} else {
		view = newPage(s)
	}
	steps.done()
	var page bytes.Buffer
	if err := t.ExecuteTemplate(&page, name, view); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	steps.done()
	text := plain(page.String())
	steps.done()
	_, err = io.WriteString(w, text)
	return err
}

// A stepper tells how many steps of the work are done: the lives, what they come to,
// their times, the page, its text, and that without what no page may hold.
type stepper struct {
	n    int
	tell func(done, of int)
}

const allSteps = 6

func (s *stepper) done() {
	if s.n++; s.tell != nil {
		s.tell(s.n, allSteps)
	}
}

// A source is all that a report draws on.
type source struct {
	study   *tracker.Study
	results strength.Report
	lives   []*tracker.Life
	drift   []tracker.IntervalDrift
	wood    *wood // nil: not in the table
	o       Options
}

func newSource(rec *tracker.Record, o Options, steps *stepper) *source {
	s := &source{study: rec.Study(), lives: rec.Lives(), o: o}
	steps.done()
	s.results = strength.Results(rec)
	steps.done()
	s.drift = rec.Drift(o.now())
	steps.done()
	s.wood = woodOf(s.study.Wood.Species)
	return s
}
