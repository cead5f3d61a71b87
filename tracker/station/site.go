package station

import (
	"bytes"
	"compress/gzip"
	"net/http"
	"strings"
	"sync"

	"soaktag/tracker/station/page"
)

// A piece is something of the page, as it is and compressed: a third of it has to come
// through a bad network then.
type piece struct{ plain, packed []byte }

func pieceOf(content []byte) piece {
	var packed bytes.Buffer
	z := gzip.NewWriter(&packed)
	_, _ = z.Write(content) // into memory
	_ = z.Close()
	return piece{content, packed.Bytes()}
}

// pieces are those that are always the same, by their paths.
var pieces = sync.OnceValue(func() map[string]piece {
	html, _ := page.HTML()
	return map[string]piece{"/": pieceOf(html), "/station.js": pieceOf(page.Script()), "/later.js": pieceOf(page.Later()), "/shown.css": pieceOf(page.Shown())}
})

// pieceFor is what stands at the path of a request, in the form that its browser takes.
func pieceFor(w http.ResponseWriter, r *http.Request, kind string) []byte {
	p := pieces()[r.URL.Path]
	w.Header().Set("Content-Type", kind+"; charset=utf-8")
	w.Header().Add("Vary", "Accept-Encoding")
	if !strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
		return p.plain
	}
	w.Header().Set("Content-Encoding", "gzip")
	return p.packed
}

// servePage sends the page that a phone works with; its style stands in it.
func (s *Station) servePage(w http.ResponseWriter, r *http.Request) {
	_, style := page.HTML()
	allow(w, "style-src "+style)
	_, _ = w.Write(pieceFor(w, r, "text/html")) // whoever asked may be gone: then nobody is left to tell
}

// serveScript sends the one script of that page, or what that fetches once the page is in
// use.
func (s *Station) serveScript(w http.ResponseWriter, r *http.Request) {
	sendKept(w, r, pieceFor(w, r, "text/javascript"))
}

// serveShownStyle sends the style of the pages that are shown in that one.
func (s *Station) serveShownStyle(w http.ResponseWriter, r *http.Request) {
	sendKept(w, r, pieceFor(w, r, "text/css"))
}
