package station

import (
	"io"
	"net/http"
	"testing"
	"time"
)

// A photograph over bad Wi-Fi takes longer than any one piece of it may, and arrives. One
// that drips is cut off with what makes the page keep it, and comes when the Wi-Fi is
// better. The pieces are smaller here, and the time shorter.
func TestSlowUploads(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	picture := drawn(t, 300, 300, 1, 8, "HBR003X1")
	b.limits.pace = pace{piece: int64(len(picture) / 4), within: 2 * time.Second}
	ann := b.sender("Ann")
	e := ann.entry("photo", said{"stage": "glue-up", "found": nil})
	before, _ := b.events()
	if status, body := ann.do(ann.photo("/take", e, &slowly{bytes: picture, every: 50 * time.Millisecond, piece: 1})); status != http.StatusServiceUnavailable {
		t.Errorf("dripped: %d %s", status, body)
	}
	if now, _ := b.events(); now != before {
		t.Errorf("dripped: %d events more", now-before)
	}
	from := time.Now()
	if status, body := ann.do(ann.photo("/take", e, &slowly{bytes: picture, every: 600 * time.Millisecond, piece: len(picture)/4 + 1})); status != http.StatusOK {
		t.Errorf("slow, at a pace: %d %s", status, body)
	}
	if took := time.Since(from); took < b.limits.pace.within {
		t.Errorf("this shows nothing: all of it took %s", took)
	}
}

// slowly is a body of which a piece comes now and then.
type slowly struct {
	bytes []byte
	every time.Duration
	piece int
}

func (s *slowly) Read(into []byte) (int, error) {
	if len(s.bytes) == 0 {
		return 0, io.EOF
	}
	time.Sleep(s.every)
	n := copy(into, s.bytes[:min(s.piece, len(s.bytes))])
	s.bytes = s.bytes[n:]
	return n, nil
}

// A station gives whoever is no phone a minute for a request, and no longer.
func TestRequestsOfStrangersEnd(t *testing.T) {
	server := newBench(t).Station.server()
	if server.ReadTimeout != time.Minute || server.WriteTimeout <= server.ReadTimeout {
		t.Errorf("a request may take %s, with its answer %s", server.ReadTimeout, server.WriteTimeout)
	}
}
