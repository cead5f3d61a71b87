package station

import (
	"bytes"
	"fmt"
	"net"
	"net/http"
	"testing"
	"time"
)

// A machine that is not paired, asks on two hundred connections for something large
// and never reads, holds a few places and no more: phones are answered meanwhile.
func TestStrangerNeverReads(t *testing.T) {
	large := route{"GET /large", anyone, noBody, func(_ *Station, w http.ResponseWriter, _ *http.Request) {
		for range 64 {
			if _, err := w.Write(bytes.Repeat([]byte("much "), 200_000)); err != nil {
				return
			}
		}
	}}
	b := newBench(t, append(probes, large)...)
	ann := b.paired("Ann")
	from := net.Dialer{LocalAddr: &net.TCPAddr{IP: net.IPv4(127, 0, 0, 2)}}
	for range 200 {
		conn, err := from.DialContext(t.Context(), "tcp", b.Address)
		if err != nil {
			t.Skipf("this machine has no second address for an attacker: %v", err)
		}
		defer conn.Close()
		fmt.Fprintf(conn, "GET /large HTTP/1.1\r\nHost: %s\r\n\r\n", b.Address)
	}
	for end := time.Now().Add(10 * time.Second); b.limits.requests.Load() < mostStranger && time.Now().Before(end); {
		time.Sleep(time.Millisecond)
	}
	for range 50 {
		if status, body := ann.get("/probe"); status != 200 {
			t.Fatalf("%d %s, with %d requests in hand", status, body, b.limits.requests.Load())
		}
		if held := b.limits.requests.Load(); held > mostStranger+1 {
			t.Fatalf("%d requests in hand, %d of one stranger are allowed", held, mostStranger)
		}
	}
}

// Places are counted by address, and given back.
func TestStrangersPlaces(t *testing.T) {
	l := newLimits(time.Now)
	took := map[string]int{}
	for _, who := range []string{"a", "b", "c"} {
		for l.enter(who) {
			took[who]++
		}
	}
	if took["a"] != mostStranger || took["b"] != mostStrangers-mostStranger || took["c"] != 0 {
		t.Errorf("taken: %v", took)
	}
	phones := 0
	for l.enter("") {
		phones++
	}
	if phones != mostRequests-mostStrangers {
		t.Errorf("phones have %d places beside them", phones)
	}
	l.leave("")
	l.leave("a")
	if !l.enter("c") || l.enter("c") {
		t.Error("the place that was left is not one for somebody else")
	}
	for who, n := range map[string]int{"a": mostStranger - 1, "b": mostStrangers - mostStranger, "c": 1, "": phones - 1} {
		for range n {
			l.leave(who)
		}
	}
	if l.requests.Load() != 0 || len(l.strangers) != 0 {
		t.Errorf("afterwards %d in hand, %v", l.requests.Load(), l.strangers)
	}
}
