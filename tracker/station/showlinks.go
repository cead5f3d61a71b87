package station

import (
	"bytes"
	"errors"
	"html/template"
	"net/http"
	"strings"
	"time"

	"soaktag/labels/photo"
	"soaktag/labels/qr"
	"soaktag/schedule/ical"
	"soaktag/tracker"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// A linkView is a link to be given on, as text and as a symbol to photograph.
type linkView struct {
	For, Beside string
	URL         string
	Subscribe   template.URL // the same for a calendar program; empty for others
	Symbol      template.HTML
}

func linkTo(url, what string) (linkView, error) {
	symbol, err := qr.Encode(url)
	return linkView{For: what, URL: url, Symbol: template.HTML(symbol.SVG())}, err
}

func showCalendar(l look) (any, error) {
	view, err := linkTo(l.CalendarURL(), wording.SubscribeFor)
	if l.Secure {
		view.Beside = wording.SubscribeTLS
	} else {
		view.Subscribe = template.URL("webcal" + strings.TrimPrefix(view.URL, "http"))
	}
	return view, err
}

func showGuest(l look) (any, error) { return linkTo(l.GuestURL(), wording.GuestFor) }

// A clockView is the page of the clock symbol.
type clockView struct{ For string }

func showClock(look) (any, error) { return clockView{wording.ClockFor}, nil }

// serveClockSymbol answers with what the station's clock shows, as a symbol.
func (s *Station) serveClockSymbol(w http.ResponseWriter, r *http.Request) {
	symbol, err := qr.Encode(photo.ClockText(s.Clock()))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "image/svg+xml")
	_, _ = w.Write([]byte(symbol.SVG())) // whoever asked may be gone: then nobody is left to tell
}

// calendarAlarm rings before a window opens, as a calendar file of the terminal does
// unless told otherwise.
const calendarAlarm = time.Hour

// serveCalendar answers with what is to come. Where that is nothing the calendar is
// empty, so that what was there goes.
func (s *Station) serveCalendar(w http.ResponseWriter, r *http.Request) {
	var file bytes.Buffer
	err := s.withRecord(func(rec *tracker.Record, now time.Time) error {
		_, events, err := s.DB.Head()
		if err != nil {
			return err
		}
		return ical.Write(&file, tables.Calendar(rec, now, events), now, calendarAlarm)
	})
	switch {
	case errors.Is(err, ical.ErrEmpty):
		file.WriteString(ical.Nothing)
	case err != nil:
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "text/calendar; charset=utf-8")
	_, _ = file.WriteTo(w) // whoever asked may be gone: then nobody is left to tell
}
