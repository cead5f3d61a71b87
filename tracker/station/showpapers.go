package station

import (
	"bytes"
	"cmp"
	"errors"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"soaktag/labels"
	"soaktag/labels/sheet"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
	"soaktag/tracker/worksheet"
)

// A papersView is what can be printed.
type papersView struct {
	Sheets []paperView
	New    int    // labels never printed, or relabelled since
	Stock  string // to print them on
	Stocks []string
}

// A paperView is a worksheet: its stage, and its address.
type paperView struct{ Stage, Path string }

func showPapers(l look) (any, error) {
	view := papersView{Stock: l.rec.SuggestedStock(), Stocks: labels.Stocks()}
	for _, stage := range l.study().StageRows() {
		if l.ahead(stage) {
			view.Sheets = append(view.Sheets, paperOf(string(stage)))
		}
	}
	if faces, _ := worksheet.OfFaces(l.rec, worksheet.Faces); len(faces.Rows) > 0 {
		view.Sheets = append(view.Sheets, paperOf(worksheet.Faces))
	}
	fresh, _ := intake.NewOf(intake.AllIssues(l.rec)) // the error says that there is none
	view.New = len(fresh)
	return view, nil
}

func paperOf(stage string) paperView {
	return paperView{stage, "/papers/" + url.PathEscape(stage) + ".pdf"}
}

// ahead reports whether anything has a stage still to come.
func (l look) ahead(stage schedule.Stage) bool {
	for _, life := range l.rec.Lives() {
		if l.rec.Ahead(life, stage) {
			return true
		}
	}
	return false
}

// servePaper answers with a worksheet, the cards, or labels that were printed, as PDF.
// It records nothing.
func (s *Station) servePaper(w http.ResponseWriter, r *http.Request) {
	name, isPDF := strings.CutSuffix(r.PathValue("name"), ".pdf")
	s.papers.Lock()
	defer s.papers.Unlock()
	rec, now, err := s.ownRecord()
	if err != nil {
		s.fail(w, r, err)
		return
	}
	var draw func(io.Writer) error
	switch {
	case !isPDF:
		err = absent{errors.New(name)}
	case name == "labels":
		draw, err = labelsAgain(rec, r.URL.Query())
	case name == "cards":
		draw, err = cards(rec, now)
	default:
		draw, err = worksheetOf(rec, name, now)
	}
	s.sendPDF(w, r, name, draw, err)
}

