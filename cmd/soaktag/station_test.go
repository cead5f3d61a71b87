package main

import (
	"bytes"
	"io"
	"net"
	"net/http"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"
)

// A heard buffer is written by one and read by another.
type heard struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (h *heard) Write(p []byte) (int, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.text.Write(p)
}

func (h *heard) String() string {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.text.String()
}

// await waits until what was heard has n matches, and returns them.
func (h *heard) await(t *testing.T, pattern string, n int) []string {
	t.Helper()
	for range 500 {
		if found := regexp.MustCompile(pattern).FindAllString(h.String(), -1); len(found) >= n {
			return found
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Fatalf("%d times %s was not heard in %q", n, pattern, h)
	return nil
}

// A station from start to end: it shows where it is, lets phones in by a code, shows
// another at Enter, and says at the end what came in.
func TestStationRuns(t *testing.T) {
	b := newBench(t)
	in, typed := io.Pipe()
	defer typed.Close()
	stop, done := make(chan struct{}), make(chan int, 1)
	var stdout, stderr heard
	args := []string{"soaktag", "station", "--guest", "--address", "127.0.0.1:0", "--study", b.study}
	go func() { done <- runUntil(stop, args, in, &stdout, &stderr, func() time.Time { return b.at }) }()
	first := stdout.await(t, `http://127[.0-9:]*/#pair=\w+`, 1)[0]
	pairs(t, first, "Ann")
	if _, err := io.WriteString(typed, "\n"); err != nil {
		t.Fatal(err)
	}
	pairs(t, stdout.await(t, `http://127[.0-9:]*/#pair=\w+`, 2)[1], "Ben")
	stdout.await(t, `guests .*: http://127[.0-9:]*/guest/\w+/\n`, 1)
	stdout.await(t, `  Ben  paired, id \w+\n`, 1)
	close(stop)
	if status := <-done; status != exitInterrupted || !strings.HasSuffix(stdout.String(), "nothing was taken in\n") || !strings.Contains(stderr.String(), "overhear") {
		t.Errorf("status %d, %s%s", status, &stdout, &stderr)
	}
	if _, err := http.Get(first); err == nil {
		t.Error("it goes on")
	}
	_, listed, _ := b.run("", "station", "--phones", "--revoke", "ann")
	if !regexp.MustCompile(`(?m)^\w{8} +Ann .* revoked$`).MatchString(listed) || !strings.Contains(listed, "Ben") {
		t.Errorf("%s", listed)
	}
}

// pairs sends the code of an invitation as a phone does.
func pairs(t *testing.T, invitation, name string) {
	t.Helper()
	url, code, _ := strings.Cut(invitation, "#pair=")
	answer, err := http.Post(url+"pair", "application/json", strings.NewReader(`{"code":"`+code+`","name":"`+name+`"}`))
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	if answer.StatusCode != http.StatusOK || len(answer.Cookies()) != 1 {
		t.Errorf("%s: %s", name, answer.Status)
	}
}

// A port that is taken is said to be, with another to type.
func TestStationPortTaken(t *testing.T) {
	b := newBench(t)
	other, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	status, _, stderr := b.run("", "station", "--address", other.Addr().String())
	if status != exitRefused || !regexp.MustCompile(`is taken by .*\n.*soaktag station --address 127.0.0.1:\d+\n`).MatchString(stderr) {
		t.Errorf("status %d, %s", status, stderr)
	}
}
