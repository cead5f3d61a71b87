package station

import (
	"encoding/json"
	"net"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// A station that is ended while phones send: what was answered is on record, nothing is
// half-written, and news that go on do not hold it up.
func TestEndsWhilePhonesSend(t *testing.T) {
	file := newStudy(t)
	db, err := store.Open(file, plan.Read)
	if err != nil {
		t.Fatal(err)
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	b := &bench{t: t, now: noon}
	b.Station, err = New(Options{DB: db, File: file, Clock: b.clock, Address: l.Addr().String(), Log: b.hear})
	if err != nil {
		t.Fatal(err)
	}
	stop, ended := make(chan struct{}), make(chan error, 1)
	go func() { ended <- b.Serve(stop, l) }()
	var all sync.WaitGroup
	var mu sync.Mutex
	answered := 0
	for _, name := range []string{"Ann", "Ben", "Cat"} {
		phone := &sender{visitor: b.paired(name)}
		all.Go(func() {
			news, err := phone.client.Get(b.URL("/news"))
			if err != nil {
				t.Error(err)
				return
			}
			defer news.Body.Close()
			for phone.reaches(phone.line("glue-up", "HBR-003-X")) {
				mu.Lock()
				answered++
				mu.Unlock()
			}
		})
	}
	time.Sleep(100 * time.Millisecond)
	begun := time.Now()
	close(stop)
	if err := <-ended; err != nil {
		t.Errorf("ended: %v", err)
	}
	took := time.Since(begun)
	all.Wait()
	t.Logf("%d answered; it took %s to end", answered, took)
	recorded, _ := b.events()
	b.Sum()
	if err := db.Close(); err != nil {
		t.Error(err)
	}
	const beside = 1 + 3 // its beginning, and a clock each
	if report := store.Verify(file); len(report.Problems) > 0 || recorded < answered+beside || recorded > answered+beside+3 {
		t.Errorf("%d answered, %d events, %v", answered, recorded, report.Problems)
	}
	if !strings.Contains(b.told(), "Ann: ") || !strings.Contains(b.told(), " entries") {
		t.Errorf("it does not say what came in: %.300s", b.told())
	}
}

// reaches sends an entry, and reports whether it was answered.
func (s *sender) reaches(e said) bool {
	text, err := json.Marshal(e)
	if err != nil {
		s.t.Fatal(err)
	}
	answer, err := s.client.Post(s.URL("/take"), "application/json", strings.NewReader(string(text)))
	if err != nil {
		return false
	}
	answer.Body.Close()
	return answer.StatusCode == http.StatusOK
}
