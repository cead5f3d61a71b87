package station

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"image"
	"image/png"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"soaktag/labels/photo"
	"soaktag/tracker/wording"
)

// Whatever somebody on the same network tries is refused or bounded, and told on the
// terminal; afterwards a phone that was let in before goes on as if nothing was.

// attacked runs an attack against a station that a phone is paired with, and wants
// it told on the terminal.
func attacked(t *testing.T, told string, attack func(b *bench, ann *visitor)) {
	t.Helper()
	b := newBench(t, probes...)
	ann := b.paired("Ann")
	attack(b, ann)
	if status, body := ann.get("/probe"); status != 200 || body != "Ann 8" {
		t.Errorf("the station does not go on: %d %s", status, body)
	}
	if !strings.Contains(b.told(), told) {
		t.Errorf("the terminal does not say %q:\n%s", told, b.told())
	}
}

// wants checks the answer to a request, which says in words what is wrong.
func (v *visitor) wants(status int, r *http.Request) {
	v.t.Helper()
	got, body := v.do(r)
	if got != status || !strings.Contains(body, `"error":"`) || !strings.Contains(body, `"do":"`) {
		v.t.Errorf("%s %s: %d %s, want %d", r.Method, r.URL, got, body, status)
	}
}

// Nothing but the page itself, and what pairs, is for somebody without a cookie.
func TestNoCookie(t *testing.T) {
	attacked(t, "this phone is not paired (GET /probe)", func(b *bench, _ *visitor) {
		who := b.stranger()
		who.wants(401, who.request("GET", "/probe", ""))
		for _, route := range routes {
			method, path, _ := strings.Cut(route.pattern, " ")
			path = strings.NewReplacer("{$}", "", "...}", "}").Replace(path)
			switch r := who.request(method, path, ""); {
			case route.who == phones:
				who.wants(401, r)
			case route.who != anyone:
				who.wants(404, r)
			}
		}
	})
}

func TestOldToken(t *testing.T) {
	attacked(t, "pairing was taken back (GET /probe)", func(b *bench, _ *visitor) {
		lost := b.paired("lost")
		if _, err := Revoke(b.File, lost.id); err != nil {
			t.Fatal(err)
		}
		lost.wants(401, lost.request("GET", "/probe", ""))
		for _, sent := range []string{"", lost.id, lost.id + ".", lost.id + ".guess", "../../links.x", "aaaaaaaa.x", strings.Repeat("a", 5000)} {
			who := b.stranger()
			r := who.request("GET", "/probe", "")
			r.AddCookie(&http.Cookie{Name: b.cookie, Value: sent})
			who.wants(401, r)
		}
	})
}

// A phone that is paired again has a new token, and the old one is good no longer.
func TestPairedAgain(t *testing.T) {
	attacked(t, "this phone is not paired", func(b *bench, ann *visitor) {
		r := ann.request("GET", "/probe", "")
		old := ann.client.Jar.Cookies(r.URL)
		_, code, _ := strings.Cut(b.Invite().URL, "#pair=")
		if status, body := ann.post("/pair", `{"code":"`+code+`","name":"Ann"}`); status != 200 || !strings.Contains(body, ann.id) {
			t.Errorf("paired again: %d %s, id was %s", status, body, ann.id)
		}
		who := b.stranger()
		r.AddCookie(old[0])
		who.wants(401, r)
	})
}

// A code is good once, for five minutes, and not to be guessed.
func TestPairingCodeGuessed(t *testing.T) {
	attacked(t, "too many pairing codes were tried", func(b *bench, _ *visitor) {
		_, code, _ := strings.Cut(b.Invite().URL, "#pair=")
		b.pass(codeLasts + time.Second)
		who := b.stranger()
		try := func(code string) *http.Request {
			return who.request("POST", "/pair", `{"code":"`+code+`","name":"Eve"}`)
		}
		who.wants(403, try(code))
		who.wants(403, try(""))
		who.wants(400, who.request("POST", "/pair", `code=x`))
		who.wants(400, who.request("POST", "/pair", strings.Repeat("[", 4000)))
		for range triesAMinute - 6 {
			who.wants(403, try("AAAAAAAAAA"))
		}
		b.Invite()
		for range 5 {
			who.do(try("AAAAAAAAAA"))
		}
		who.wants(429, try("AAAAAAAAAA"))
	})
}

func TestForeignHost(t *testing.T) {
	attacked(t, "this station is not called that (workshop.example:80)", func(b *bench, ann *visitor) {
		_, port, _ := net.SplitHostPort(b.Address)
		for _, host := range []string{"workshop.example:80", "workshop.example", "workshop.example:" + port, "127.0.0.1", "127.0.0.1:1", "127.0.0.2:" + port, "[::1]:" + port, "127.0.0.1.workshop.example:" + port} {
			r := ann.request("GET", "/probe", "")
			r.Host = host
			ann.wants(421, r)
		}
	})
}

