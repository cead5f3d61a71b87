package photo

import (
	"image"
	"math"
	"math/rand/v2"
	"testing"
)

// wavy draws a symbol on a label that lies in waves of so many modules to and
// fro, with a little noise.
func wavy(rng *rand.Rand, soft *softness, high float64) *image.Gray {
	const side, module, paperEdge = 360, 8, 5
	ways := [3]float64{6.28 * rng.Float64(), 6.28 * rng.Float64(), 6.28 * rng.Float64()}
	picture := &plane{side, side, make([]uint8, side*side)}
	for i := range picture.pix {
		x, y := (float64(i%side)-side/2)/module, (float64(i/side)-side/2)/module
		along := x*math.Cos(ways[0]) + y*math.Sin(ways[0])
		wave := high * math.Sin(2*math.Pi*along/20+ways[1])
		x, y = x+size/2.+wave*math.Cos(ways[2]), y+size/2.+wave*math.Sin(ways[2])
		tone := 110.0
		if min(x, y) > -paperEdge && max(x, y) < size+paperEdge {
			tone = 225
		}
		if min(x, y) >= 0 && max(x, y) < size && soft[int(y)][int(x)] > 0 {
			tone = 40
		}
		picture.pix[i] = uint8(tone)
	}
	return grainy(rng, picture)
}

// A label in waves of two thirds of a module to and fro is read, of which no pose
// alone reads every one.
func TestWavyFaces(t *testing.T) {
	unraced(t)
	t.Parallel()
	rng := rand.New(rand.NewPCG(8, 7))
	for range atLength(6, 3) {
		c := randomCode(rng)
		found := Read(wavy(rng, printed(t, c.Packed()), 0.65), nil, Options{})
		if len(found) != 1 || found[0].Code != c {
			t.Errorf("%s: %+v", c, found)
		}
	}
}

// One symbol that is registered in many poses does not keep the last pass from
// the others.
func TestLastPassGoesRound(t *testing.T) {
	r := &reader{light: pyramid{}}
	at := func(x, y float64) pose {
		return pose{quad: quad{{x, y}, {x + 56, y}, {x + 56, y + 56}, {x, y + 56}}}
	}
	for i := range 6 {
		r.weak = append(r.weak, fit{pose: at(100+float64(i), 100), known: 0.9})
	}
	r.weak = append(r.weak, fit{pose: at(500, 100), known: 0.5}, fit{pose: at(100, 500), known: 0.6})
	first, others := r.weakPlaces()
	if len(first) != 3 || len(others) != 5 || first[1].known != 0.6 || first[2].known != 0.5 {
		t.Errorf("%d places first, %d others", len(first), len(others))
	}
}
