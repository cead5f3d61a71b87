package intake

import (
	"fmt"
	"strings"

	"soaktag/labels/photo"
	"soaktag/tracker"
)

// A Faces is a form: the fracture faces of one half, read dry and blind, with
// perhaps a photograph of them.
type Faces struct {
	Subject     string // one specimen with its half
	WoodFailure string // percent
	Mode        string // failure mode; empty for none
	Shallow     bool   // wood failure of a few fibres only
	Picture     []byte // a photograph to keep with the reading; nil for none
}

func (f Faces) take(d *Desk, out *Outcome) (err error) {
	sub, err := d.half(out, f.Subject)
	if err != nil {
		return err
	}
	if strings.TrimSpace(f.WoodFailure) == "" {
		return refuse("how much failed in the wood? nothing recorded").because(Missing{"faces", "wood-failure", "80"})
	}
	wood, err := ParsePercent(f.WoodFailure)
	if err != nil {
		return err
	}
	fact := about(d.event(tracker.FacesRead), sub)
	fact.Faces = &tracker.Faces{WoodFailure: wood, Mode: strings.TrimSpace(f.Mode), Shallow: f.Shallow}
	if f.Picture == nil {
		return d.keep(out, fact)
	}
	picture := d.picture(sub, f.Picture)
	picture.Note = "" // it stands with the reading
	return d.keepPicture(out, f.Picture, fact, picture)
}

// A Picture is a form: a photograph of one half's face to keep, by itself.
type Picture struct {
	Subject string // one specimen with its half
	Bytes   []byte // of the file, a JPEG, PNG or WebP
}

func (f Picture) take(d *Desk, out *Outcome) (err error) {
	sub, err := d.half(out, f.Subject)
	if err != nil {
		return err
	}
	return d.keepPicture(out, f.Bytes, d.picture(sub, f.Bytes))
}

// half reads a word that must mean one half of a specimen.
func (d *Desk) half(out *Outcome, word string) (Subject, error) {
	sub, err := d.Specimen(out, word)
	if err == nil {
		err = ParseHalf(sub)
	}
	return sub, err
}

// picture is the event that keeps a photograph of a subject.
func (d *Desk) picture(sub Subject, file []byte) tracker.Event {
	e := about(d.event(tracker.Photographed), sub)
	e.Photo, e.PhotoType = d.sumOf(file), tracker.PhotoType(file)
	if _, err := photo.Open(file); err != nil {
		e.Doubt = tracker.DoubtfulPicture + "the photograph cannot be looked at here (" + err.Error() + ")"
	}
	return e
}

// keepPicture is keep for events of which one keeps a photograph: all of it is
// in the study, or nothing.
func (d *Desk) keepPicture(out *Outcome, file []byte, events ...tracker.Event) error {
	if err := FitToKeep("the photograph", file); err != nil {
		return refuse("%v; nothing recorded", err)
	}
	verdicts, err := d.recordWith(file, events...)
	if err != nil {
		return err
	}
	out.add(Recorded{verdicts}, Marked{marksOf(verdicts)})
	return nil
}

// FitToKeep says why a file is not a photograph that a study keeps; name stands
// for it in the error.
func FitToKeep(name string, file []byte) error {
	switch {
	case len(file) == 0:
		return fmt.Errorf("%s is empty (0 bytes)", name)
	case photo.IsHEIC(file):
		return fmt.Errorf("%s is a HEIC photograph, and JPEG, PNG or WebP is kept; save it as JPEG, or set the camera to", name)
	case tracker.PhotoType(file) == "":
		return fmt.Errorf("%s is no photograph: by its first bytes it is neither JPEG, PNG nor WebP", name)
	case len(file) > tracker.MaxPhoto:
		return fmt.Errorf("%s is over %d MB; save it smaller", name, tracker.MaxPhoto/1_000_000)
	}
	return nil
}
