package station

import (
	"fmt"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"soaktag/tracker"
)

// probes are routes to knock at: what a phone, a guest, a calendar may have.
var probes = []route{
	{"GET /probe", phones, noBody, (*Station).probe},
	{"POST /probe", phones, smallBody, (*Station).probe},
	{"GET /guest/{token}/probe", guests, noBody, (*Station).probe},
	{"GET /calendar.probe", calendars, noBody, (*Station).probe},
}

// probe answers with the phone that asks and the number of specimens.
func (s *Station) probe(w http.ResponseWriter, r *http.Request) {
	if _, err := io.Copy(io.Discard, r.Body); err != nil {
		s.fail(w, r, err)
		return
	}
	err := s.withRecord(func(rec *tracker.Record, _ time.Time) error {
		allow(w, "style-src 'sha256-abc'")
		_, err := fmt.Fprintf(w, "%s %d", phoneOf(r).Name, len(rec.Specimens()))
		return err
	})
	if err != nil {
		s.fail(w, r, err)
	}
}

func TestPairing(t *testing.T) {
	b := newBench(t, probes...)
	ann := b.paired("Ann's  phone")
	if status, body := ann.get("/probe"); status != 200 || body != "Ann's phone 8" {
		t.Errorf("%d %s", status, body)
	}
	if status, body := b.stranger().get("/probe"); status != 401 || !strings.Contains(body, "not paired") {
		t.Errorf("a stranger: %d %s", status, body)
	}
}
