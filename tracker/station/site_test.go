package station

import (
	"io"
	"net/http"
	"testing"

	"soaktag/tracker/station/page"
)

// TestPageIsSentSmall fetches page and script as a browser does: compressed, the same
// bytes once unpacked, the script kept until it is another; and whole for whoever does not
// unpack.
func TestPageIsSentSmall(t *testing.T) {
	b := newBench(t)
	html, _ := page.HTML()
	for path, want := range map[string][]byte{"/": html, "/station.js": page.Script()} {
		for _, coding := range []string{"gzip", ""} {
			r, err := http.NewRequest("GET", b.server.URL+path, nil)
			if err != nil {
				t.Fatal(err)
			}
			r.Header.Set("Accept-Encoding", coding)
			got, err := http.DefaultTransport.RoundTrip(r)
			if err != nil {
				t.Fatal(err)
			}
			body, err := io.ReadAll(got.Body)
			got.Body.Close()
			if err != nil || got.Header.Get("Content-Encoding") != coding {
				t.Fatalf("%s as %q: %v %v", path, coding, err, got.Header)
			}
			if coding != "" {
				if t.Logf("%s: %d bytes of %d", path, len(body), len(want)); len(body) > len(want)/2 {
					t.Errorf("%s: %d bytes of %d are sent", path, len(body), len(want))
				}
				body = unpacked(t, body)
			}
			if string(body) != string(want) {
				t.Errorf("%s as %q is not the page's", path, coding)
			}
			if tag := got.Header.Get("ETag"); (tag == "") != (path == "/") {
				t.Errorf("%s has the tag %q", path, tag)
			}
		}
	}
}
