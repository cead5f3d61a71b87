package photo

import "image"

// Upright returns where a place of the picture, as the file holds it, is once
// the picture is turned as the camera was held.
func (p Picture) Upright(q Point) Point {
	w, h := float64(p.Bounds().Dx()), float64(p.Bounds().Dy())
	switch p.Orientation {
	case 2:
		return Point{w - q.X, q.Y}
	case 3:
		return Point{w - q.X, h - q.Y}
	case 4:
		return Point{q.X, h - q.Y}
	case 5:
		return Point{q.Y, q.X}
	case 6:
		return Point{h - q.Y, q.X}
	case 7:
		return Point{h - q.Y, w - q.X}
	case 8:
		return Point{q.Y, w - q.X}
	}
	return q
}

// turned returns the picture as its camera was held.
func (p Picture) turned() *image.RGBA {
	b := p.Bounds()
	size := image.Rect(0, 0, b.Dx(), b.Dy())
	if p.Orientation >= 5 {
		size = image.Rect(0, 0, b.Dy(), b.Dx())
	}
	out := image.NewRGBA(size)
	for y := range b.Dy() {
		for x := range b.Dx() {
			q := p.Upright(Point{float64(x) + 0.5, float64(y) + 0.5})
			out.Set(int(q.X), int(q.Y), p.At(b.Min.X+x, b.Min.Y+y))
		}
	}
	return out
}
