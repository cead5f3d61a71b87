package station

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"mime/multipart"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// loadLasts is for how long phones send in BenchmarkLoad, unless SOAKTAG_LOAD says
// otherwise, "60s".
const loadLasts = 3 * time.Second

// loadSpecimens are in the study that phones send to.
const loadSpecimens = 1000

// Twenty phones send five scans a second each, to a station on loopback. It reports the
// scans sent, those that are not in the log (lost) and those that are there twice, the
// median and the 99th percentile of the time until the answer, and by how much the memory
// in use grew from the first third to the end. The targets are none lost, 100 ms, flat.
func BenchmarkLoad(b *testing.B) {
	const each, every = 20, 200 * time.Millisecond
	lasts, err := time.ParseDuration(os.Getenv("SOAKTAG_LOAD"))
	if err != nil {
		lasts = loadLasts
	}
	for b.Loop() {
		s := newLoaded(b)
		times := make([][]time.Duration, each)
		var all sync.WaitGroup
		for i := range times {
			phone := s.phone(b, fmt.Sprintf("phone %d", i))
			all.Go(func() { times[i] = phone.send(b, int(lasts/every), every) })
		}
		time.Sleep(lasts / 3)
		early := inUse()
		all.Wait()
		late := inUse()
		s.report(b, slices.Concat(times...))
		b.ReportMetric((late-early)/1e6, "grown-MB")
	}
}

// inUse is what is reached in memory, in bytes.
func inUse() float64 {
	var m runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&m)
	return float64(m.HeapAlloc)
}

// A loaded station serves a study of many specimens, by this machine's own clock.
type loaded struct {
	*Station
	before int64 // events in the log
}

func newLoaded(b *testing.B) *loaded {
	b.Helper()
	file := filepath.Join(b.TempDir(), "load.soaktag")
	if err := intake.Begin(file, intake.Beginning{Plan: []byte(smallPlan), Dealt: many(loadSpecimens), DealtBy: "hand"}, noon); err != nil {
		b.Fatal(err)
	}
	db, err := store.Open(file, plan.Read)
	if err != nil {
		b.Fatal(err)
	}
	server := httptest.NewUnstartedServer(nil)
	st, err := New(Options{DB: db, File: file, Clock: time.Now, Address: server.Listener.Addr().String()})
	if err != nil {
		b.Fatal(err)
	}
	server.Config, server.Listener = st.server(), newBounded(server.Listener)
	server.Start()
	b.Cleanup(func() { st.stop(); server.Close(); db.Close() })
	_, before, err := db.Head()
	if err != nil {
		b.Fatal(err)
	}
	return &loaded{st, before}
}

// many are so many specimens of smallPlan. Serials whose code nobody deals are passed.
func many(n int) (all []tracker.Specimen) {
	for serial := 1; len(all) < n; serial++ {
		i, code := len(all), labels.New("HBR", serial)
		if code.Valid() != nil {
			continue
		}
		all = append(all, tracker.Specimen{Code: code, Adhesive: []string{"CAS", "EPX"}[i%2], Treatment: "soaked", Bath: []string{"B1", "B2"}[i%2], Order: i + 1})
	}
	return all
}

// codes are theirs.
var codes = func() (all []string) {
	for _, sp := range many(loadSpecimens) {
		all = append(all, sp.Code.String())
	}
	return all
}()

// A scanner is a phone that scans, and sends one after the other.
type scanner struct {
	client *http.Client
	url    string
	n      int
}

func (s *loaded) phone(b *testing.B, name string) *scanner {
	b.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		b.Fatal(err)
	}
	p := &scanner{client: &http.Client{Jar: jar, Transport: &http.Transport{}}, url: s.URL("")}
	_, code, _ := strings.Cut(s.Invite().URL, "#pair=")
	answer, err := p.client.Post(p.url+"/pair", "application/json", strings.NewReader(`{"code":"`+code+`","name":"`+name+`"}`))
	if err != nil || answer.StatusCode != http.StatusOK {
		b.Fatalf("%v, %v", answer, err)
	}
	answer.Body.Close()
	return p
}

