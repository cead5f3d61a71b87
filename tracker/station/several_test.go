package station

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"mime/multipart"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// terminal is somebody at the computer beside the station, with a program of his own.
func (b *bench) terminal() *intake.Desk {
	b.t.Helper()
	db, err := store.Open(b.File, plan.Read)
	if err != nil {
		b.t.Fatal(err)
	}
	b.t.Cleanup(func() { db.Close() })
	d, err := intake.Open(db, intake.Now(b.clock()), b.clock)
	if err != nil {
		b.t.Fatal(err)
	}
	return d
}

// kept are the events of a kind on record now.
func (b *bench) kept(kind tracker.Kind) (all []tracker.Event) {
	b.t.Helper()
	err := b.withRecord(func(rec *tracker.Record, _ time.Time) error {
		for _, e := range rec.Events() {
			if e.Kind == kind {
				all = append(all, e)
			}
		}
		return nil
	})
	if err != nil {
		b.t.Fatal(err)
	}
	return all
}

// Phones and a scanner at the terminal at once: each entry once, each at its own stage,
// though each is sent twice.
func TestSeveralAtOnce(t *testing.T) {
	b := newBench(t)
	var busy sync.WaitGroup
	stages := []string{"cut", "planing", "glue-up"}
	for i, stage := range stages {
		phone := b.sender(fmt.Sprint("phone ", i))
		busy.Go(func() {
			for n := range 16 {
				e := phone.line(stage, fmt.Sprint(n%8+1))
				phone.sends(e)
				phone.sends(e)
			}
		})
	}
	desk := b.terminal()
	busy.Go(func() {
		desk.Set("clamp removal")
		for n := range 16 {
			if _, err := desk.Take(intake.Line(fmt.Sprint(n%8 + 1))); err != nil {
				t.Error(err)
			}
		}
	})
	busy.Wait()
	count := map[string]int{}
	for _, e := range b.kept(tracker.Staged) {
		count[string(e.Stage)]++
	}
	for _, stage := range append(stages, "clamp removal") {
		if count[stage] != 16 {
			t.Errorf("%s: %d recorded", stage, count[stage])
		}
	}
}

// Whatever anybody records, a program of its own among them, is news. It is looked for
// often enough that all see it within two seconds.
func TestNews(t *testing.T) {
	if newsEvery > time.Second {
		t.Errorf("news every %s", newsEvery)
	}
	b := newBench(t)
	ann := b.sender("Ann's phone")
	r := ann.request("GET", "/news", "")
	answer, err := ann.client.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	news := make(chan string, 10)
	go func() {
		for scan := bufio.NewScanner(answer.Body); scan.Scan(); {
			if data, is := strings.CutPrefix(scan.Text(), "data: "); is {
				news <- data
			}
		}
	}()
	next := func(what string) string {
		select {
		case data := <-news:
			return data
		case <-time.After(time.Minute):
			t.Fatalf("%s: no news", what)
			return ""
		}
	}
	first := next("at first")
	desk := b.terminal()
	desk.Set("glue-up")
	if _, err := desk.Take(intake.Line("3")); err != nil {
		t.Fatal(err)
	}
	if told := next("at the terminal"); told == first || !strings.Contains(told, `"events":2`) {
		t.Errorf("%s, then %s", first, told)
	}
	ann.sends(ann.line("glue-up", "4"))
	next("by a phone")
}

// The state is sent again only where it changed, for whoever asks.
func TestStateTag(t *testing.T) {
	b := newBench(t)
	ann, bo := b.sender("Ann's phone"), b.sender("Bo's")
	asks := func(s *sender, tag string) (int, string) {
		r := s.request("GET", "/state", "")
		r.Header.Set("If-None-Match", tag)
		answer, err := s.client.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		answer.Body.Close()
		return answer.StatusCode, answer.Header.Get("ETag")
	}
	_, tag := asks(ann, "")
	if status, _ := asks(ann, tag); status != http.StatusNotModified {
		t.Errorf("unchanged: %d", status)
	}
	if status, _ := asks(bo, tag); status != http.StatusOK {
		t.Errorf("of another phone: %d", status)
	}
	bo.sends(bo.line("glue-up", "4"))
	status, fresh := asks(ann, tag)
	if status != http.StatusOK {
		t.Errorf("after a change: %d", status)
	}
	b.pass(time.Minute)
	if status, _ := asks(ann, fresh); status != http.StatusOK {
		t.Errorf("a minute later: %d", status)
	}
}

