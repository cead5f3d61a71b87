package station

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"net/http"
	"strings"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/report"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// A resultsView is what the study comes to so far, as a terminal tells it in two
// screens.
type resultsView struct {
	Title   string
	Nothing string
	Brief   wording.Brief
	Table   grid
}

func showResults(rec *tracker.Record) resultsView {
	r := strength.Results(rec)
	view := resultsView{Title: rec.Study().Title}
	if len(r.Groups) == 0 {
		view.Nothing = wording.NoResults
		return view
	}
	view.Brief = wording.BriefOf(r, rec.Study())
	view.Table = gridOf(view.Brief.Caption, wording.BriefHeadings, view.Brief.Rows)
	return view
}

// serveResults answers with a fragment. Statistics take longer than all other
// fragments together, so it is kept.
func (s *Station) serveResults(w http.ResponseWriter, r *http.Request) {
	s.sendKept(w, r, "results", func(rec *tracker.Record, _ time.Time, _ string, _ int64) ([]byte, error) {
		return fill("results", showResults(rec))
	})
}

func (s *Station) serveReport(w http.ResponseWriter, r *http.Request) { s.sendReport(w, r, "report") }
func (s *Station) serveSlide(w http.ResponseWriter, r *http.Request)  { s.sendReport(w, r, slide) }

const slide = "slide"

// reportPolicy lets the report have the styles that stand in it and in its figures,
// and photographs as data. In a sandbox nothing can run in it, whatever it holds.
const reportPolicy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; sandbox"

func (s *Station) sendReport(w http.ResponseWriter, r *http.Request, name string) {
	w.Header().Set(policyHeader, reportPolicy)
	s.sendKept(w, r, name, func(rec *tracker.Record, now time.Time, head string, events int64) ([]byte, error) {
		var page bytes.Buffer
		err := report.Write(&page, rec, report.Options{At: now, Head: head, Events: events, Slide: name == slide, Photo: s.DB.Photo})
		return page.Bytes(), err
	})
}

// serveGuest answers with the results as a page of its own.
func (s *Station) serveGuest(w http.ResponseWriter, r *http.Request) {
	allow(w, "style-src "+guestStyle)
	s.sendKept(w, r, "guest", func(rec *tracker.Record, _ time.Time, _ string, _ int64) ([]byte, error) {
		return fill("guestpage", showResults(rec))
	})
}

// guestStyle names the style that stands in the guest's page by its hash.
var guestStyle = func() string {
	var style strings.Builder
	if err := templates.ExecuteTemplate(&style, "gueststyle", nil); err != nil {
		panic(err) // templates are parsed when the program starts, and a test does
	}
	return hashOf(style.String())
}()

// hashOf names a style as a policy does.
func hashOf(style string) string {
	sum := sha256.Sum256([]byte(style))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}
