// Package station is the study on the workshop's network: a page for phones at the
// tub, and the doors that let them in. It is a thin face on intake and wording: it
// holds no rule about specimens and words no sentence of its own.
//
// To serve something new, write a file with a method
//
//	func (s *Station) showDrift(w http.ResponseWriter, r *http.Request)
//
// and a line for it in the table of routes.go, which says who may have it and how
// large a body it takes. Everything below is done before the method is called: the
// host, the origin, the cookie, the limits. In it
//
//	phoneOf(r)             is the phone that asks (the zero Phone where anyone or a guest may)
//	s.withRecord(do)       hands out the record as it is now, alone
//	s.study                is the lock to hold around a desk of one's own
//	s.readPhoto(...)       reads a photograph within the limits on memory and time
//	s.deny(w, r, why)      turns the request away, in words, and logs it
//	s.fail(w, r, err)      says that the station itself failed
//	s.answer(w, v)         sends v as JSON
//	s.came(p, entry, line) logs and counts what a phone sent and is recorded
//	s.notTaken(p, line)    the same of what is not
//	allow(w, styles...)    lets a page have styles or scripts of its own by their hashes
//	s.endless(w, r)        takes the limits of time from an answer that goes on
//	s.ending               is closed when the station ends: such an answer must end then
package station

import (
	"crypto/tls"
	"encoding/json"
	"net/http"
	"sync"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/store"
	"soaktag/tracker/wording"
)

// Options say what a station serves, and where.
type Options struct {
	DB      *store.DB
	File    string            // the study's file: what the station keeps of its own lies in a folder beside it
	Clock   func() time.Time  // the server's clock
	Address string            // IP:PORT, the only one that it is asked for under
	Secure  bool              // it is served by TLS
	Log     func(line string) // hears what happens, a line each, one at a time; nil: nobody listens
}

// A Station serves one study.
type Station struct {
	Options

	study       sync.Mutex // held by whoever looks at the record or has a desk take something
	phones      *folder
	pair        pairing
	limits      *limits
	log         journal
	cookie      string // what it is called: by the study, since cookies do not tell the ports of a machine apart
	zone        *time.Location
	certificate tls.Certificate
	pages       keeper
	papers      sync.Mutex    // held while a paper is drawn: one at a time, since a calendar for a glue-up takes its time
	ending      chan struct{} // closed when the station ends
	end         sync.Once

	desks  desks     // held by study
	shared shared    // of /state, the same for all phones; held by study
	list   labelList // of what is printed; held by study
}

// New sets up a station on an open study. It makes the folder beside the study,
// where there is none yet; the error says why it cannot.
func New(o Options) (*Station, error) {
	phones, err := openFolder(o.File)
	if err != nil {
		return nil, err
	}
	rec, err := o.DB.State()
	if err != nil {
		return nil, err
	}
	s := &Station{Options: o, phones: phones, limits: newLimits(o.Clock), ending: make(chan struct{})}
	s.cookie, s.zone = "soaktag-"+intake.StudyID(rec), rec.Zone()
	s.log = newJournal(func() time.Time { return o.Clock().In(s.zone) }, o.Log)
	if o.Secure {
		err = s.makeCertificate()
	}
	return s, err
}

// Zone is the zone that the study runs in.
func (s *Station) Zone() *time.Location { return s.zone }

// Handler is everything that the station serves, behind its doors.
func (s *Station) Handler() http.Handler { return s.serving(routes) }

func (s *Station) serving(routes []route) http.Handler {
	mux := http.NewServeMux()
	for _, route := range routes {
		mux.Handle(route.pattern, s.gate(route))
	}
	mux.Handle("/", s.gate(route{who: anyone, body: smallBody, serve: (*Station).nothingHere}))
	return s.guard(mux)
}

// nothingHere answers what no route is for.
func (s *Station) nothingHere(w http.ResponseWriter, r *http.Request) {
	s.deny(w, r, wording.NotHere)
}

// withRecord hands the record as it is now to do, which may look at it until it
// returns: nobody else touches the study meanwhile. now is the server's clock.
func (s *Station) withRecord(do func(rec *tracker.Record, now time.Time) error) error {
	s.study.Lock()
	defer s.study.Unlock()
	rec, err := s.DB.State()
	if err != nil {
		return err
	}
	return do(rec, s.Clock())
}

// answer sends v as JSON.
func (s *Station) answer(w http.ResponseWriter, v any) { s.answerWith(w, http.StatusOK, v) }

func (s *Station) answerWith(w http.ResponseWriter, status int, v any) {
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(status)
	_ = json.NewEncoder(w).Encode(v) // whoever asked may be gone: then nobody is left to tell
}

// A refused is what a request that was turned away gets: why, and what to do.
type refused struct {
	Error string `json:"error"`
	Do    string `json:"do"`
	Study string `json:"study,omitempty"` // that is served here, where the entry is of another
}