// send sends so many scans, one every so often, and returns how long each took.
func (p *scanner) send(b *testing.B, scans int, every time.Duration) (times []time.Duration) {
	tick := time.NewTicker(every)
	defer tick.Stop()
	for range scans {
		<-tick.C
		p.n++
		begun := time.Now()
		answer, err := p.client.Post(p.url+"/take", "application/json", bytes.NewReader(scanOf(p.n)))
		if err != nil {
			b.Error(err)
			continue
		}
		body, _ := io.ReadAll(answer.Body)
		answer.Body.Close()
		if answer.StatusCode != http.StatusOK {
			b.Errorf("%s: %s", answer.Status, body)
			continue
		}
		times = append(times, time.Since(begun))
	}
	return times
}

// scanOf is an entry: the scan of some specimen at the glue-up.
func scanOf(n int) []byte {
	entry, err := json.Marshal(entryOf(n, map[string]any{"kind": "line", "line": codes[rand.IntN(len(codes))], "via": "typed", "stage": string(schedule.GlueUp)}))
	if err != nil {
		panic(err)
	}
	return entry
}

// entryOf is what every entry has, and more.
func entryOf(n int, more map[string]any) map[string]any {
	now := time.Now().UnixMilli()
	entry := map[string]any{"id": uuidOf(rand.Uint64(), rand.Uint64()), "n": n, "at": now, "by": "Ann",
		"clock": map[string]any{"epoch": "e", "fact": map[string]any{"shown": now, "at": now, "trip": 1}, "jump": nil}}
	for key, value := range more {
		entry[key] = value
	}
	return entry
}

// uuidOf is a random UUID (RFC 9562, version 4).
func uuidOf(a, c uint64) string {
	return fmt.Sprintf("%08x-%04x-4%03x-%04x-%012x", a>>32, a>>16&0xffff, a&0xfff, 0x8000|c>>48&0x3fff, c&0xffffffffffff)
}

func (s *loaded) report(b *testing.B, times []time.Duration) {
	b.Helper()
	_, after, err := s.DB.Head()
	if err != nil || len(times) == 0 {
		b.Fatalf("%d answered, %v", len(times), err)
	}
	scans := 0
	err = s.withRecord(func(rec *tracker.Record, _ time.Time) error {
		for _, e := range rec.Events() {
			if e.Kind == tracker.Staged {
				scans++
			}
		}
		return nil
	})
	if err != nil {
		b.Fatal(err)
	}
	slices.Sort(times)
	b.ReportMetric(float64(len(times)), "scans")
	b.ReportMetric(float64(len(times)-scans), "lost")
	b.ReportMetric(float64(after-s.before), "events")
	b.ReportMetric(float64(times[len(times)/2].Microseconds())/1000, "p50-ms")
	b.ReportMetric(float64(times[len(times)*99/100].Microseconds())/1000, "p99-ms")
}

// BenchmarkTakeRatio has the station take a scan, from the request to its answer without
// the network, by turns with a bare Record of such an event in a study as large. The
// target is 2.
func BenchmarkTakeRatio(b *testing.B) {
	s, bare := newLoaded(b), newLoaded(b)
	taker := s.taker(b)
	var ours, records []float64
	for n := 1; b.Loop(); n++ {
		entry := scanOf(n)
		ours = append(ours, seconds(func() { taker.take(b, "application/json", entry) }))
		e := tracker.Event{ID: uuidOf(rand.Uint64(), rand.Uint64()), Kind: tracker.Staged, At: schedule.At(time.Now()), Recorded: time.Now(), By: "Ann",
			Code: codes[rand.IntN(len(codes))], Stage: schedule.GlueUp}
		records = append(records, seconds(func() {
			if _, err := bare.DB.Record(e); err != nil {
				b.Fatal(err)
			}
		}))
	}
	ratio(b, ours, records)
}

