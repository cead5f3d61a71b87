package station

import (
	"bytes"
	"compress/gzip"
	"io"
	"net/http"
	"strings"
	"testing"
)

// The reader is sent to phones that are paired, compressed, and once as long as it is
// the same.
func TestReaderIsSentOnce(t *testing.T) {
	b := newBench(t)
	ann := b.paired("Ann's phone")
	for path, want := range map[string]struct{ kind, coding, begins string }{
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