// sendPDF draws a whole PDF before anything of it is sent.
func (s *Station) sendPDF(w http.ResponseWriter, r *http.Request, name string, draw func(io.Writer) error, err error) {
	var pdf bytes.Buffer
	if err == nil {
		err = draw(&pdf)
	}
	if err != nil {
		s.turnPaper(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Content-Disposition", "inline; filename*=UTF-8''"+url.PathEscape(name)+".pdf")
	_, _ = pdf.WriteTo(w) // whoever asked may be gone: then nobody is left to tell
}

// turnPaper says on a page of its own why there is nothing to print.
func (s *Station) turnPaper(w http.ResponseWriter, r *http.Request, err error) {
	var none absent
	var not *intake.Refusal
	switch {
	case errors.As(err, &none):
		s.deny(w, r, wording.NotHere)
	case errors.As(err, &not):
		why, _ := wording.Refusal(not) // what else it would help to type is for a terminal
		w.Header().Set("Content-Type", "text/plain; charset=utf-8")
		w.WriteHeader(http.StatusConflict)
		_, _ = io.WriteString(w, why+"\n")
	default:
		s.fail(w, r, err)
	}
}

// ownRecord is a record that nobody else looks at, for what takes longer than a
// scan may wait.
func (s *Station) ownRecord() (own *tracker.Record, at time.Time, err error) {
	err = s.withRecord(func(rec *tracker.Record, now time.Time) (err error) {
		at = now
		own, err = rec.With()
		return err
	})
	return own, at, err
}

func worksheetOf(rec *tracker.Record, name string, now time.Time) (func(io.Writer) error, error) {
	if faces, ok := worksheet.OfFaces(rec, name); ok {
		faces.Date = now
		return func(w io.Writer) error { return notDrawn(worksheet.Write(w, faces)) }, nil
	}
	stage, err := intake.ParseStage(rec, name)
	if err != nil {
		return nil, absent{err}
	}
	sheets, _, err := worksheet.Drawn(rec, stage, 0, now) // without a drawing the cuts are still a list
	if err != nil {
		return nil, notDrawn(err)
	}
	sheets[0].Date = now
	return func(w io.Writer) error { return notDrawn(worksheet.Write(w, sheets...)) }, nil
}

// notDrawn is why a paper cannot be printed, which is no fault of the station.
func notDrawn(err error) error {
	if err == nil {
		return nil
	}
	return &intake.Refusal{Why: err.Error()}
}

func cards(rec *tracker.Record, now time.Time) (func(io.Writer) error, error) {
	stock, err := labels.ParseStock(rec.SuggestedStock())
	if err != nil {
		return nil, notDrawn(err)
	}
	job := sheet.Job{Stock: stock, Date: now, Cards: worksheet.Cards(rec, nil, intake.Baths(rec))}
	worksheet.AddLabels(&job, rec.Study(), nil)
	return func(w io.Writer) error { return notDrawn(sheet.Write(w, job)) }, nil
}

// labelsAgain draws labels whose issue is on record: those that were printed together
// with the one that an event tells of. So a page that is loaded again prints the same.
func labelsAgain(rec *tracker.Record, asked url.Values) (func(io.Writer) error, error) {
	issues, stock, ok := intake.PrintedWith(rec, asked.Get("with"))
	first, _ := rec.Event(asked.Get("with"))
	start, err := strconv.Atoi(asked.Get("start"))
	if !ok || err != nil {
		return nil, absent{errors.New("labels")}
	}
	job := sheet.Job{Stock: stock, StartAt: start, Date: first.Recorded}
	worksheet.AddLabels(&job, rec.Study(), issues)
	return func(w io.Writer) error { return notDrawn(sheet.Write(w, job)) }, nil
}

// servePrint prints labels: those of the code that is named, else all new ones. They
// are drawn first, then their issue is recorded, and then the browser is sent to the
// paper, so that nothing is recorded twice when it is loaded again.
func (s *Station) servePrint(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.deny(w, r, wording.NotUnderstood)
		return
	}
	s.study.Lock()
	defer s.study.Unlock()
	event, err := s.print(r.PostForm, phoneOf(r))
	if err != nil {
		s.turnPaper(w, r, err)
		return
	}
	http.Redirect(w, r, "/papers/labels.pdf?"+url.Values{"with": {event}, "start": {startOf(r.PostForm)}}.Encode(), http.StatusSeeOther)
}

// startOf is the first free place on a sheet, as somebody typed it.
func startOf(form url.Values) string {
	n, err := strconv.Atoi(strings.TrimSpace(form.Get("start")))
	if err != nil {
		return "1"
	}
	return strconv.Itoa(n)
}

// print draws labels and records their issue; it returns one of the events that do.
func (s *Station) print(form url.Values, phone Phone) (event string, err error) {
	rec, err := s.DB.State()
	if err != nil {
		return "", err
	}
	stock, err := labels.ParseStock(form.Get("stock"))
	if err != nil {
		return "", notDrawn(err)
	}
	issues, err := wanted(rec, form.Get("code"), s.Clock())
	if err != nil {
		return "", err
	}
	job := sheet.Job{Stock: stock, Date: s.Clock()}
	job.StartAt, _ = strconv.Atoi(startOf(form)) // it is a number
	worksheet.AddLabels(&job, rec.Study(), issues)
	if err := sheet.Write(io.Discard, job); err != nil {
		return "", notDrawn(err)
	}
	return s.recordPrint(intake.Print{Labels: issues, Stock: intake.StockName(stock, "")}, phone)
}

// wanted are the labels of a code, or, without one, all that are new.
func wanted(rec *tracker.Record, code string, now time.Time) ([]intake.Issue, error) {
	if code == "" {
		return intake.NewOf(intake.AllIssues(rec))
	}
	issues, _, err := intake.IssuesOf(rec, []string{code}, now)
	return issues, err
}

// recordPrint records labels as printed by whoever works at the phone.
func (s *Station) recordPrint(form intake.Print, phone Phone) (event string, err error) {
	own, err := s.desk(phone)
	if err != nil {
		return "", err
	}
	desk, err := s.anotherDesk()
	if err != nil {
		return "", err
	}
	desk.By, desk.Note = cmp.Or(own.By, desk.Record().Study().By), wording.PrintedFrom(phone.Name)
	out, err := desk.Take(form)
	if err != nil {
		return "", err
	}
	return out.Verdicts()[0].Event.ID, nil
}
