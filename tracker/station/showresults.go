package station

import (
	"bytes"
	"net/http"
	"sync"
	"time"

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

func showResults(l look) (any, error) {
	r := strength.Results(l.rec)
	view := resultsView{Title: l.study().Title}
	if len(r.Groups) == 0 {
		view.Nothing = wording.NoResults
		return view, nil
	}
	view.Brief = wording.BriefOf(r, l.study())
	view.Table = gridOf(view.Brief.Caption, wording.BriefHeadings, view.Brief.Rows)
	return view, nil
}

func (s *Station) serveReport(w http.ResponseWriter, r *http.Request) { s.sendReport(w, r, false) }
func (s *Station) serveSlide(w http.ResponseWriter, r *http.Request)  { s.sendReport(w, r, true) }

// reportPolicy lets the report have the styles that stand in it and in its figures,
// and photographs as data. In a sandbox nothing can run in it, whatever it holds.
const reportPolicy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; sandbox allow-modals allow-popups"

func (s *Station) sendReport(w http.ResponseWriter, r *http.Request, slide bool) {
	page, err := s.reports.page(s, slide)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set(policyHeader, reportPolicy)
	_, _ = w.Write(page) // whoever asked may be gone: then nobody is left to tell
}

// reportKept is how long a report is shown again as it is, while nothing is recorded.
const reportKept = time.Minute

// reports keeps the last report and the last slide that were made, one at a time:
// opening every photograph anew takes seconds, and guests may ask again and again.
type reports struct {
	mu   sync.Mutex
	kept map[bool]keptReport // by slide
}

type keptReport struct {
	head string
	made time.Time
	page []byte
}

func (k *reports) page(s *Station, slide bool) ([]byte, error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	head, events, err := s.DB.Head()
	if err != nil {
		return nil, err
	}
	if last := k.kept[slide]; last.head == head && s.Clock().Sub(last.made) < reportKept {
		return last.page, nil
	}
	rec, now, err := s.ownRecord() // nobody at a tub shall wait for a report
	if err != nil {
		return nil, err
	}
	var page bytes.Buffer
	if err := report.Write(&page, rec, report.Options{At: now, Head: head, Events: events, Slide: slide, Photo: s.DB.Photo}); err != nil {
		return nil, err
	}
	if k.kept == nil {
		k.kept = map[bool]keptReport{}
	}
	k.kept[slide] = keptReport{head, now, page.Bytes()}
	return page.Bytes(), nil
}