// A page of another site in the same browser, with the phone's cookie.
func TestForeignOrigin(t *testing.T) {
	attacked(t, "another page sent this (POST /probe)", func(b *bench, ann *visitor) {
		for _, origin := range []string{"http://workshop.example", "null", "http://127.0.0.1:1"} {
			r := ann.request("POST", "/probe", "{}")
			r.Header.Set("Origin", origin)
			ann.wants(403, r)
		}
		own := ann.request("POST", "/probe", "{}")
		own.Header.Set("Origin", "http://"+b.Address)
		if status, body := ann.do(own); status != 200 {
			t.Errorf("the own page: %d %s", status, body)
		}
	})
}

func TestCrossSiteForm(t *testing.T) {
	attacked(t, "another page sent this", func(b *bench, ann *visitor) {
		for _, site := range []string{"cross-site", "same-site"} {
			r := ann.request("POST", "/probe", "kind=line&line=HBR-001")
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			r.Header.Set("Sec-Fetch-Site", site)
			ann.wants(403, r)
		}
		cookie := b.cookieOf("x")
		if cookie.SameSite != http.SameSiteStrictMode || !cookie.HttpOnly {
			t.Errorf("another site's page has the cookie sent, or a script sees it: %v", cookie)
		}
	})
}

// What a browser may do with an answer is in its head, whatever the answer.
func TestHeaders(t *testing.T) {
	b := newBench(t, probes...)
	for _, path := range []string{"/probe", "/nothing"} {
		answer, err := http.Get(b.URL(path))
		if err != nil {
			t.Fatal(err)
		}
		answer.Body.Close()
		h := answer.Header
		if !strings.HasPrefix(h.Get(policyHeader), "default-src 'self'; ") || strings.Contains(h.Get(policyHeader), "unsafe-inline") || strings.Contains(h.Get(policyHeader), "'unsafe-eval'") ||
			h.Get("X-Content-Type-Options") != "nosniff" || h.Get("Cache-Control") != "no-store" || h.Get("Referrer-Policy") != "no-referrer" {
			t.Errorf("%s: %v", path, h)
		}
	}
}

// An endless reader says how much of it was taken.
type endlessBody struct{ taken atomic.Int64 }

func (e *endlessBody) Read(p []byte) (int, error) {
	if e.taken.Load() >= 1<<30 {
		return 0, io.EOF
	}
	e.taken.Add(int64(len(p)))
	return len(p), nil
}

// A body of 1 GB is cut, whether its length is said or not.
func TestHugeBody(t *testing.T) {
	attacked(t, "this is too large (POST /probe)", func(b *bench, ann *visitor) {
		for _, said := range []int64{1 << 30, -1} {
			body := &endlessBody{}
			r := ann.request("POST", "/probe", "")
			r.Body, r.ContentLength = io.NopCloser(body), said
			answer, err := ann.client.Do(r)
			if err == nil { // else the connection was closed before the answer was read
				answer.Body.Close()
				if answer.StatusCode != 413 {
					t.Errorf("length %d: %s", said, answer.Status)
				}
			}
			if taken := body.taken.Load(); taken > 16<<20 {
				t.Errorf("length %d: %d bytes were taken", said, taken)
			}
		}
		if held := b.limits.bytes.Load(); held != 0 {
			t.Errorf("%d bytes are held for nobody", held)
		}
	})
}

// Large bodies that are sent at once do not fill the memory: what is beyond is told to
// come again.
func TestManyLargeBodies(t *testing.T) {
	b := newBench(t, route{"POST /large", phones, photoBody, (*Station).probe})
	ann := b.paired("Ann")
	b.limits.bytes.Add(mostBytes - 1000)
	ann.wants(503, ann.request("POST", "/large", strings.Repeat("x", 2000)))
	b.limits.bytes.Add(1000 - mostBytes)
	if status, _ := ann.do(ann.request("POST", "/large", strings.Repeat("x", 2000))); status != 200 {
		t.Errorf("afterwards: %d", status)
	}
}

// bomb is a picture of few bytes that says it has so many pixels, and has them.
func bomb(t *testing.T, width, height int) []byte {
	t.Helper()
	var file bytes.Buffer
	if err := png.Encode(&file, image.NewGray(image.Rect(0, 0, width, height))); err != nil {
		t.Fatal(err)
	}
	return file.Bytes()
}

// claims makes a picture say it is larger than it is.
func claims(file []byte, width, height uint32) []byte {
	head := file[12:29] // IHDR and what is in it, before its check sum (PNG, 5.3 and 11.2.1)
	binary.BigEndian.PutUint32(head[4:], width)
	binary.BigEndian.PutUint32(head[8:], height)
	binary.BigEndian.PutUint32(file[29:], crc32.ChecksumIEEE(head))
	return file
}

