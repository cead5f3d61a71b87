package photo

import "math"

// A Point is a place in a picture, in pixels from its top left corner; the
// first pixel reaches from 0 to 1 and its centre is at 0.5.
type Point struct{ X, Y float64 }

func (p Point) plus(q Point) Point  { return Point{p.X + q.X, p.Y + q.Y} }
func (p Point) minus(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }
func (p Point) by(k float64) Point  { return Point{p.X * k, p.Y * k} }
func (p Point) length() float64     { return math.Hypot(p.X, p.Y) }
func cross(p, q Point) float64      { return p.X*q.Y - p.Y*q.X }

func (p Point) along(q Point, k float64) Point { return p.plus(q.by(k)) }

// A quad holds where four places of the symbol are in the picture: the centres
// of its three finders and, third, the place where a fourth would be;
// clockwise from the top left.
type quad [4]Point

// A bend moves the points of a symbol on a face that is not flat: the middle
// of the symbol by across where it is bowed from left to right, by down where
// it is bowed from top to bottom, and its edges not at all.
type bend struct{ across, down Point }

// A pose is where a symbol is in the picture.
type pose struct {
	quad
	bend
}

// A warp maps modules to pixels: a projective map, then the bend.
type warp struct {
	xx, xy, x1, yx, yy, y1, wx, wy float64
	bend
}

// warp returns the map of the pose (Heckbert, Fundamentals of Texture Mapping
// and Image Warping, 1989, 2.2.3, for the projective part). It returns false
// where there is none: three of the four places on a line.
func (p pose) warp() (warp, bool) {
	const side = far - near
	a, b, c, d := p.quad[0], p.quad[1], p.quad[2], p.quad[3]
	s, e1, e2 := a.minus(b).plus(c).minus(d), b.minus(c), d.minus(c)
	det := cross(e1, e2)
	if math.Abs(det) < 1e-9 {
		return warp{}, false
	}
	g, h := cross(s, e2)/det, cross(e1, s)/det
	u, v := b.minus(a).along(b, g), d.minus(a).along(d, h)
	// From the square of the finder centres to modules: (x - near) / side.
	w := warp{xx: u.X / side, xy: v.X / side, yx: u.Y / side, yy: v.Y / side, wx: g / side, wy: h / side, bend: p.bend}
	one := 1 - near*(w.wx+w.wy)
	w.x1, w.y1 = a.X-near*(w.xx+w.xy), a.Y-near*(w.yx+w.yy)
	if math.Abs(one) < 1e-9 {
		return warp{}, false
	}
	for _, k := range []*float64{&w.xx, &w.xy, &w.x1, &w.yx, &w.yy, &w.y1, &w.wx, &w.wy} {
		*k /= one
	}
	return w, true
}

// bow is how far a bend has come at module coordinate t: 0 at the edges of the
// symbol, 1 in its middle.
func bow(t float64) float64 { return 4 * t * (size - t) / (size * size) }

// at returns the pixel of a place in modules.
func (w *warp) at(x, y float64) Point {
	k := 1 / (w.wx*x + w.wy*y + 1)
	bx, by := bow(x), bow(y)
	return Point{
		(w.xx*x+w.xy*y+w.x1)*k + bx*w.across.X + by*w.down.X,
		(w.yx*x+w.yy*y+w.y1)*k + bx*w.across.Y + by*w.down.Y,
	}
}

// shifted returns the warp that maps what w maps d modules further on. Of the
// bend, which hardly changes over a part of a module, it keeps the places.
func (w *warp) shifted(d Point) warp {
	one := 1 + w.wx*d.X + w.wy*d.Y
	v := *w
	v.x1, v.y1 = w.x1+w.xx*d.X+w.xy*d.Y, w.y1+w.yx*d.X+w.yy*d.Y
	for _, k := range []*float64{&v.xx, &v.xy, &v.x1, &v.yx, &v.yy, &v.y1, &v.wx, &v.wy} {
		*k /= one
	}
	return v
}

// corners returns the outer corners of the symbol, clockwise from its top
// left.
func (w *warp) corners() [4]Point {
	return [4]Point{w.at(0, 0), w.at(size, 0), w.at(size, size), w.at(0, size)}
}

// module returns the mean length in pixels of a module's sides.
func (p pose) module() float64 {
	sum := 0.0
	for i := range p.quad {
		sum += p.quad[i].minus(p.quad[(i+1)%4]).length()
	}
	return sum / (4 * (far - near))
}

// shortest returns the length in pixels of a module's side where the picture
// shows it shortest, which is what must be resolved.
func (p pose) shortest() float64 {
	least := math.Inf(1)
	for i := range p.quad {
		least = min(least, p.quad[i].minus(p.quad[(i+1)%4]).length())
	}
	return least / (far - near)
}

// scaled returns the pose in a picture that is k times as large.
func (p pose) scaled(k float64) pose {
	for i := range p.quad {
		p.quad[i] = p.quad[i].by(k)
	}
	p.across, p.down = p.across.by(k), p.down.by(k)
	return p
}

// moved returns the pose in a picture whose corner lies at by.
func (p pose) moved(by Point) pose {
	for i := range p.quad {
		p.quad[i] = p.quad[i].minus(by)
	}
	return p
}

// nearTo reports whether all corners of two poses lie within so many modules of
// each other.
func (p pose) nearTo(q pose, modules float64) bool {
	limit := modules * p.module()
	for i := range p.quad {
		if p.quad[i].minus(q.quad[i]).length() > limit {
			return false
		}
	}
	return true
}

// inside reports whether q lies in the convex quadrilateral c, grown by margin
// (0.2 is a fifth) about its middle.
func inside(c [4]Point, q Point, margin float64) bool {
	middle := c[0].plus(c[1]).plus(c[2]).plus(c[3]).by(0.25)
	positive, negative := false, false
	for i := range c {
		a, b := middle.along(c[i].minus(middle), 1+margin), middle.along(c[(i+1)%4].minus(middle), 1+margin)
		side := cross(b.minus(a), q.minus(a))
		positive, negative = positive || side > 0, negative || side < 0
	}
	return !(positive && negative)
}
