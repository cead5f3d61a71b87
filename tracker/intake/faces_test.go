package intake

import (
	"bytes"
	"strings"
	"testing"

	"soaktag/tracker"
)

// aJPEG is a photograph by its first bytes.
var aJPEG = []byte("\xff\xd8\xff\xe0 and so on")

// Faces are kept of one half, with or without a photograph; a photograph also
// by itself.
func TestFacesAndPictures(t *testing.T) {
	faces := Faces{Subject: "oak 2/1", WoodFailure: "70 %", Mode: " SF ", Shallow: true}
	both := faces
	both.Picture = aJPEG
	for _, test := range []struct {
		form  Input
		kinds []tracker.Kind
		notes []string
	}{
		{faces, []tracker.Kind{tracker.FacesRead}, []string{"dry now"}},
		{both, []tracker.Kind{tracker.FacesRead, tracker.Photographed}, []string{"dry now", ""}},
		{Picture{"oak 2/1", aJPEG}, []tracker.Kind{tracker.Photographed}, []string{"dry now"}},
	} {
		d, c := deskOf(t, smallPlan, named())
		c.took(t, d, Try{Subject: "2", Reading: "9 MPa", Ended: "separated"})
		d.Entry = Now(c.now)
		d.Note = "dry now"
		out, err := d.Take(test.form)
		verdicts := out.Verdicts()
		if err != nil || len(verdicts) != len(test.kinds) {
			t.Fatalf("%T: %d events, %v", test.form, len(verdicts), err)
		}
		for i, v := range verdicts {
			e := v.Event
			if e.Kind != test.kinds[i] || e.Note != test.notes[i] || e.Code != "oak 2" || e.Half != 1 {
				t.Errorf("%T: %+v", test.form, e)
			}
			if e.Faces != nil && *e.Faces != (tracker.Faces{WoodFailure: 70, Mode: "SF", Shallow: true}) {
				t.Errorf("%+v", e.Faces)
			}
			if e.Kind == tracker.Photographed && (e.Photo != tracker.PhotoSum(aJPEG) || e.PhotoType != "image/jpeg") {
				t.Errorf("%+v", e)
			}
		}
	}
}

func TestFacesRefused(t *testing.T) {
	for _, test := range []struct {
		form Input
		why  string
	}{
		{Faces{Subject: "oak 2", WoodFailure: "70"}, "which half of oak 2?"},
		{Picture{code(3), aJPEG}, "which half of " + code(3)},
		{Faces{Subject: "B1", WoodFailure: "70"}, "is a bath"},
		{Faces{Subject: "1/2", WoodFailure: ""}, "how much failed in the wood?"},
		{Faces{Subject: "1/2", WoodFailure: "101"}, "not between 0 and 100"},
		{Faces{Subject: "1/2", WoodFailure: "70", Picture: []byte("a letter")}, "the photograph is no photograph"},
		{Picture{"1/2", nil}, "the photograph is empty (0 bytes); nothing recorded"},
	} {
		d, c := deskOf(t, smallPlan, named())
		if _, err := c.write(d, "", test.form); !refusedWith(err, test.why) {
			t.Errorf("%+v: %v, want %q", test.form, err, test.why)
		}
		if d.refresh(); len(d.Record().Events()) != 1 {
			t.Errorf("%+v: refused, and recorded", test.form)
		}
	}
}

func TestFitToKeep(t *testing.T) {
	heic := []byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic")
	for _, test := range []struct {
		file []byte
		why  string // empty: it fits
	}{
		{aJPEG, ""},
		{append(bytes.Clone(aJPEG), make([]byte, tracker.MaxPhoto-len(aJPEG))...), ""},
		{append(bytes.Clone(aJPEG), make([]byte, tracker.MaxPhoto)...), "x is over 64 MB; save it smaller"},
		{nil, "x is empty (0 bytes)"},
		{heic, "x is a HEIC photograph, and JPEG, PNG or WebP is kept"},
		{[]byte("%PDF-1.4"), "neither JPEG, PNG nor WebP"},
	} {
		err := FitToKeep("x", test.file)
		if (err == nil) != (test.why == "") || err != nil && !strings.Contains(err.Error(), test.why) {
			t.Errorf("%d bytes: %v, want %q", len(test.file), err, test.why)
		}
	}
}
