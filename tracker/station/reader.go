package station

import (
	"net/http"
	"strconv"
	"strings"

	"soaktag/tracker/station/page/reader"
)

// serveReaderScript sends the script of the worker that reads photographs in the page.
func (s *Station) serveReaderScript(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "text/javascript; charset=utf-8")
	sendKept(w, r, reader.Worker())
}

// serveReader sends what that worker runs, compressed as it is kept: every browser
// that runs it takes that.
func (s *Station) serveReader(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "application/wasm")
	w.Header().Set("Content-Encoding", "gzip")
	sendKept(w, r, reader.Module())
}

// sendKept sends what a browser may keep, and asks for again by its tag: it is sent
// once as long as it is the same.
func sendKept(w http.ResponseWriter, r *http.Request, content []byte) {
	tag := reader.Tag(content)
	w.Header().Set("Cache-Control", "no-cache")
	w.Header().Set("ETag", tag)
	if strings.Contains(r.Header.Get("If-None-Match"), tag) {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	w.Header().Set("Content-Length", strconv.Itoa(len(content)))
	_, _ = w.Write(content) // whoever asked may be gone
}
