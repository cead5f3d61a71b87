package station

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"

	"soaktag/tracker"
)

// Attacks of somebody who was let in, or has such a phone in hand.

// events is how many there are in the log, and the last of them.
func (b *bench) events() (n int, last tracker.Event) {
	b.t.Helper()
	err := b.withRecord(func(rec *tracker.Record, _ time.Time) error {
		all := rec.Events()
		n, last = len(all), all[len(all)-1]
		return nil
	})
	if err != nil {
		b.t.Fatal(err)
	}
	return n, last
}

// The id of somebody else's entry, and of one's own with other words, adds nothing and
// changes nothing; undoing what somebody else did is kept under who said it.
func TestSomebodyElsesID(t *testing.T) {
	b := newBench(t)
	ann, eve := b.sender("Ann"), b.sender("Eve")
	mine := ann.line("glue-up", "HBR-003-X")
	ann.sends(mine)
	before, _ := b.events()
	for name, e := range map[string]said{
		"another's id":             eve.line("glue-up", "HBR-004-V"),
		"another's id, same words": eve.line("glue-up", "HBR-003-X"),
		"the own id, other words":  ann.line("glue-up", "HBR-004-V"),
	} {
		e["id"] = mine["id"]
		who := eve
		if strings.HasPrefix(name, "the own") {
			who = ann
		}
		if status, body := who.hands(e); status != http.StatusConflict || !strings.Contains(body, `"do":"`) {
			t.Errorf("%s: %d %s", name, status, body)
		}
	}
	for _, id := range []string{"", "1", "../x", strings.ToUpper(uuid.NewString()), strings.Repeat("a", 36), "{" + uuid.NewString() + "}"} {
		e := eve.line("glue-up", "HBR-004-V")
		e["id"] = id
		if status, body := eve.hands(e); status != http.StatusBadRequest {
			t.Errorf("the id %q: %d %s", id, status, body)
		}
	}
	if after, last := b.events(); after != before || last.Code != "HBR003X" && last.Code != "HBR-003-X" {
		t.Errorf("%d events, then %d, the last about %s", before, after, last.Code)
	}
	if !strings.Contains(b.told(), "Eve") {
		t.Errorf("the terminal says nothing of it:\n%s", b.told())
	}
}

// An entry that is dated 1970 or 2100, by a clock that nobody compared or by one that
// was, is kept as what that clock showed and asks; it is never taken for a time that is
// known, and the station goes on.
func TestAbsurdTimes(t *testing.T) {
	b := newBench(t)
	eve := b.sender("Eve")
	for i, at := range []time.Time{time.UnixMilli(0), time.Date(2100, 1, 1, 0, 0, 0, 0, time.UTC), time.Date(1, 1, 1, 0, 0, 0, 0, time.UTC), time.UnixMilli(-1 << 60), time.UnixMilli(1 << 60), time.UnixMilli(1<<63 - 1)} {
		for _, clock := range []any{nil, said{"epoch": fmt.Sprint("e", i), "fact": said{"shown": at.UnixMilli(), "at": at.UnixMilli(), "trip": 20}},
			said{"epoch": fmt.Sprint("f", i), "jump": []int64{0, at.UnixMilli()}}, said{"epoch": "", "fact": nil, "jump": []any{nil, nil}}} {
			e := eve.line("glue-up", "HBR-003-X")
			e["at"], e["clock"] = at.UnixMilli(), clock
			before, _ := b.events()
			status, body := eve.hands(e)
			after, _ := b.events()
			if (status != 200 || !strings.Contains(body, `"state":"asks"`)) && (status != 400 || after != before) {
				t.Errorf("%s, %v: %d %s", at, clock, status, body)
			}
		}
	}
	if status, body := eve.get("/state"); status != 200 {
		t.Errorf("the state: %d %s", status, body)
	}
	if a := eve.sends(eve.line("glue-up", "HBR-004-V")); a.State != stateGood {
		t.Errorf("afterwards: %+v", a)
	}
}

