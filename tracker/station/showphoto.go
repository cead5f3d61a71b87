package station

import (
	"errors"
	"io/fs"
	"net/http"
	"regexp"

	"soaktag/tracker"
	"soaktag/tracker/report"
	"soaktag/tracker/wording"
)

var photoSum = regexp.MustCompile(`^[0-9a-f]{64}$`)

// smallSide is how long the longer side of a small photograph is, in pixels.
const smallSide = 320

// servePhoto answers with a photograph that the study keeps, small where that is asked
// for. Its name is the hash of its bytes, so a browser may keep it for good.
func (s *Station) servePhoto(w http.ResponseWriter, r *http.Request) {
	sum := r.PathValue("sum")
	if !photoSum.MatchString(sum) {
		s.deny(w, r, wording.NotHere)
		return
	}
	photo, err := s.DB.Photo(sum)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		s.deny(w, r, wording.NotHere)
		return
	case err != nil:
		s.fail(w, r, err)
		return
	}
	if r.URL.Query().Has("small") {
		photo = s.small(r, photo)
	}
	h := w.Header()
	h.Set("Content-Type", tracker.PhotoType(photo))
	h.Set("Cache-Control", "private, max-age=31536000, immutable")
	h.Set(policyHeader, "default-src 'none'; sandbox")
	_, _ = w.Write(photo) // whoever asked may be gone: then nobody is left to tell
}

// small makes a photograph small, in a place among those being read. One that cannot
// be opened, or that there is no place for in time, stays as it is.
func (s *Station) small(r *http.Request, photo []byte) []byte {
	leave, err := s.limits.place(r.Context(), wholePixels+1)
	if err != nil {
		return photo
	}
	defer leave()
	if small, _, err := report.Small(photo, smallSide); err == nil {
		return small
	}
	return photo
}
