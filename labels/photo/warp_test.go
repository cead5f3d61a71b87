package photo

import (
	"math"
	"math/rand/v2"
	"testing"
)

// A pinhole camera, written out by hand: the symbol turned by turn about its
// middle, tilted by tilt about an axis, at a distance.
func pinhole(x, y, turn, tilt, axis, module float64) Point {
	rotate := func(p Point, a float64) Point {
		sin, cos := math.Sincos(a)
		return Point{p.X*cos - p.Y*sin, p.X*sin + p.Y*cos}
	}
	p := rotate(Point{x - size/2., y - size/2.}, turn-axis)
	depth := 1 + p.Y*math.Sin(tilt)/80
	p.Y *= math.Cos(tilt)
	return rotate(p.by(module/depth), axis).plus(Point{500, 400})
}

// A warp made of four places agrees with the camera everywhere.
func TestWarpAgreesWithACamera(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 7))
	for range 200 {
		turn, tilt, axis, module := 7*rng.Float64(), 1.1*rng.Float64(), 7*rng.Float64(), 2+20*rng.Float64()
		see := func(x, y float64) Point { return pinhole(x, y, turn, tilt, axis, module) }
		p := pose{quad: quad{see(near, near), see(far, near), see(far, far), see(near, far)}}
		w, ok := p.warp()
		if !ok {
			t.Fatal("no warp")
		}
		for range 50 {
			x, y := 29*rng.Float64()-4, 29*rng.Float64()-4
			if off := w.at(x, y).minus(see(x, y)).length(); off > 1e-6 {
				t.Fatalf("turn %.2f tilt %.2f: %.2g pixels off at %.1f, %.1f", turn, tilt, off, x, y)
			}
		}
	}
}

func (p Point) finite() bool {
	return !math.IsNaN(p.X+p.Y) && !math.IsInf(p.X, 0) && !math.IsInf(p.Y, 0)
}

func TestWarpOfALineIsRefused(t *testing.T) {
	for _, q := range []quad{{}, {{0, 0}, {1, 1}, {2, 2}, {3, 3}}, {{0, 0}, {5, 0}, {5, 0}, {5, 0}}} {
		if w, ok := (pose{quad: q}).warp(); ok && !w.at(3, 3).finite() {
			t.Errorf("%v maps to %v", q, w.at(3, 3))
		}
	}
}

func TestBendLeavesTheEdgesAlone(t *testing.T) {
	flat := pose{quad: quad{{35, 35}, {175, 35}, {175, 175}, {35, 175}}}
	bent := flat
	bent.across, bent.down = Point{0, 8}, Point{3, 0}
	a, _ := flat.warp()
	b, _ := bent.warp()
	if a.corners() != b.corners() {
		t.Error("the corners moved")
	}
	if off := b.at(size/2., size/2.).minus(a.at(size/2., size/2.)); math.Abs(off.X-3) > 1e-9 || math.Abs(off.Y-8) > 1e-9 {
		t.Errorf("the middle moved by %v", off)
	}
}

// What is sampled under a known warp is what was drawn.
func TestSamplingUnderAKnownWarp(t *testing.T) {
	soft := printed(t, "HBR017J1")
	rng := rand.New(rand.NewPCG(5, 7))
	for range 20 {
		turn, tilt, axis := 7*rng.Float64(), 0.7*rng.Float64(), 7*rng.Float64()
		p, picture := photographed(soft, turn, tilt, axis, 9)
		w, _ := p.warp()
		s := picture.sample(&w)
		for y := range size {
			for x := range size {
				if got := s.grey[index(x, y)]; got < 128 != (soft[y][x] > 0) {
					t.Fatalf("module %d, %d is %.0f", x, y, got)
				}
			}
		}
	}
}

// photographed draws a symbol as the camera sees it, by asking for each pixel
// where on the symbol it lies.
func photographed(soft *softness, turn, tilt, axis, module float64) (pose, *plane) {
	see := func(x, y float64) Point { return pinhole(x, y, turn, tilt, axis, module) }
	p := pose{quad: quad{see(near, near), see(far, near), see(far, far), see(near, far)}}
	picture := &plane{1000, 800, make([]uint8, 1000*800)}
	for i := range picture.pix {
		picture.pix[i] = 230
	}
	const fine = 40 // dots a module, so that no pixel is missed
	for y := range size * fine {
		for x := range size * fine {
			if q := see((float64(x)+0.5)/fine, (float64(y)+0.5)/fine); picture.holds(q) && soft[y/fine][x/fine] > 0 {
				picture.pix[int(q.Y)*picture.w+int(q.X)] = 20
			}
		}
	}
	return p, picture
}
