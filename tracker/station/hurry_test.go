package station

import (
	"bytes"
	"fmt"
	"net"
	"net/http"
	"testing"
	"time"
)

// Who is no phone has so long for all of an exchange: one who never reads is hung up on.
// A phone has not, and a stranger's next question on the same connection has its own time.
func TestStrangersMinute(t *testing.T) {
	ended := make(chan error, 1)
	large := route{"GET /large", anyone, noBody, func(_ *Station, w http.ResponseWriter, _ *http.Request) {
		var err error
		for err == nil {
			_, err = w.Write(bytes.Repeat([]byte("much "), 200_000))
		}
		ended <- err
	}}
	slow := route{"GET /slow", anyone, noBody, func(_ *Station, w http.ResponseWriter, _ *http.Request) {
		time.Sleep(60 * time.Millisecond)
		w.WriteHeader(http.StatusNoContent)
	}}
	b := newBench(t, append(probes, large, slow)...)
	if b.limits.hurry != time.Minute {
		t.Errorf("a stranger has %s", b.limits.hurry)
	}
	b.limits.hurry = 100 * time.Millisecond
	who := b.stranger()
	for range 3 { // together longer than one may take
		if status, _ := who.get("/slow"); status != http.StatusNoContent {
			t.Errorf("a stranger in time: %d", status)
		}
	}
	conn, err := net.Dial("tcp", b.Address)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	fmt.Fprintf(conn, "GET /large HTTP/1.1\r\nHost: %s\r\n\r\n", b.Address)
	select {
	case <-ended:
	case <-time.After(20 * time.Second):
		t.Fatal("a stranger who never reads is waited for")
	}
	b.limits.hurry = time.Millisecond
	if status, _ := b.paired("Ann").get("/slow"); status != http.StatusNoContent {
		t.Errorf("a phone: %d", status)
	}
}
