package photo

import (
	"github.com/makiuchi-d/gozxing"
	multi "github.com/makiuchi-d/gozxing/multi/qrcode/detector"
	"github.com/makiuchi-d/gozxing/qrcode/decoder"
)

// The general reader knows every QR symbol, not only those that soaktag
// prints. What it reads of ours is read again by registration, which says how
// much was wrong; the rest are cards too long for the smallest symbol, and
// symbols that are none of ours.

// A general is a symbol that the general reader read.
type general struct {
	text    string
	ours    bool     // drawn as soaktag draws
	finders [3]Point // top left, top right, bottom left; in pixels of the level
	corners [4]Point
}

// readGeneral reads every QR symbol in a contrast picture. What the library
// stumbles over counts as not read.
func readGeneral(c *contrast) (found []general) {
	defer func() { _ = recover() }()
	matrix := c.matrix()
	if matrix == nil {
		return nil
	}
	hints := map[gozxing.DecodeHintType]interface{}{gozxing.DecodeHintType_TRY_HARDER: true}
	results, err := multi.NewMultiDetector(matrix).DetectMulti(hints)
	if err != nil {
		return nil
	}
	for _, d := range results {
		if g, ok := decodeGeneral(d.GetBits(), d.GetPoints()); ok {
			found = append(found, g)
		}
	}
	return found
}

// decodeGeneral decodes sampled modules; points are those of the library:
// bottom left, top left, top right.
func decodeGeneral(bits *gozxing.BitMatrix, points []gozxing.ResultPoint) (g general, ok bool) {
	defer func() {
		if recover() != nil {
			ok = false
		}
	}()
	modules := bits.GetWidth()
	result, err := decoder.NewDecoder().DecodeWithoutHint(bits)
	if err != nil || len(points) < 3 || result.GetText() == "" {
		return general{}, false
	}
	mirrored, turned := result.GetOther().(*decoder.QRCodeDecoderMetaData)
	if turned {
		mirrored.ApplyMirroredCorrection(points)
	}
	at := func(i int) Point { return Point{points[i].GetX(), points[i].GetY()} }
	g = general{text: result.GetText(), finders: [3]Point{at(1), at(2), at(0)}}
	g.ours = !turned && result.GetECLevel() == decoder.ErrorCorrectionLevel_H.String()
	g.corners = cornersOf(g.finders, modules)
	return g, true
}

// cornersOf extends the finders of a symbol to its corners as if the camera
// had looked straight at it.
func cornersOf(finders [3]Point, modules int) [4]Point {
	u := finders[1].minus(finders[0]).by(1 / float64(modules-finder))
	v := finders[2].minus(finders[0]).by(1 / float64(modules-finder))
	at := func(x, y float64) Point { return finders[0].along(u, x-near).along(v, y-near) }
	n := float64(modules)
	return [4]Point{at(0, 0), at(n, 0), at(n, n), at(0, n)}
}

// matrix returns the dark pixels in the library's form.
func (c *contrast) matrix() *gozxing.BitMatrix {
	m, err := gozxing.NewBitMatrix(c.w, c.h)
	if err != nil {
		return nil
	}
	for y := range c.h {
		for x, v := range c.row(y) {
			if v > inkAbove {
				m.Set(x, y)
			}
		}
	}
	return m
}
