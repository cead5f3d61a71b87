package photo

import (
	"sync"

	"github.com/makiuchi-d/gozxing/qrcode/decoder"
)

// A sheet says what each module of a symbol of one version is for. Its marks lie
// in the units of a warp, in which the finders of every version are as far apart
// as those of the first.
type sheet struct {
	version *decoder.Version
	n       int
	marks   []mark // the known modules and the light ring about the symbol
	timing  []mark // those of them that tell the versions apart
	inner   []mark // timing and alignment patterns: what places the fourth corner
	text    []mark // some of the modules of the text, from all over
	data    []place
	format  [2][15]place
	known   []int8 // row by row: 1 dark, -1 light, 0 where the text or the format decides
}

const mostVersion = 40

var sheets = func() (all [mostVersion + 1]func() *sheet) {
	for v := 1; v <= mostVersion; v++ {
		all[v] = sync.OnceValue(func() *sheet { return newSheet(v) })
	}
	return all
}()

func newSheet(number int) *sheet {
	version, err := decoder.Version_GetVersionForNumber(number)
	if err != nil {
		panic(err) // the numbers are those of sheets
	}
	s := &sheet{version: version, n: 4*number + 17}
	s.known = make([]int8, s.n*s.n)
	for _, c := range [3]place{{3, 3}, {s.n - 4, 3}, {3, s.n - 4}} {
		s.drawRings(c, 4)
	}
	s.markTiming()
	s.drawAlignments()
	s.thinInner()
	s.placeFormat()
	s.placeData()
	s.markKnown()
	s.markText()
	return s
}

// units returns the place of a module's coordinate in the units of a warp.
func (s *sheet) units(x float64) float64 { return near + (x-near)*steps/float64(s.n-finder) }

// module returns the mean side of a module of the sheet in a pose.
func (s *sheet) module(p pose) float64 { return p.module() * steps / float64(s.n-finder) }

func (s *sheet) markAt(x, y int, sign int8) mark {
	cx, cy := s.units(float64(x)+0.5), s.units(float64(y)+0.5)
	return mark{cx, cy, bow(cx), bow(cy), int(sign)}
}

// drawRings draws the rings of a finder or an alignment pattern about its
// centre: light at every second step from a dark middle, of one module or three.
func (s *sheet) drawRings(c place, reach int) {
	for y := max(0, c.y-reach); y <= min(s.n-1, c.y+reach); y++ {
		for x := max(0, c.x-reach); x <= min(s.n-1, c.x+reach); x++ {
			ring := max(abs(x-c.x), abs(y-c.y))
			sign := int8(1)
			if reach == 4 && (ring == 2 || ring == 4) || reach == 2 && ring == 1 {
				sign = -1
			}
			s.known[y*s.n+x] = sign
		}
	}
}

func (s *sheet) markTiming() {
	for i := finder + 1; i < s.n-finder-1; i++ {
		sign := int8(1 - 2*(i&1))
		s.known[6*s.n+i], s.known[i*s.n+6] = sign, sign
		s.timing = append(s.timing, s.markAt(i, 6, sign), s.markAt(6, i, sign))
	}
	s.inner = append(s.inner, s.timing...)
	s.known[(s.n-8)*s.n+8] = 1
}

func (s *sheet) drawAlignments() {
	centres := s.version.GetAlignmentPatternCenters()
	for i, y := range centres {
		for j, x := range centres {
			last := len(centres) - 1
			if i == 0 && (j == 0 || j == last) || i == last && j == 0 {
				continue // a finder is there
			}
			s.drawRings(place{x, y}, 2)
			for k := range 25 {
				u, v := x-2+k%5, y-2+k/5
				s.inner = append(s.inner, s.markAt(u, v, s.known[v*s.n+u]))
			}
		}
	}
}

// mostInner is how many marks are enough to place the fourth corner.
const mostInner = 220

// thinInner keeps so many of the inner marks, evenly.
func (s *sheet) thinInner() { s.inner = thinned(s.inner, mostInner) }

// thinned returns at most so many of all, evenly.
func thinned[T any](all []T, most int) (some []T) {
	n := min(most, len(all))
	for i := range n {
		some = append(some, all[i*len(all)/n])
	}
	return some
}

// mostText is how many modules of the text are enough to centre a sheet.
const mostText = 400

func (s *sheet) markText() {
	for _, p := range thinned(s.data, mostText) {
		s.text = append(s.text, s.markAt(p.x, p.y, 0))
	}
}

func (s *sheet) placeFormat() {
	s.format[0] = [15]place{{0, 8}, {1, 8}, {2, 8}, {3, 8}, {4, 8}, {5, 8}, {7, 8}, {8, 8}, {8, 7}, {8, 5}, {8, 4}, {8, 3}, {8, 2}, {8, 1}, {8, 0}}
	for i := range 7 {
		s.format[1][i] = place{8, s.n - 1 - i}
	}
	for i := range 8 {
		s.format[1][7+i] = place{s.n - 8 + i, 8}
	}
}

// markKnown lists the known modules and the ring about the symbol.
func (s *sheet) markKnown() {
	for y := -1; y <= s.n; y++ {
		for x := -1; x <= s.n; x++ {
			sign := int8(-1)
			if x >= 0 && y >= 0 && x < s.n && y < s.n {
				sign = s.known[y*s.n+x]
			} else if x > finder && x < s.n-finder && y > finder || y > finder && y < s.n-finder && x > finder {
				continue // far from the finders, the ring may be anything
			}
			if sign != 0 {
				s.marks = append(s.marks, s.markAt(x, y, sign))
			}
		}
	}
}

// placeData walks the columns in pairs from the right, up and down in turn.
func (s *sheet) placeData() {
	taken := s.taken()
	up := true
	for right := s.n - 1; right > 0; right -= 2 {
		if right == 6 {
			right-- // the column of the timing pattern
		}
		for i := range s.n {
			y := i
			if up {
				y = s.n - 1 - i
			}
			for _, x := range [2]int{right, right - 1} {
				if !taken[y*s.n+x] {
					s.data = append(s.data, place{x, y})
				}
			}
		}
		up = !up
	}
}

// taken returns the modules that hold no data.
func (s *sheet) taken() []bool {
	taken := make([]bool, s.n*s.n)
	for i, sign := range s.known {
		taken[i] = sign != 0
	}
	for _, copied := range s.format {
		for _, p := range copied {
			taken[p.y*s.n+p.x] = true
		}
	}
	if s.version.GetVersionNumber() >= 7 { // which say their version, twice
		for i := range 18 {
			taken[(i/3)*s.n+s.n-11+i%3], taken[(s.n-11+i%3)*s.n+i/3] = true, true
		}
	}
	return taken
}

// masked reports whether mask inverts a module (ISO/IEC 18004, 7.8.2).
func masked(mask, x, y int) bool {
	switch mask {
	case 0:
		return (x+y)%2 == 0
	case 1:
		return y%2 == 0
	case 2:
		return x%3 == 0
	case 3:
		return (x+y)%3 == 0
	case 4:
		return (y/2+x/3)%2 == 0
	case 5:
		return x*y%2+x*y%3 == 0
	case 6:
		return (x*y%2+x*y%3)%2 == 0
	}
	return ((x+y)%2+x*y%3)%2 == 0
}