// BenchmarkPhotoRatio has the station take a photograph of 3 MB of a fracture face, which
// it does not search for labels, by turns with writing the same bytes to a file and syncing
// it. The target is 2.2.
func BenchmarkPhotoRatio(b *testing.B) {
	s := newLoaded(b)
	taker := s.taker(b)
	var ours, files []float64
	for n := 1; b.Loop(); n++ {
		picture := noise(3_000_000)
		kind, body := taker.face(b, n, picture)
		ours = append(ours, seconds(func() { taker.take(b, kind, body) }))
		files = append(files, seconds(func() { writeAndSync(b, picture) }))
	}
	ratio(b, ours, files)
}

// noise are so many bytes that begin as a JPEG does and cannot be packed.
func noise(n int) []byte {
	source := rand.NewChaCha8([32]byte{byte(rand.Uint32()), byte(rand.Uint32()), byte(rand.Uint32())})
	picture := make([]byte, n)
	_, _ = source.Read(picture)
	copy(picture, "\xff\xd8\xff\xe0")
	return picture
}

func writeAndSync(b *testing.B, picture []byte) {
	b.Helper()
	f, err := os.Create(filepath.Join(b.TempDir(), "photo"))
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	if _, err := f.Write(picture); err != nil {
		b.Fatal(err)
	}
	if err := f.Sync(); err != nil {
		b.Fatal(err)
	}
}

// A taker hands requests of one phone to a station, without a network.
type taker struct {
	handler http.Handler
	host    string
	cookie  *http.Cookie
}

func (s *loaded) taker(b *testing.B) *taker {
	b.Helper()
	_, sent, err := s.phones.add("Ann", noon)
	if err != nil {
		b.Fatal(err)
	}
	s.limits = newLimits(func() func() time.Time {
		far := noon
		return func() time.Time { far = far.Add(time.Minute); return far } // as if a minute passed between two
	}())
	return &taker{s.Handler(), s.Address, s.cookieOf(sent)}
}

func (k *taker) take(b *testing.B, kind string, body []byte) {
	r := httptest.NewRequest("POST", "http://"+k.host+"/take", bytes.NewReader(body))
	r.Header.Set("Content-Type", kind)
	r.AddCookie(k.cookie)
	w := httptest.NewRecorder()
	k.handler.ServeHTTP(w, r)
	if w.Code != http.StatusOK || !strings.Contains(w.Body.String(), `"recorded":1`) {
		b.Fatalf("%d %s", w.Code, w.Body)
	}
}

// face is the request with a photograph of a fracture face.
func (k *taker) face(b *testing.B, n int, picture []byte) (kind string, body []byte) {
	var out bytes.Buffer
	form := multipart.NewWriter(&out)
	subject := labels.New("HBR", 1).String() + "/" + strconv.Itoa(1+n%2)
	entry, err := json.Marshal(entryOf(n, map[string]any{"kind": "faces", "stage": "", "faces": map[string]any{"subject": subject, "wood": "", "mode": "", "shallow": ""}}))
	if err != nil {
		b.Fatal(err)
	}
	for name, text := range map[string][]byte{"entry": entry, "photo": picture} {
		part, err := form.CreateFormFile(name, name)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := part.Write(text); err != nil {
			b.Fatal(err)
		}
	}
	if err := form.Close(); err != nil {
		b.Fatal(err)
	}
	return form.FormDataContentType(), out.Bytes()
}

func seconds(do func()) float64 {
	begun := time.Now()
	do()
	return time.Since(begun).Seconds()
}

// ratio reports the medians of two series taken by turns, and their ratio.
func ratio(b *testing.B, ours, bare []float64) {
	b.Helper()
	slices.Sort(ours)
	slices.Sort(bare)
	x, y := ours[len(ours)/2], bare[len(bare)/2]
	b.ReportMetric(x*1e6, "ours-µs")
	b.ReportMetric(y*1e6, "bare-µs")
	b.ReportMetric(x/y, "ratio")
}
