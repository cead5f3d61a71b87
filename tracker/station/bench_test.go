package station

import (
	"encoding/json"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// A bench is a station on a small study, served on this machine, with its log.
type bench struct {
	*Station
	t      testing.TB
	server *httptest.Server

	mu    sync.Mutex
	lines []string
	now   time.Time
}

var noon = time.Date(2026, 5, 2, 12, 0, 0, 0, time.UTC)

// newBench starts a station that serves these routes, beside those that there are.
func newBench(t testing.TB, more ...route) *bench {
	t.Helper()
	return benchOf(t, newStudy(t), more...)
}

// benchOf is newBench on a study of one's own.
func benchOf(t testing.TB, file string, more ...route) *bench {
	t.Helper()
	b := &bench{t: t, now: noon}
	db, err := store.Open(file, plan.Read)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	b.server = httptest.NewUnstartedServer(nil)
	b.Station, err = New(Options{DB: db, File: file, Clock: b.clock, Address: b.server.Listener.Addr().String(), Log: b.hear})
	if err != nil {
		t.Fatal(err)
	}
	b.server.Config = b.Station.server()
	b.server.Config.Handler = b.serving(append(more, routes...))
	b.server.Listener = newBounded(b.server.Listener)
	b.server.Start()
	t.Cleanup(func() { b.stop(); b.server.Close() })
	return b
}

// newStudy begins the small study.
func newStudy(t testing.TB) string { return begun(t, smallPlan, dealt()) }

// begun begins a study of these specimens.
func begun(t testing.TB, plan string, dealt []tracker.Specimen) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "bench.soaktag")
	b := intake.Beginning{Plan: []byte(plan), Dealt: dealt, DealtBy: "hand", By: "Mara"}
	if err := intake.Begin(file, b, noon); err != nil {
		t.Fatal(err)
	}
	return file
}

// smallPlan is an invented study.
const smallPlan = `[study]
title = "Two adhesives"
prefix = "HBR"
zone = "Europe/London"
[specimen]
bond = "40 mm x 45 mm"
[adhesive.CAS]
name = "casein"
bath = "B1"
[adhesive.EPX]
name = "epoxy"
bath = "B2"
[interval]
clamp = "24 h +/- 2 h"
cure = "7 d +/- 1 d"
soak = "7 d +/- 4 h"
"wet hold" = "at most 30 min"
[treatment.dry]
control = true
replicates = 2
age = "as soaked +/- 1 d"
[treatment.soaked]
replicates = 2
state = "wet"
[[rig]]
name = "press"
ram_area = "15.94 cm2"
gauge = { reads = "pressure", span = "25 MPa", division = "0.2 MPa", class = "1.6 %" }
`

// dealt are eight specimens: HBR-001 and 002 casein dry, 003 and 004 casein soaked,
// 005 and 006 epoxy dry, 007 and 008 epoxy soaked.
func dealt() (all []tracker.Specimen) {
	for i := range 8 {
		sp := tracker.Specimen{Code: labels.New("HBR", i+1), Adhesive: []string{"CAS", "EPX"}[i/4], Treatment: []string{"dry", "soaked"}[i/2%2], Order: i + 1}
		if sp.Treatment == "soaked" {
			sp.Bath = []string{"B1", "B2"}[i/4]
		}
		all = append(all, sp)
	}
	return all
}

func (b *bench) clock() time.Time {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.now
}

func (b *bench) pass(d time.Duration) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.now = b.now.Add(d)
}

func (b *bench) hear(line string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.lines = append(b.lines, line)
}

func (b *bench) told() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return strings.Join(b.lines, "\n")
}

// A visitor is a browser: it keeps cookies.
type visitor struct {
	*bench
	client *http.Client
	id     string // of the phone that it was paired as
}

// stranger is somebody who is not paired.
func (b *bench) stranger() *visitor {
	jar, err := cookiejar.New(nil)
	if err != nil {
		b.t.Fatal(err)
	}
	return &visitor{bench: b, client: &http.Client{Jar: jar}}
}

// paired is a phone that was let in.
func (b *bench) paired(name string) *visitor {
	b.t.Helper()
	v := b.stranger()
	_, code, _ := strings.Cut(b.Invite().URL, "#pair=")
	status, body := v.post("/pair", `{"code":"`+code+`","name":"`+name+`"}`)
	var got struct{ Phone struct{ ID, Name string } }
	if err := json.Unmarshal([]byte(body), &got); status != http.StatusOK || err != nil || got.Phone.ID == "" {
		b.t.Fatalf("pairing %s: %d %s, %v", name, status, body, err)
	}
	v.id = got.Phone.ID
	return v
}

func (v *visitor) get(path string) (status int, body string) { return v.do(v.request("GET", path, "")) }

func (v *visitor) post(path, body string) (int, string) {
	r := v.request("POST", path, body)
	r.Header.Set("Content-Type", "application/json")
	return v.do(r)
}

func (v *visitor) request(method, path, body string) *http.Request {
	v.t.Helper()
	r, err := http.NewRequest(method, v.URL(path), strings.NewReader(body))
	if err != nil {
		v.t.Fatal(err)
	}
	return r
}

func (v *visitor) do(r *http.Request) (int, string) {
	v.t.Helper()
	answer, err := v.client.Do(r)
	if err != nil {
		v.t.Fatal(err)
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		v.t.Fatal(err)
	}
	return answer.StatusCode, string(body)
}
