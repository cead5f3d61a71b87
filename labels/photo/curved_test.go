package photo

import (
	"image"
	"math"
	"math/rand/v2"
	"testing"
)

// wound draws a symbol on a label wound about a round bar, whose radius is in
// modules and whose axis is turned by lean from the symbol's upright, seen from
// so many radians aside, with a little blur and noise.
func wound(rng *rand.Rand, soft *softness, radius, lean, aside float64) *image.Gray {
	const w, h, module, paperEdge = 560, 480, 9, 5
	rotate := func(p Point, a float64) Point {
		sin, cos := math.Sincos(a)
		return Point{p.X*cos - p.Y*sin, p.X*sin + p.Y*cos}
	}
	turn := 6.28 * rng.Float64()
	picture := &plane{w, h, make([]uint8, w*h)}
	for i := range picture.pix {
		picture.pix[i] = uint8(110 + 20*rng.Float64())
	}
	const fine = 30
	for y := -paperEdge * fine; y < (size+paperEdge)*fine; y++ {
		for x := -paperEdge * fine; x < (size+paperEdge)*fine; x++ {
			mx, my := (float64(x)+0.5)/fine, (float64(y)+0.5)/fine
			p := rotate(Point{mx - size/2., my - size/2.}, lean)
			angle := p.X / radius
			if math.Abs(angle+aside) > 1.4 {
				continue
			}
			across, depth := radius*math.Sin(angle+aside)-radius*math.Sin(aside), radius*(math.Cos(aside)-math.Cos(angle+aside))
			q := rotate(Point{across, p.Y}, turn).by(module / (1 + depth/90)).plus(Point{w / 2, h / 2})
			if !picture.holds(q) {
				continue
			}
			tone := uint8(225)
			if mx >= 0 && my >= 0 && mx < size && my < size && soft[int(my)][int(mx)] > 0 {
				tone = 40
			}
			picture.pix[int(q.Y)*w+int(q.X)] = tone
		}
	}
	return grainy(rng, picture)
}

// smooth returns the plane blurred by the binomial weights 1 2 1 in both
// directions, against noise.
func (p *plane) smooth() *plane {
	q := &plane{p.w, p.h, make([]uint8, len(p.pix))}
	sums := make([]int, p.w+2)
	for y := range p.h {
		above, here, below, out := p.row(max(0, y-1)), p.row(y), p.row(min(p.h-1, y+1)), q.row(y)
		for x := range out {
			sums[x+1] = int(above[x]) + 2*int(here[x]) + int(below[x])
		}
		sums[0], sums[p.w+1] = sums[1], sums[p.w]
		for x := range out {
			out[x] = uint8((sums[x] + 2*sums[x+1] + sums[x+2] + 8) / 16)
		}
	}
	return q
}

// grainy blurs a drawing by a little and adds noise.
func grainy(rng *rand.Rand, drawing *plane) *image.Gray {
	p := drawing.smooth()
	for i, v := range p.pix {
		p.pix[i] = uint8(min(255, max(0, float64(v)+4*rng.NormFloat64())))
	}
	return &image.Gray{Pix: p.pix, Stride: p.w, Rect: image.Rect(0, 0, p.w, p.h)}
}

// A label wound about a bar of 25 modules radius, 40 mm across, is read, seen from
// the front and from aside.
func TestCurvedFaces(t *testing.T) {
	unraced(t)
	t.Parallel()
	rng := rand.New(rand.NewPCG(8, 7))
	for i := range 8 {
		c := randomCode(rng)
		img := wound(rng, printed(t, c.Packed()), 25, 6.28*rng.Float64(), 0.1*float64(i%4))
		if found := Read(img, nil, Options{}); len(found) != 1 || found[0].Code != c {
			t.Errorf("%s, %d: %+v", c, i, found)
		}
	}
}
