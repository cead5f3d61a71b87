package station

import (
	"context"
	"errors"
	"net/http"
	"os"
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

// What goes on ends with the station.
func TestEndless(t *testing.T) {
	b := newBench(t, route{"GET /endless", anyone, noBody, func(s *Station, w http.ResponseWriter, r *http.Request) {
		if err := endless(w); err != nil {
			t.Error(err)
		}
		w.WriteHeader(http.StatusOK)
		<-s.ending
	}})
	time.AfterFunc(10*time.Millisecond, b.stop)
	if status, _ := b.stranger().get("/endless"); status != 200 {
		t.Errorf("%d", status)
	}
}

// shortly is a context that ends by itself.
func shortly(t *testing.T, d time.Duration) context.Context {
	ctx, cancel := context.WithTimeout(t.Context(), d)
	t.Cleanup(cancel)
	return ctx
}
