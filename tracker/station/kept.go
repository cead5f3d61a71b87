package station

import (
	"net/http"
	"sync"
	"time"

	"soaktag/tracker"
)

// pageLasts is how long a page is shown again as it is, while nothing is recorded.
const pageLasts = time.Minute

// A keeper keeps the last pages that were made for anybody to see, and makes one at a
// time, of a record of its own: opening every photograph for a report takes seconds,
// guests may ask again and again, and nobody at a tub shall wait for that.
type keeper struct {
	mu   sync.Mutex
	kept map[string]keptPage
}

type keptPage struct {
	head string
	made time.Time
	body []byte
}

// A maker makes a page of the record as it is now, whose log has this head.
type maker func(rec *tracker.Record, now time.Time, head string, events int64) ([]byte, error)

// page is the page of that name, made anew where something happened since.
func (k *keeper) page(s *Station, name string, anew maker) ([]byte, error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	head, events, err := s.DB.Head()
	if err != nil {
		return nil, err
	}
	if last := k.kept[name]; last.head == head && s.Clock().Sub(last.made) < pageLasts {
		return last.body, nil
	}
	rec, now, err := s.ownRecord()
	if err != nil {
		return nil, err
	}
	body, err := anew(rec, now, head, events)
	if err != nil {
		return nil, err
	}
	if k.kept == nil {
		k.kept = map[string]keptPage{}
	}
	k.kept[name] = keptPage{head, now, body}
	return body, nil
}

// sendKept sends a page that is kept. What it may load is set by then.
func (s *Station) sendKept(w http.ResponseWriter, r *http.Request, name string, anew maker) {
	body, err := s.pages.page(s, name, anew)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, _ = w.Write(body) // whoever asked may be gone: then nobody is left to tell
}
