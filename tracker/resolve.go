package tracker

import (
	"fmt"
	"strings"

	"soaktag/labels"
)

// An UnknownError says that a text names no specimen of the study.
type UnknownError struct {
	Text    string
	Nearest []string // codes or names that look like it
}

func (e *UnknownError) Error() string {
	if len(e.Nearest) == 0 {
		return fmt.Sprintf("%q names no specimen of this study", e.Text)
	}
	return fmt.Sprintf("%q names no specimen of this study; near it: %s", e.Text, strings.Join(e.Nearest, ", "))
}

// Resolve finds the specimen that a person means by a code (any spelling that
// labels.Parse takes, or labels.Alike), by the person's own name for it, or by a bare serial.
// A name with /1 or /2 behind it means that half. The error is an
// *UnknownError, or a *labels.CheckError for a code with a wrong check
// character.
func (r *Record) Resolve(text string) (Specimen, int, error) {
	text = strings.TrimSpace(text)
	if i, ok := r.byName[nameKey(text)]; ok {
		return r.specimens[i], 0, nil
	}
	if name, half, ok := cutHalf(text); ok {
		if i, ok := r.byName[nameKey(name)]; ok {
			return r.specimens[i], half, nil
		}
	}
	code, err := labels.Parse(text)
	ok := err == nil
	if !ok {
		code, ok = labels.Alike(text)
	}
	if i, known := r.byCode[code.Whole()]; ok && known {
		return r.specimens[i], code.Half, nil
	}
	if serial, half, ok := labels.ParseSerial(text); ok {
		if i, ok := r.byCode[labels.New(r.study.Prefix, serial)]; ok {
			return r.specimens[i], half, nil
		}
	}
	return Specimen{}, 0, &UnknownError{Text: text, Nearest: r.Nearest(text)}
}

// CalledBy reports whether a text is the person's own name for a specimen, in
// any case and perhaps with a half behind it.
func (s Specimen) CalledBy(text string) bool {
	bare := strings.TrimSuffix(strings.TrimSuffix(text, "/1"), "/2")
	return s.Name != "" && strings.EqualFold(strings.TrimSpace(bare), s.Name)
}

// Called is a person's own name for s, else its code.
func (s Specimen) Called() string {
	if s.Name != "" {
		return s.Name
	}
	return s.Code.Whole().String()
}

func cutHalf(text string) (string, int, bool) {
	for half, suffix := range []string{"/1", "/2"} {
		if name, ok := strings.CutSuffix(text, suffix); ok {
			return name, half + 1, true
		}
	}
	return "", 0, false
}

// mostNearest is how many near codes are offered.
const mostNearest = 3

// Nearest lists the codes dealt that look most like a text, at most three.
func (r *Record) Nearest(text string) []string {
	known := make([]labels.Code, len(r.specimens))
	for i, s := range r.specimens {
		known[i] = s.Code
	}
	var near []string
	for _, c := range labels.Nearest(text, known, mostNearest) {
		near = append(near, c.String())
	}
	return near
}

// half is one half of a specimen, or the whole of it.
func half(c labels.Code, of int) labels.Code {
	c.Half = of
	return c
}
