package station

import (
	"bytes"
	"embed"
	"errors"
	"html/template"
	"net/http"
	"net/url"
	"strings"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/wording"
)

//go:embed templates/*.tmpl
var templateFiles embed.FS

var templates = template.Must(template.New("").Funcs(template.FuncMap{
	"shape": shapeOf,
	"key":   func(label string) string { return strings.ReplaceAll(strings.ToLower(label), " ", "-") },
	"asks":  wording.DoesAsk,
	"aside": wording.Became,
	"said":  func(name string) string { return texts[name] },
	"trim":  strings.TrimSpace,
}).ParseFS(templateFiles, "templates/*.tmpl"))

// texts are sentences that stand on a page as they are.
var texts = map[string]string{
	"labels": wording.LabelsFor, "again": wording.LabelAgain, "hidden": wording.HiddenFor, "no photos": wording.NoPhotos,
	"cannot": wording.CannotTitle, "no bath": wording.NoBath, "all printed": wording.AllPrinted,
}

// shapes stand before the words that say how something stands: what they mean is
// never told by a colour alone.
var shapes = map[string]string{"OVERDUE": "◆", "DUE": "●", "SOON": "◐", "RUNNING": "○"}

func shapeOf(label string) string {
	if shape, ok := shapes[label]; ok {
		return shape
	}
	return "▶"
}

// A look is what a fragment of the page is made of. The record is the store's: a
// fragment keeps nothing of it but copies and words.
type look struct {
	*Station
	rec   *tracker.Record
	now   time.Time
	asked url.Values
}

func (l look) study() *tracker.Study { return l.rec.Study() }
func (l look) zone() *time.Location  { return l.rec.Zone() }

// fragments are the pieces of the page that can be asked for, each with what its
// template of the same name is filled with.
var fragments = map[string]func(look) (any, error){
	"due":      showDue,
	"asks":     showAsks,
	"bath":     showBath,
	"specimen": showSpecimen,
	"drift":    showDrift,
	"papers":   showPapers,
	"calendar": showCalendar,
	"guest":    showGuest,
	"clock":    showClock,
}

// An absent is something that was asked for and is not in the study.
type absent struct{ error }

// serveShow answers with a fragment of the page.
func (s *Station) serveShow(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("name")
	view, known := fragments[name]
	if !known {
		s.deny(w, r, wording.NotHere)
		return
	}
	var page []byte
	err := s.withRecord(func(rec *tracker.Record, now time.Time) error {
		filled, err := view(look{s, rec, now, r.URL.Query()})
		if err == nil {
			page, err = fill(name, filled)
		}
		page = wording.Near(page, now, rec.Zone())
		return err
	})
	var none absent
	switch {
	case errors.As(err, &none):
		_, do := wording.TurnedAway(wording.NotHere)
		s.answerWith(w, http.StatusNotFound, refused{Error: none.Error(), Do: do})
	case err != nil:
		s.fail(w, r, err)
	default:
		sendPage(w, page)
	}
}

func sendPage(w http.ResponseWriter, page []byte) {
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, _ = w.Write(page) // whoever asked may be gone: then nobody is left to tell
}

// fill fills a template whole, before anything of it is sent.
func fill(name string, filled any) ([]byte, error) {
	var page bytes.Buffer
	err := templates.ExecuteTemplate(&page, name+".tmpl", filled)
	return page.Bytes(), err
}

// A grid is a table as templates draw it.
type grid struct {
	Caption string
	Heads   []head
	Rows    [][]cell
}

// A head is a heading of a grid, and a cell what stands below one.
type (
	head struct {
		Text   string
		Number bool // it and what is below it are set to the right
	}
	cell struct {
		head
		Under string // its heading, for a screen too narrow to show them above
	}
)

// gridOf makes a grid of headings as wording has them, those set to the right led
// by ">".
func gridOf(caption string, headings []string, rows [][]string) grid {
	g := grid{Caption: caption}
	for _, h := range headings {
		text, right := strings.CutPrefix(h, ">")
		g.Heads = append(g.Heads, head{text, right})
	}
	for _, row := range rows {
		var cells []cell
		for i, text := range row {
			cells = append(cells, cell{head{text, g.Heads[i].Number}, g.Heads[i].Text})
		}
		g.Rows = append(g.Rows, cells)
	}
	return g
}
