package station

import (
	"crypto/sha256"
	"encoding/base64"
	"net/http"
	"net/url"
	"strings"
	"time"

	"soaktag/tracker"
)

// serveGuest answers with the results as a page of its own.
func (s *Station) serveGuest(w http.ResponseWriter, r *http.Request) {
	var filled any
	err := s.withRecord(func(rec *tracker.Record, now time.Time) (err error) {
		filled, err = showResults(look{s, rec, now, url.Values{}})
		return err
	})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	allow(w, "style-src "+guestStyle)
	s.sendPage(w, r, "guestpage", filled)
}

// guestStyle names the style that stands in the guest's page by its hash.
var guestStyle = func() string {
	var style strings.Builder
	if err := templates.ExecuteTemplate(&style, "gueststyle", nil); err != nil {
		panic(err) // templates are parsed when the program starts, and a test does
	}
	return hashOf(style.String())
}()

// hashOf names a style as a policy does.
func hashOf(style string) string {
	sum := sha256.Sum256([]byte(style))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}
