package station

import (
	"context"
	"errors"
	"io"
	"net/http"
	"os"
	"strings"
	"sync"
	"testing"
	"time"
)

func TestRate(t *testing.T) {
	b := newBench(t)
	l := newRate(b.clock, 6)
	count := func(who string) (n int) {
		for l.allow(who) {
			n++
		}
		return n
	}
	if got := count("a"); got != 6 {
		t.Errorf("%d at first", got)
	}
	b.pass(20 * time.Second)
	if got := count("a"); got != 2 {
		t.Errorf("%d after twenty seconds", got)
	}
	if got := count("b"); got != 6 {
		t.Errorf("%d of another", got)
	}
	b.pass(-time.Hour)
	if got := count("a"); got != 0 {
		t.Errorf("%d after the clock went back", got)
	}
}

// Of many that ask once few are remembered.
func TestRateForgets(t *testing.T) {
	b := newBench(t)
	l := newRate(b.clock, 2)
	for i := range 3 * mostKept {
		l.allow(string(rune('a' + i)))
	}
	if len(l.left) > mostKept+1 {
		t.Errorf("%d remembered", len(l.left))
	}
}

// A photograph is read; while all places are taken one waits, and not for ever.
func TestReadPhoto(t *testing.T) {
	b := newBench(t)
	file, err := os.ReadFile("../../labels/photo/testdata/photos/tilt-5-00201.jpg")
	if err != nil {
		t.Fatal(err)
	}
	look, err := b.readPhoto(t.Context(), file, nil)
	if err != nil || len(look.Found) == 0 {
		t.Fatalf("%d found, %v", len(look.Found), err)
	}
	for range cap(b.limits.readings) {
		b.limits.readings <- struct{}{}
	}
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Millisecond)
	defer cancel()
	if _, err := b.readPhoto(ctx, file, nil); !errors.Is(err, errSlow) {
		t.Errorf("with no place free: %v", err)
	}
}

// What goes on ends with the station, and one phone has only so many.
func TestEndless(t *testing.T) {
	begun := make(chan bool, mostListeningOne+1)
	b := newBench(t, route{"GET /endless", phones, noBody, func(s *Station, w http.ResponseWriter, r *http.Request) {
		leave, ok := s.endless(w, r)
		begun <- ok
		if ok {
			defer leave()
			w.WriteHeader(http.StatusOK)
			<-s.ending
		}
	}})
	ann := b.paired("Ann")
	var all sync.WaitGroup
	for range mostListeningOne {
		all.Go(func() {
			if status, body := ann.get("/endless"); status != 200 {
				t.Errorf("%d %s", status, body)
			}
		})
		<-begun
	}
	ann.wants(429, ann.request("GET", "/endless", ""))
	b.stop()
	all.Wait()
	if !b.limits.listen(ann.id) || b.limits.all != 1 {
		t.Errorf("%d places are held for nobody", b.limits.all-1)
	}
}

// Who is revoked hears no more news.
func TestNewsEndsWithPairing(t *testing.T) {
	b := newBench(t)
	ann := b.paired("Ann")
	answer, err := ann.client.Do(ann.request("GET", "/news", ""))
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	if _, err := Revoke(b.File, ann.id); err != nil {
		t.Fatal(err)
	}
	if text, err := io.ReadAll(answer.Body); err != nil || !strings.HasPrefix(string(text), "event: news\n") {
		t.Errorf("%q, %v", text, err)
	}
}

// shortly is a context that ends by itself.
func shortly(t *testing.T, d time.Duration) context.Context {
	ctx, cancel := context.WithTimeout(t.Context(), d)
	t.Cleanup(cancel)
	return ctx
}