func TestDecompressionBomb(t *testing.T) {
	b := newBench(t)
	small := bomb(t, 8, 8)
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	if _, err := b.readPhoto(t.Context(), claims(small, 60_000, 60_000), nil); err == nil {
		t.Error("a picture of 3,600 million pixels was opened")
	}
	if _, err := b.readPhoto(t.Context(), claims(small, 1<<31-1, 1<<31-1), nil); err == nil {
		t.Error("a picture whose pixels cannot be counted was opened")
	}
	runtime.ReadMemStats(&after)
	if took := after.TotalAlloc - before.TotalAlloc; took > 10<<20 {
		t.Errorf("%d bytes were taken for pictures that were refused", took)
	}
	whole := bomb(t, 5000, 4000)
	look, err := b.readPhoto(t.Context(), whole, nil)
	if len(whole) > 100_000 || err != nil || len(look.Found) > 0 {
		t.Errorf("20 million pixels in %d bytes: %v, %v", len(whole), look.Found, err)
	}
}

// A photograph that keeps the reader busy keeps one place busy; whoever sent it is told
// in time, and the place is free when the reader is done.
func TestSlowPhotograph(t *testing.T) {
	b := newBench(t)
	for range cap(b.limits.readings) - 1 {
		b.limits.readings <- struct{}{}
	}
	slow := make(chan struct{})
	leave, err := b.limits.place(t.Context(), 1)
	if err != nil {
		t.Fatal(err)
	}
	short := shortly(t, 20*time.Millisecond)
	if _, err := await(short, func() (photo.Look, error) { defer leave(); <-slow; return photo.Look{}, nil }); !errors.Is(err, errSlow) {
		t.Errorf("a slow one: %v", err)
	}
	if _, err := b.limits.place(shortly(t, 20*time.Millisecond), 1); !errors.Is(err, errSlow) {
		t.Errorf("a place is free while it is read: %v", err)
	}
	close(slow)
	if _, err := b.limits.place(t.Context(), wholePixels+1); err != nil {
		t.Errorf("no place is free afterwards: %v", err)
	}
}

// A fault of the reader is one photograph's, not the station's end.
func TestReaderFault(t *testing.T) {
	if _, err := await(t.Context(), func() (photo.Look, error) { panic("out of range") }); err == nil || !strings.Contains(err.Error(), "out of range") {
		t.Errorf("%v", err)
	}
}

// Whoever sends the head of a request slowly is hung up on, and one machine that does so
// a thousand times does not take the places of all others.
func TestSlowHeaders(t *testing.T) {
	b := newBench(t, probes...)
	if got := b.Station.server().ReadHeaderTimeout; got != headerTime {
		t.Errorf("a head may take %s", got)
	}
	ann := b.paired("Ann")
	from := net.Dialer{LocalAddr: &net.TCPAddr{IP: net.IPv4(127, 0, 0, 2)}}
	var open []net.Conn
	for range mostOfOne + 50 {
		conn, err := from.DialContext(t.Context(), "tcp", b.Address)
		if err != nil {
			t.Skipf("this machine has no second address for an attacker: %v", err)
		}
		defer conn.Close()
		fmt.Fprintf(conn, "GET / HTTP/1.1\r\nHost: %s\r\nX-Slow: ", b.Address)
		open = append(open, conn)
	}
	last := open[len(open)-1]
	if err := last.SetReadDeadline(time.Now().Add(5 * time.Second)); err != nil {
		t.Fatal(err)
	}
	if _, err := last.Read(make([]byte, 1)); err == nil || errors.Is(err, os.ErrDeadlineExceeded) {
		t.Errorf("the last of %d connections is open: %v", len(open), err)
	}
	if status, _ := ann.get("/probe"); status != 200 {
		t.Errorf("meanwhile: %d", status)
	}
}

// Paths that are none, or that lead out of where they begin.
func TestPathTricks(t *testing.T) {
	attacked(t, "there is nothing here", func(b *bench, ann *visitor) {
		for _, path := range []string{"/../../../../etc/passwd", "/probe/../../bench.soaktag", "//workshop.example/", "/%2e%2e/%2e%2e/bench.station/links", "/bench.station/links",
			"/photo/..%2f..%2flinks", "/photo/%00", "/show/..%5c..%5cx", "/guest//probe", "/guest/%2e%2e/probe", "/PROBE", "/probe/", "/.", "/station.js/..%2f", "http://workshop.example/probe", "*"} {
			status, where := raw(t, b, "GET "+path+" HTTP/1.1\r\nHost: "+b.Address+"\r\nConnection: close\r\n\r\n")
			if status < 300 || status >= 500 || strings.Contains(where, "://") || strings.HasPrefix(where, "//") {
				t.Errorf("%s: %d, sent on to %q", path, status, where)
			}
		}
	})
}

