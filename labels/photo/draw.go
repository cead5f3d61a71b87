package photo

import (
	"fmt"
	"image"
	"image/color"
	"math"

	"golang.org/x/image/draw"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// showSide is the longer side of the picture that Show draws, in pixels.
const showSide = 2000

// look is how an outline looks. Colour never stands alone: a match is dashed and
// its text ends in a question mark, two answers for one place are crossed out.
func look(f Found) (ink color.RGBA, dash float64, text string) {
	text = f.Text
	if f.Code.Serial != 0 {
		text = f.Code.String()
	}
	ink = color.RGBA{0, 140, 60, 255}
	if f.How == Matched {
		ink, dash, text = color.RGBA{200, 90, 0, 255}, 14, text+" ?"
	}
	if f.Ambiguous {
		ink, dash = color.RGBA{200, 0, 40, 255}, 6
	}
	return ink, dash, text
}

// Show draws a photograph upright and no larger than 2000 pixels, with an
// outline around every symbol found and what it says beside it: solid where it
// was decoded, dashed where it was matched, crossed out where another answer
// was found in the same place. A label without an outline was missed.
func Show(p Picture, found []Found) (*image.RGBA, error) {
	face, err := newFace()
	if err != nil {
		return nil, err
	}
	defer face.Close()
	small, k := p.shrunk(showSide)
	s := sketch{small.turned(), face}
	for _, f := range found {
		var corners [4]Point
		for i, c := range f.Corners {
			corners[i] = small.Upright(c.by(k))
		}
		s.outline(f, corners)
	}
	return s.img, nil
}

// newFace makes a face of its own for every picture: faces are not to be shared.
func newFace() (font.Face, error) {
	bold, err := opentype.Parse(gobold.TTF)
	if err != nil {
		return nil, fmt.Errorf("the font for drawing: %w", err)
	}
	return opentype.NewFace(bold, &opentype.FaceOptions{Size: 22, DPI: 72, Hinting: font.HintingFull})
}

// shrunk returns the picture with its longer side at most so long, and the
// factor. It never enlarges.
func (p Picture) shrunk(side int) (Picture, float64) {
	b := p.Bounds()
	k := min(1, float64(side)/float64(max(b.Dx(), b.Dy())))
	size := image.Rect(0, 0, max(1, int(float64(b.Dx())*k)), max(1, int(float64(b.Dy())*k)))
	small := image.NewRGBA(size)
	draw.Draw(small, size, image.White, image.Point{}, draw.Src)
	draw.ApproxBiLinear.Scale(small, size, p.Image, b, draw.Over, nil)
	p.Image = small
	return p, k
}

// A sketch is a picture that is drawn on.
type sketch struct {
	img  *image.RGBA
	face font.Face
}

func (s sketch) outline(f Found, c [4]Point) {
	ink, dash, text := look(f)
	halo := color.RGBA{255, 255, 255, 255}
	for pass, pen := range []color.RGBA{halo, ink} {
		radius := 4 - 2*float64(pass)
		for i := range c {
			s.line(c[i], c[(i+1)%4], radius, dash, pen)
		}
		if f.Ambiguous {
			s.line(c[0], c[2], radius, dash, pen)
			s.line(c[1], c[3], radius, dash, pen)
		}
	}
	s.label(text, c, ink)
}

// line draws dots of a radius from a to b, in dashes where they have a length.
func (s sketch) line(a, b Point, radius, dash float64, pen color.RGBA) {
	long := b.minus(a).length()
	if !(long < 1e5) {
		return
	}
	for at := 0.0; at <= long; at++ {
		if dash == 0 || math.Mod(at, 2*dash) < dash {
			s.dot(a.along(b.minus(a), at/max(long, 1)), radius, pen)
		}
	}
}

func (s sketch) dot(p Point, radius float64, pen color.RGBA) {
	for y := math.Floor(p.Y - radius); y <= p.Y+radius; y++ {
		for x := math.Floor(p.X - radius); x <= p.X+radius; x++ {
			if (Point{x + 0.5, y + 0.5}).minus(p).length() <= radius && (image.Point{int(x), int(y)}).In(s.img.Rect) {
				s.img.SetRGBA(int(x), int(y), pen)
			}
		}
	}
}

// mostLetters is how much of a text is written beside its symbol.
const mostLetters = 40

// label writes a text under the symbol, on white, and inside the picture.
func (s sketch) label(text string, c [4]Point, ink color.RGBA) {
	if letters := []rune(text); len(letters) > mostLetters {
		text = string(letters[:mostLetters]) + "..."
	}
	wide, high := font.MeasureString(s.face, text).Ceil(), 26
	left, top := c[0].X, c[0].Y
	for _, p := range c {
		left, top = min(left, p.X), max(top, p.Y)
	}
	x := max(2, min(int(left), s.img.Rect.Dx()-wide-8))
	y := max(2, min(int(top)+6, s.img.Rect.Dy()-high-2))
	box := image.Rect(x, y, x+wide+8, y+high)
	draw.Draw(s.img, box, image.White, image.Point{}, draw.Src)
	d := font.Drawer{Dst: s.img, Src: image.NewUniform(ink), Face: s.face, Dot: fixed.P(x+4, y+high-7)}
	d.DrawString(text)
}