// Script and what moves a cursor, in whatever a person may write, comes back as words.
func TestScriptInANote(t *testing.T) {
	const script = `<script>alert(1)</script><img src=x onerror=alert(1)>`
	b := newBench(t)
	eve := b.sender(script)
	for _, e := range []said{
		eve.line("glue-up", script), eve.line(script, "HBR-003-X"), eve.entry("line", said{"stage": "glue-up", "line": "HBR-003-X", "by": script}),
		eve.entry("break", said{"stage": "break", "break": said{"subject": "3", "reading": "10 MPa", "ended": "separated", "mode": script, "rig": script}}),
		eve.entry("ended", said{"ended": said{"subject": "4", "how": script}}), eve.entry("line", said{"stage": "glue-up", "line": "HBR-003-X", "by": "\x1b[2J"}),
	} {
		if status, body := eve.hands(e); status >= 500 || strings.Contains(body, "<script") || strings.Contains(body, "<img") {
			t.Errorf("%v: %d %s", e, status, body)
		}
	}
	for _, route := range routes {
		path, isGet := strings.CutPrefix(route.pattern, "GET ")
		if !isGet || path == "/news" || strings.Contains(path, "{") {
			continue
		}
		if status, body := eve.get(path + "?name=" + "%3Cscript%3Ealert(1)%3C/script%3E&code=%3Cscript%3Ealert(1)"); status >= 500 || strings.Contains(body, "<script>alert(1)") || strings.Contains(body, "<img src=x") {
			t.Errorf("%s: %d, script comes back", path, status)
		}
	}
	if strings.Contains(b.told(), "\x1b") {
		t.Errorf("%q", b.told())
	}
}

// The same entry sent by a phone many times at once is recorded once.
func TestSentAtOnce(t *testing.T) {
	b := newBench(t)
	ann := b.sender("Ann")
	e := ann.line("glue-up", "HBR-003-X")
	before, _ := b.events()
	var all sync.WaitGroup
	for range 40 {
		all.Go(func() {
			if status, body := ann.hands(e); status != 200 {
				t.Errorf("%d %s", status, body)
			}
		})
	}
	all.Wait()
	after, _ := b.events()
	var scans int
	if err := b.withRecord(func(rec *tracker.Record, _ time.Time) error {
		for _, e := range rec.EventsAfter(before) {
			if e.Kind == tracker.Staged {
				scans++
			}
		}
		return nil
	}); err != nil || scans != 1 {
		t.Errorf("%d events more, %d of them scans, %v", after-before, scans, err)
	}
}

// photo is the request that sends an entry with a photograph.
func (s *sender) photo(path string, e said, picture io.Reader) *http.Request {
	s.t.Helper()
	text, err := json.Marshal(e)
	if err != nil {
		s.t.Fatal(err)
	}
	const bound = "bound"
	part := func(name string) string {
		return "--" + bound + "\r\nContent-Disposition: form-data; name=\"" + name + "\"; filename=\"x\"\r\n\r\n"
	}
	r := s.request("POST", path, "")
	r.Body = io.NopCloser(io.MultiReader(strings.NewReader(part("entry")+string(text)+"\r\n"+part("photo")), picture, strings.NewReader("\r\n--"+bound+"--\r\n")))
	r.ContentLength = -1
	r.Header.Set("Content-Type", "multipart/form-data; boundary="+bound)
	return r
}

// A photograph of 1 GB is cut, one that says it has too many pixels is not opened, and a
// file that is none is told so: by all ways in, and nothing is recorded.
func TestPhotographsThatAreNone(t *testing.T) {
	b := newBench(t)
	eve := b.sender("Eve")
	before, _ := b.events()
	bomb := claims(bomb(t, 8, 8), 60_000, 60_000)
	for _, path := range []string{"/take", "/read"} {
		for name, picture := range map[string]func() io.Reader{
			"a bomb": func() io.Reader { return bytes.NewReader(bomb) },
			"none":   func() io.Reader { return strings.NewReader("%PDF-1.7 not a picture") },
			"cut":    func() io.Reader { return bytes.NewReader(bomb[:20]) },
			"empty":  func() io.Reader { return strings.NewReader("") },
			"huge":   func() io.Reader { return &endlessBody{} },
		} {
			answer, err := eve.client.Do(eve.photo(path, eve.entry("photo", said{"stage": "glue-up", "found": nil}), picture()))
			if err != nil {
				if name != "huge" { // where the connection is closed while it is still being sent
					t.Errorf("%s %s: %v", path, name, err)
				}
				continue
			}
			body, _ := io.ReadAll(answer.Body)
			answer.Body.Close()
			if answer.StatusCode < 400 && !strings.Contains(string(body), `"state":"bad"`) && !strings.Contains(string(body), `"found":[]`) || answer.StatusCode >= 500 {
				t.Errorf("%s %s: %s %s", path, name, answer.Status, body)
			}
		}
	}
	if after, last := b.events(); after > before+1 || after == before+1 && last.Kind != tracker.ClockSeen {
		t.Errorf("%d events, then %d, the last %v", before, after, last.Kind)
	}
	if a := eve.sends(eve.line("glue-up", "HBR-004-V")); a.State != stateGood {
		t.Errorf("afterwards: %+v", a)
	}
}
