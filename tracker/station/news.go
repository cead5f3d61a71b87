package station

import (
	"encoding/json"
	"fmt"
	"net/http"
	"time"

	"soaktag/tracker/wording"
)

// How often it is looked whether anybody recorded something, another program among
// them, and how often it is said that nobody did.
const (
	newsEvery  = 700 * time.Millisecond
	aliveEvery = 15 * time.Second
)

// news tells a page of every change of the study, until it goes or the station ends.
func (s *Station) news(w http.ResponseWriter, r *http.Request) {
	leave, ok := s.endless(w, r)
	if !ok {
		return
	}
	defer leave()
	w.Header().Set("Content-Type", "text/event-stream")
	w.WriteHeader(http.StatusOK)
	looks, alive := time.NewTicker(newsEvery), time.NewTicker(aliveEvery)
	defer looks.Stop()
	defer alive.Stop()
	told := ""
	for {
		var err error
		if told, err = s.tellNews(w, told); err != nil {
			return
		}
		select {
		case <-looks.C:
			if _, why := s.known(r); why != wording.Admitted {
				return
			}
		case <-alive.C:
			err = beat(w)
		case <-r.Context().Done():
			return
		case <-s.ending:
			return
		}
		if err != nil {
			return
		}
	}
}

// tellNews tells the study's head where it is another than the one told last, and
// returns it. The error is that nobody listens any more, or that the study cannot be
// read: then the page is told by its next question.
func (s *Station) tellNews(w http.ResponseWriter, told string) (string, error) {
	head, events, err := s.DB.Head()
	if err != nil || head == told {
		return told, err
	}
	data, err := json.Marshal(map[string]any{"head": head, "events": events})
	if err != nil {
		return told, err
	}
	if _, err := fmt.Fprintf(w, "event: news\ndata: %s\n\n", data); err != nil {
		return told, err
	}
	return head, http.NewResponseController(w).Flush()
}

// beat is a comment, which keeps the line open.
func beat(w http.ResponseWriter) error {
	if _, err := fmt.Fprint(w, ": here\n\n"); err != nil {
		return err
	}
	return http.NewResponseController(w).Flush()
}
