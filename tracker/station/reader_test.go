package station

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"io"
	"net/http"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/labels/photo"
	"soaktag/tracker"
	"soaktag/tracker/intake"
)

// The reader is sent to phones that are paired, compressed, and once as long as it is
// the same.
func TestReaderIsSentOnce(t *testing.T) {
	b := newBench(t)
	ann := b.paired("Ann's phone")
	for path, want := range map[string]struct{ kind, coding, begins string }{
		"/later.js":    {"text/javascript; charset=utf-8", "gzip", "export default ({$, State, Sense, Ways, atStation}) => {\n"},
		"/reader.js":   {"text/javascript; charset=utf-8", "", "/*\nCopyright 2009 The Go Authors."},
		"/reader.wasm": {"application/wasm", "gzip", "\x00asm"}, // WebAssembly core specification, 5.5.16
	} {
		if got := b.stranger().ask(path, ""); got.StatusCode != http.StatusUnauthorized {
			t.Errorf("%s: a stranger gets %s", path, got.Status)
		}
		got := ann.ask(path, "")
		body, err := io.ReadAll(got.Body)
		if err != nil || got.Header.Get("Content-Type") != want.kind || got.Header.Get("Content-Encoding") != want.coding {
			t.Errorf("%s: %v %v", path, err, got.Header)
		}
		if want.coding != "" {
			body = unpacked(t, body)
		}
		if !strings.HasPrefix(string(body), want.begins) {
			t.Errorf("%s begins with %q", path, body[:min(40, len(body))])
		}
		if again := ann.ask(path, got.Header.Get("ETag")); again.StatusCode != http.StatusNotModified {
			t.Errorf("%s again: %s", path, again.Status)
		}
	}
}

// The phone recognises damaged labels by the very list that the station has: what
// Reader makes of the state (page/reader/client.js, learn) is what was printed.
func TestPhoneKnowsWhatIsPrinted(t *testing.T) {
	b := newBench(t)
	_, body := b.paired("Ann's phone").get("/state")
	var state struct {
		Specimens []struct{ Code string }
		Cards     []string
	}
	if err := json.Unmarshal([]byte(body), &state); err != nil {
		t.Fatal(err, body)
	}
	lines := state.Cards
	for i, sp := range state.Specimens {
		lines = slices.Insert(lines, i, sp.Code)
	}
	got, err := photo.ParseList([]byte(strings.Join(lines, "\n")))
	if err != nil {
		t.Fatal(err)
	}
	err = b.withRecord(func(rec *tracker.Record, _ time.Time) error {
		if want := intake.Printed(rec); !reflect.DeepEqual(got, want) {
			t.Errorf("%s makes another list than what is printed", body)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// ask is GET by a browser that holds what had this tag.
func (v *visitor) ask(path, tag string) *http.Response {
	v.t.Helper()
	r := v.request(http.MethodGet, path, "")
	r.Header.Set("Accept-Encoding", "gzip")
	r.Header.Set("If-None-Match", tag)
	got, err := v.client.Do(r)
	if err != nil {
		v.t.Fatal(err)
	}
	v.t.Cleanup(func() { got.Body.Close() })
	return got
}

func unpacked(t *testing.T, packed []byte) []byte {
	t.Helper()
	r, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		t.Fatal(err)
	}
	content, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return content
}
