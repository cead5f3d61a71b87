package station

import (
	"errors"
	"net/http"
	"strconv"

	"soaktag/tracker/store"
	"soaktag/tracker/wording"
)

// turned is how each reason to turn a request away is told in HTTP. After so many
// seconds it may be tried again; 0: not as it is.
var turned = map[wording.Turned]struct{ status, retry int }{
	wording.NotPaired:     {http.StatusUnauthorized, 0},
	wording.Revoked:       {http.StatusUnauthorized, 0},
	wording.ForeignHost:   {http.StatusMisdirectedRequest, 0},
	wording.ForeignPage:   {http.StatusForbidden, 0},
	wording.NoSuchLink:    {http.StatusNotFound, 0},
	wording.NotHere:       {http.StatusNotFound, 0},
	wording.NotUnderstood: {http.StatusBadRequest, 0},
	wording.WrongCode:     {http.StatusForbidden, 0},
	wording.TooLarge:      {http.StatusRequestEntityTooLarge, 0},
	wording.TooManyPixels: {http.StatusRequestEntityTooLarge, 0},
	wording.TooMany:       {http.StatusTooManyRequests, 5},
	wording.TooManyPhotos: {http.StatusTooManyRequests, 20},
	wording.TooManyTries:  {http.StatusTooManyRequests, 5},
	wording.TooManyLooks:  {http.StatusTooManyRequests, 60},
	wording.TooBusy:       {http.StatusServiceUnavailable, 2},
	wording.TooSlow:       {http.StatusServiceUnavailable, 30},
	wording.CutOff:        {http.StatusServiceUnavailable, 5},
	wording.Failed:        {http.StatusInternalServerError, 5},
}

// deny turns a request away, in words, and logs that it did.
func (s *Station) deny(w http.ResponseWriter, r *http.Request, why wording.Turned) {
	s.log.turned(r, phoneOf(r), why)
	s.refuse(w, why)
}

// fail says that the station itself could not do it. What it answers names no file
// of this machine; the log has the error.
func (s *Station) fail(w http.ResponseWriter, r *http.Request, err error) {
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		s.deny(w, r, wording.TooLarge)
	case errors.Is(err, store.ErrBusy):
		s.deny(w, r, wording.TooBusy)
	default:
		s.log.failed(r, phoneOf(r), err)
		s.refuse(w, wording.Failed)
	}
}

func (s *Station) refuse(w http.ResponseWriter, why wording.Turned) {
	how := turned[why]
	said, do := wording.TurnedAway(why)
	if how.retry > 0 {
		w.Header().Set("Retry-After", strconv.Itoa(how.retry))
	}
	s.answerWith(w, how.status, refused{Error: said, Do: do})
}
