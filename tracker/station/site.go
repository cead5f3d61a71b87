package station

import (
	"net/http"

	"soaktag/tracker/station/page"
)

// servePage sends the page that a phone works with; its style stands in it.
func (s *Station) servePage(w http.ResponseWriter, _ *http.Request) {
	html, style := page.HTML()
	allow(w, "style-src "+style)
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, _ = w.Write(html) // whoever asked may be gone: then nobody is left to tell
}

// serveScript sends the one script of that page.
func (s *Station) serveScript(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", "text/javascript; charset=utf-8")
	_, _ = w.Write(page.Script())
}

// serveLater sends what that script fetches once the page is in use.
func (s *Station) serveLater(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "text/javascript; charset=utf-8")
	sendKept(w, r, page.Later())
}

// serveShownStyle sends the style of the pages that are shown in that one.
func (s *Station) serveShownStyle(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "text/css; charset=utf-8")
	sendKept(w, r, page.Shown())
}
