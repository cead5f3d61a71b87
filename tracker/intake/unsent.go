package intake

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"soaktag/labels/photo"
)

// unsentSchema is what a file of unsent entries begins with. It is JSON, a value a
// line: the head, then each entry as it is sent, with its photograph in base64.
const unsentSchema = "unsent/1"

// An Unsent is a form: what a phone could not send, from the file that its page saved.
// Each entry is taken as if it had been sent, with the same ids, so that the same file
// twice adds nothing, nor does the phone when it finds the station again.
type Unsent struct {
	Name    string // of the file
	Phone   Phone
	Entries []Sent
	Dry     bool // only say what would come of it
}

// IsUnsent reports whether text begins as such a file. It reads nothing away.
func IsUnsent(text *bufio.Reader) bool {
	start, _ := text.Peek(64)
	return bytes.HasPrefix(bytes.TrimSpace(start), []byte(`{"schema":"`+unsentSchema))
}

// ReadUnsent reads such a file. The error joins what is wrong with each line; nothing
// is returned beside it.
func ReadUnsent(name string, text io.Reader, dry bool) (Unsent, error) {
	f, problems := Unsent{Name: name, Dry: dry}, []error(nil)
	values := json.NewDecoder(text)
	var head struct {
		Phone   Phone
		Entries int
	}
	if err := values.Decode(&head); err != nil || head.Phone.ID == "" {
		return f, fmt.Errorf("%s:1: it does not say of which phone it is: save it on the phone once more", name)
	}
	f.Phone = head.Phone
	for line := 2; line < head.Entries+2; line++ {
		var entry map[string]json.RawMessage
		if err := values.Decode(&entry); err != nil {
			problems = append(problems, fmt.Errorf("%s:%d: only %d of %d entries can be read, the file is damaged: save it on the phone once more", name, line, line-2, head.Entries))
			break
		}
		sent, err := sentOf(f.Phone, entry)
		if err != nil {
			problems = append(problems, fmt.Errorf("%s:%d: %w", name, line, err))
		}
		f.Entries = append(f.Entries, sent)
	}
	return f, errors.Join(problems...)
}

// sentOf is an entry of such a file, with its photograph.
func sentOf(from Phone, entry map[string]json.RawMessage) (s Sent, err error) {
	var picture []byte
	if text, ok := entry["photo"]; ok {
		if err := json.Unmarshal(text, &picture); err != nil {
			return s, errors.New("its photograph is damaged")
		}
		delete(entry, "photo")
	}
	text, err := json.Marshal(entry)
	if err != nil {
		return s, err
	}
	s, err = ParseSent(from, text)
	s.Photo = picture
	return s, err
}

func (f Unsent) take(d *Desk, out *Outcome) error {
	said := UnsentTaken{Name: f.Name, Phone: f.Phone.Name, Dry: f.Dry}
	for _, s := range f.Entries {
		switch known := len(d.sent.events(d.rec, runOfSent(s.ID))) > 0; {
		case known:
			said.Known++
		case f.Dry:
			said.Taken++
		default:
			taken, err := s.handedIn(d, out)
			if err != nil {
				return err
			}
			said.Taken, said.Refused = said.Taken+taken, said.Refused+1-taken
		}
	}
	out.add(said)
	return nil
}

// handedIn takes one, or notes why it is not taken; those behind it are taken all the same.
func (s Sent) handedIn(d *Desk, out *Outcome) (taken int, err error) {
	if s.Kind == SentPhoto && s.Photo != nil {
		if look, err := photo.LookAt(s.Photo, Printed(d.rec), photo.Options{}); err == nil {
			s.Seen = &look
		}
	}
	before := len(out.Notes)
	err = s.take(d, out)
	var refusal *Refusal
	var no *Unfit
	switch {
	case errors.As(err, &no):
		d.refuse(out, refuse("%s", no.Why))
	case errors.As(err, &refusal):
		d.refuse(out, refusal)
	case err != nil:
		return 0, err
	}
	for _, n := range out.Notes[before:] {
		if HeedOf(n) == Refused {
			return 0, nil
		}
	}
	return 1, nil
}

// An UnsentTaken tells how many entries of such a file were taken.
type UnsentTaken struct {
	Name, Phone           string
	Taken, Known, Refused int
	Dry                   bool
}

func (UnsentTaken) note() {}