// upload sends an entry, if any, with a photograph.
func (s *sender) upload(path string, e said, picture []byte) (int, string) {
	s.t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	if e != nil {
		text, err := json.Marshal(e)
		if err != nil {
			s.t.Fatal(err)
		}
		part, _ := form.CreateFormField("entry")
		_, _ = part.Write(text)
	}
	part, _ := form.CreateFormFile("photo", "photo")
	_, _ = part.Write(picture)
	_ = form.Close()
	r := s.request("POST", path, body.String())
	r.Header.Set("Content-Type", form.FormDataContentType())
	return s.do(r)
}

// A photograph is read at the station where the page did not read it, kept, and told
// code by code; what the page read otherwise asks.
func TestTakePhotograph(t *testing.T) {
	b := newBench(t)
	ann := b.sender("Ann's phone")
	picture := drawn(t, 600, 300, 2, 8, "HBR003X1", "HBR004V2")
	status, body := ann.upload("/read", nil, picture)
	if status != 200 || strings.Count(body, `"decoded"`) != 2 {
		t.Fatalf("%d %s", status, body)
	}
	var a answer
	e := ann.entry("photo", said{"stage": "glue-up", "found": nil})
	for _, again := range []bool{false, true} {
		status, body = ann.upload("/take", e, picture)
		if err := json.Unmarshal([]byte(body), &a); status != 200 || err != nil {
			t.Fatalf("%d %s", status, body)
		}
		if a.State != "good" || a.Recorded != 2 || len(a.Found) != 2 || a.Found[0].State != "good" || a.Found[0].Code != "HBR-003-X/1" || a.Again != again {
			t.Errorf("%+v", a)
		}
	}
	corners := [][2]float64{{66, 66}, {234, 66}, {234, 234}, {66, 234}}
	e = ann.entry("photo", said{"stage": "clamp removal", "found": []said{{"text": "HBR004V1", "how": "decoded", "corners": corners}}})
	status, body = ann.upload("/take", e, drawn(t, 300, 300, 1, 8, "HBR003X1"))
	if err := json.Unmarshal([]byte(body), &a); status != 200 || err != nil || a.State != "asks" || a.Recorded != 2 || a.Yes || strings.Contains(body, "YES if") {
		t.Errorf("%d %s", status, body)
	}
	if !strings.Contains(body, "only the phone reads HBR-004-V/1; only the station reads HBR-003-X/1") {
		t.Errorf("%s", body)
	}
	if n := len(b.kept(tracker.Photographed)); n != 2 {
		t.Errorf("%d photographs", n)
	}
	status, body = ann.upload("/take", ann.entry("photo", nil), []byte("no picture"))
	if status != 422 || !strings.Contains(body, "could not be read") {
		t.Errorf("%d %s", status, body)
	}
}

// What is no entry, or the entry of somebody else, is refused with its reason.
func TestTakeRefuses(t *testing.T) {
	b := newBench(t)
	ann, bo := b.sender("Ann's phone"), b.sender("Bo's")
	e := ann.line("glue-up", "3")
	ann.sends(e)
	if status, body := bo.hands(e); status != 409 || !strings.Contains(body, "another device") {
		t.Errorf("%d %s", status, body)
	}
	e["line"] = "4"
	if status, body := ann.hands(e); status != 409 || !strings.Contains(body, "said something else") {
		t.Errorf("%d %s", status, body)
	}
	if status, body := ann.hands(said{"id": "7"}); status != 400 || !strings.Contains(body, "no id") {
		t.Errorf("%d %s", status, body)
	}
	if n := len(b.kept(tracker.Staged)); n != 1 {
		t.Errorf("%d recorded", n)
	}
}