// raw sends a request as it stands and returns the status and where it sends on to.
func raw(t *testing.T, b *bench, text string) (status int, where string) {
	t.Helper()
	conn, err := net.Dial("tcp", b.Address)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	if _, err := io.WriteString(conn, text); err != nil {
		t.Fatal(err)
	}
	got, err := io.ReadAll(conn)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := fmt.Sscanf(string(got), "HTTP/1.1 %d", &status); err != nil {
		t.Errorf("%q: %q", text, got)
	}
	if _, after, ok := strings.Cut(string(got), "\nLocation: "); ok {
		where, _, _ = strings.Cut(after, "\r")
	}
	return status, where
}

// Script, and what moves a terminal's cursor, in the name of a phone.
func TestScriptInAName(t *testing.T) {
	attacked(t, "?[2J", func(b *bench, _ *visitor) {
		_, code, _ := strings.Cut(b.Invite().URL, "#pair=")
		who := b.stranger()
		_, body := who.post("/pair", `{"code":"`+code+`","name":"<script>alert(1)</script>\u001b[2J\u202e`+strings.Repeat("x", 3000)+`"}`)
		if strings.Contains(body, "<script") || len(body) > 500 {
			t.Errorf("%s", body)
		}
		if strings.ContainsAny(b.told(), "\x1b\u202e") {
			t.Errorf("%q", b.told())
		}
	})
}

// A thousand requests at once are answered or told to come again, and no more than so
// many at a time are in hand.
func TestThousandRequests(t *testing.T) {
	var most atomic.Int64
	slow := route{"GET /slow", phones, noBody, func(s *Station, w http.ResponseWriter, _ *http.Request) {
		if now := s.limits.requests.Load(); now > most.Load() {
			most.Store(now)
		}
		time.Sleep(time.Duration(10+rand.IntN(10)) * time.Millisecond)
		w.WriteHeader(http.StatusNoContent)
	}}
	b := newBench(t, append(probes, slow)...)
	ann := b.paired("Ann")
	var answered, later, closed atomic.Int64
	var all sync.WaitGroup
	for range 1000 {
		all.Go(func() {
			answer, err := ann.client.Do(ann.request("GET", "/slow", ""))
			if err != nil {
				closed.Add(1)
				return
			}
			answer.Body.Close()
			switch answer.StatusCode {
			case http.StatusNoContent:
				answered.Add(1)
			case http.StatusServiceUnavailable:
				later.Add(1)
			default:
				t.Errorf("%s", answer.Status)
			}
		})
	}
	all.Wait()
	t.Logf("%d answered, %d told to come again, %d hung up on; at most %d in hand", answered.Load(), later.Load(), closed.Load(), most.Load())
	if answered.Load() == 0 || most.Load() > mostRequests {
		t.Errorf("%d answered, %d in hand at once", answered.Load(), most.Load())
	}
	if status, body := ann.get("/probe"); status != 200 || body != "Ann 8" || b.limits.requests.Load() > 1 {
		t.Errorf("afterwards: %d %s, %d in hand", status, body, b.limits.requests.Load())
	}
}

// One phone that asks without end is told to wait, and others are not.
func TestOneAsksWithoutEnd(t *testing.T) {
	attacked(t, "Eve  not taken: this phone asks too often", func(b *bench, _ *visitor) {
		eve := b.paired("Eve")
		for b.limits.asks.allow(eve.id) {
		}
		eve.wants(429, eve.request("GET", "/probe", ""))
	})
}

// Whoever has a guest's link cannot keep the station busy with it, and its token is not to
// be guessed.
func TestGuestAsksWithoutEnd(t *testing.T) {
	attacked(t, "this is asked for too often", func(b *bench, _ *visitor) {
		who, path := b.stranger(), strings.TrimPrefix(b.GuestURL(), b.URL(""))+"probe"
		for range looksAMinute {
			if status, _ := who.get(path); status != 200 {
				t.Fatalf("a guest: %d", status)
			}
		}
		who.wants(429, who.request("GET", path, ""))
		who.wants(429, who.request("GET", "/guest/guess/probe", ""))
	})
}

// Every reason to turn somebody away has its words and its status.
func TestEveryTurnIsWorded(t *testing.T) {
	for why := wording.NotPaired; why <= wording.Failed; why++ {
		text, do := wording.TurnedAway(why)
		if how := turned[why]; text == "" || do == "" || how.status < 400 {
			t.Errorf("%d: %q, %q, %+v", why, text, do, how)
		}
	}
}
