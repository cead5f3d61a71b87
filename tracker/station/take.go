package station

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"os"
	"slices"
	"strings"
	"time"

	"soaktag/labels/photo"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

// take records an entry of a phone. What it answers was committed before; what it
// could not commit is an error of HTTP, and stays on the phone.
func (s *Station) take(w http.ResponseWriter, r *http.Request) {
	entry, picture, err := parts(r)
	if err != nil {
		s.unread(w, r, err)
		return
	}
	phone := phoneOf(r)
	sent, err := intake.ParseSent(intake.Phone{ID: phone.ID, Name: phone.Name}, entry)
	if err != nil {
		s.unfit(w, r, err)
		return
	}
	if picture != nil && !s.limits.photos.allow(phone.ID) {
		s.deny(w, r, wording.TooManyPhotos)
		return
	}
	if sent.Photo = picture; picture != nil && sent.Kind == intake.SentPhoto {
		if sent.Seen, err = s.look(r, picture); err != nil && sent.Found == nil {
			s.unseen(w, r, err)
			return
		}
	}
	answer, err := s.taken(phone, sent)
	switch {
	case err != nil:
		s.unfit(w, r, err)
		return
	case answer.stays:
		s.notTaken(phone, answer.Word+": "+answer.Line)
		s.answerWith(w, http.StatusUnprocessableEntity, refused{Error: answer.Line, Do: strings.Join(answer.Do, "; ")})
		return
	}
	switch said := answer.Word + ": " + answer.Line; {
	case answer.Again:
	case answer.State == stateBad:
		s.notTaken(phone, said)
	default:
		s.came(phone, sent.ID, said)
	}
	s.answer(w, answer)
}

// taken has the phone's desk take an entry, while nobody else touches the study.
func (s *Station) taken(phone Phone, sent intake.Sent) (answer, error) {
	s.study.Lock()
	defer s.study.Unlock()
	desk, err := s.desk(phone)
	if err != nil {
		return answer{}, err
	}
	out, err := desk.Take(sent)
	var refusal *intake.Refusal
	if err != nil && !errors.As(err, &refusal) {
		return answer{}, err
	}
	a := newAnswer(sent, out, refusal, desk, s.Clock())
	a.stays = sent.Photo != nil && a.Recorded == 0 && (refusal != nil || noLabel(out) && desk.Ago() > standsThere)
	return a, nil
}

// standsThere is for how long whoever sent a photograph has what it shows at hand.
const standsThere = 2 * time.Minute

// noLabel reports whether a photograph showed nothing.
func noLabel(out intake.Outcome) bool {
	return slices.ContainsFunc(out.Notes, func(n intake.Note) bool { _, is := n.(intake.NoLabel); return is })
}

// look reads a photograph as the station's own reader does. It is called without the
// study's lock: that takes seconds.
func (s *Station) look(r *http.Request, picture []byte) (*photo.Look, error) {
	var list *photo.List
	err := s.withRecord(func(rec *tracker.Record, _ time.Time) error { list = s.whatIsPrinted(rec); return nil })
	if err != nil {
		return nil, err
	}
	look, err := s.readPhoto(r.Context(), picture, list)
	if err != nil {
		return nil, err
	}
	return &look, nil
}

// read reads a photograph and records nothing: where the page's own reader does not
// load.
func (s *Station) read(w http.ResponseWriter, r *http.Request) {
	_, picture, err := parts(r)
	if err != nil {
		s.unread(w, r, err)
		return
	}
	if !s.limits.photos.allow(phoneOf(r).ID) {
		s.deny(w, r, wording.TooManyPhotos)
		return
	}
	look, err := s.look(r, picture)
	if err != nil {
		s.unseen(w, r, err)
		return
	}
	found := []foundDoc{}
	for i, f := range look.Found {
		f.Corners = look.Upright[i]
		found = append(found, newFound(f))
	}
	s.answer(w, map[string]any{"found": found})
}

// parts are the entry and the photograph of a request; nil for none.
func parts(r *http.Request) (entry, picture []byte, err error) {
	if kind, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type")); kind != "multipart/form-data" {
		entry, err = io.ReadAll(io.LimitReader(r.Body, smallBody*4))
		return entry, nil, err
	}
	form, err := r.MultipartReader()
	if err != nil {
		return nil, nil, err
	}
	for {
		part, err := form.NextPart()
		if errors.Is(err, io.EOF) {
			return entry, picture, nil
		}
		if err != nil {
			return nil, nil, err
		}
		into := map[string]*[]byte{"entry": &entry, "photo": &picture}[part.FormName()]
		if into == nil || *into != nil {
			return nil, nil, fmt.Errorf("a part %s, which is not asked for", intake.Quoted(part.FormName()))
		}
		grow := int64(bytes.MinRead)
		if into == &picture {
			grow += max(0, r.ContentLength) // at once: it is nearly all of the request
		}
		if *into, err = readPart(part, grow); err != nil {
			return nil, nil, err
		}
	}
}

// readPart reads a part of a request into room for so many bytes.
func readPart(part io.Reader, grow int64) ([]byte, error) {
	var read bytes.Buffer
	read.Grow(int(grow))
	_, err := read.ReadFrom(part)
	return read.Bytes(), err
}

// unread says that a request could not be read.
func (s *Station) unread(w http.ResponseWriter, r *http.Request, err error) {
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		s.deny(w, r, wording.TooLarge)
	case errors.Is(err, os.ErrDeadlineExceeded):
		s.deny(w, r, wording.CutOff) // no fault of the entry's: it stays on the phone
	default:
		s.deny(w, r, wording.NotUnderstood)
	}
}

// unfit says why nothing was recorded: since it is no entry, or since the store could
// not, which is no fault of the phone's.
func (s *Station) unfit(w http.ResponseWriter, r *http.Request, err error) {
	var no *intake.Unfit
	if !errors.As(err, &no) {
		s.fail(w, r, err)
		return
	}
	status := http.StatusBadRequest
	if no.Clash || no.Here != "" {
		status = http.StatusConflict
	}
	why, do := wording.Unfit(no)
	s.notTaken(phoneOf(r), why)
	s.answerWith(w, status, refused{Error: why, Do: do, Study: no.Here})
}

// unseen says why a photograph was not read.
func (s *Station) unseen(w http.ResponseWriter, r *http.Request, err error) {
	if errors.Is(err, errSlow) {
		s.deny(w, r, wording.TooSlow)
		return
	}
	why, do := wording.Unreadable(err)
	s.notTaken(phoneOf(r), why)
	s.answerWith(w, http.StatusUnprocessableEntity, refused{Error: why, Do: do})
}

// clock tells the station's time, for a phone to compare its own with.
func (s *Station) clock(w http.ResponseWriter, _ *http.Request) {
	s.answer(w, map[string]int64{"now": s.Clock().UnixMilli()})
}
