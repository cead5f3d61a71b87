package report

import (
	"bytes"
	"encoding/base64"
	"errors"
	"fmt"
	"html/template"
	"image"
	"image/jpeg"
	_ "image/png" // photographs may be PNG

	"soaktag/labels/photo/imagefile"
	"soaktag/tracker"
	"soaktag/tracker/strength"
)

// A face is a photograph on the page, small enough to travel with it.
type face struct {
	Source        template.URL // a data URL; empty when it cannot be shown
	Width, Height int
	Alt, Caption  string
	Why           string // why it cannot be shown
}

// The measures of photographs on a page: the longer side in pixels, how many
// there are at most, and how large an original may be to be opened at all.
const (
	faceSide  = 560
	mostFaces = 36
	mostDots  = 100e6
)

// faces are the photographs that the study keeps, made small, in the order in
// which the specimens were dealt; left is how many there is no room for.
func (s *source) faces() (shown []face, left int) {
	results := outcomes(s.results)
	for _, life := range s.lives {
		for _, p := range life.Photos {
			if s.o.Photo == nil || len(shown) == mostFaces {
				left++
				continue
			}
			shown = append(shown, s.face(p, results[life.Specimen.Code.Whole().String()]))
		}
	}
	return shown, left
}

func (s *source) face(p tracker.PhotoAt, sp strength.Specimen) face {
	f := face{Caption: called(sp)}
	if p.Half > 0 {
		f.Caption += fmt.Sprintf(", half %d", p.Half)
	}
	f.Caption += ": " + s.kind(sp.Adhesive) + " " + sp.Treatment + ", " + s.outcomeText(sp)
	if wood := rounded(sp.WoodFailure, 0); wood.Exact != "" {
		f.Caption += ", wood failure " + wood.Shown + "\u00a0%"
	}
	f.Alt = "Photograph of " + f.Caption
	if p.Note != "" {
		f.Caption += ". " + p.Note
	}
	original, err := s.o.Photo(p.SHA)
	if err == nil {
		err = f.show(original)
	}
	if err != nil {
		f.Why = "kept in the study, and cannot be shown here: " + err.Error()
	}
	return f
}

// show makes a photograph small and upright.
func (f *face) show(original []byte) error {
	small, size, err := Small(original, faceSide)
	if err != nil {
		return err
	}
	f.Width, f.Height = size.X, size.Y
	f.Source = template.URL("data:image/jpeg;base64," + base64.StdEncoding.EncodeToString(small))
	return nil
}

// Small is a photograph made small and upright, as JPEG: its longer side has at
// most so many pixels, and size is what it has. The error says why that cannot be:
// it is neither JPEG nor PNG, is damaged, or has more pixels than are opened at all.
func Small(original []byte, side int) (small []byte, size image.Point, err error) {
	about, _, err := image.DecodeConfig(bytes.NewReader(original))
	switch {
	case err != nil:
		return nil, size, errors.New("neither JPEG nor PNG")
	case float64(about.Width)*float64(about.Height) > mostDots || about.Width < 1 || about.Height < 1:
		return nil, size, fmt.Errorf("%d x %d pixels", about.Width, about.Height)
	}
	whole, _, err := image.Decode(bytes.NewReader(original))
	if err != nil {
		return nil, size, errors.New("damaged")
	}
	shown := upright(shrunk(whole, side), imagefile.ReadExif(original).Orientation)
	var text bytes.Buffer
	err = jpeg.Encode(&text, shown, &jpeg.Options{Quality: 78})
	return text.Bytes(), shown.Rect.Size(), err
}

// shrunk averages over squares of whole pixels, so that the longer side is at
// most as long as said. It never enlarges.
func shrunk(whole image.Image, side int) *image.RGBA {
	b := whole.Bounds()
	step := max(1, (max(b.Dx(), b.Dy())+side-1)/side)
	out := image.NewRGBA(image.Rect(0, 0, max(1, b.Dx()/step), max(1, b.Dy()/step)))
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			average(out, x, y, whole, image.Rect(0, 0, step, step).Add(b.Min).Add(image.Pt(x*step, y*step)).Intersect(b))
		}
	}
	return out
}

func average(out *image.RGBA, x, y int, whole image.Image, over image.Rectangle) {
	var sum [3]uint64
	for v := over.Min.Y; v < over.Max.Y; v++ {
		for u := over.Min.X; u < over.Max.X; u++ {
			r, g, b, _ := whole.At(u, v).RGBA()
			sum[0], sum[1], sum[2] = sum[0]+uint64(r), sum[1]+uint64(g), sum[2]+uint64(b)
		}
	}
	n := uint64(max(1, over.Dx()*over.Dy()))
	at := out.PixOffset(x, y)
	out.Pix[at], out.Pix[at+1], out.Pix[at+2], out.Pix[at+3] = uint8(sum[0]/n>>8), uint8(sum[1]/n>>8), uint8(sum[2]/n>>8), 255
}

// upright turns a picture as its camera was held: 1 to 8 as in Exif 2.3, tag
// 0x0112 (TIFF 6.0, section 8).
func upright(p *image.RGBA, held int) *image.RGBA {
	w, h := p.Rect.Dx(), p.Rect.Dy()
	if held < 2 || held > 8 {
		return p
	}
	size := image.Rect(0, 0, w, h)
	if held >= 5 {
		size = image.Rect(0, 0, h, w)
	}
	out := image.NewRGBA(size)
	for y := range h {
		for x := range w {
			u, v := [...]int{0, x, w - 1 - x, w - 1 - x, x, y, h - 1 - y, h - 1 - y, y}[held],
				[...]int{0, y, y, h - 1 - y, h - 1 - y, x, x, w - 1 - x, w - 1 - x}[held]
			copy(out.Pix[out.PixOffset(u, v):], p.Pix[p.PixOffset(x, y):p.PixOffset(x, y)+4])
		}
	}
	return out
}
