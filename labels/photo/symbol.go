package photo

// The symbol that soaktag prints: QR version 1, error correction level H
// (ISO/IEC 18004; 6.3 for the patterns, 7.7 for the placing of data, 7.8 for
// the masks, 7.9 for the format).

const (
	size      = 21 // modules a side
	codewords = 26
	dataWords = 9
	ecWords   = codewords - dataWords
	finder    = 7   // modules a side of a finder
	near      = 3.5 // centre of a finder from the symbol's edge, in modules
	far       = size - near
)

// A place is a module: column and row from the top left.
type place struct{ x, y int }

// A layout says what each module of the symbol is for.
type layout struct {
	function [size][size]int8 // 1 dark, -1 light, 0 where the text decides
	data     [codewords * 8]place
	format   [2][15]place // both copies, highest bit first
	masks    [8][size][size]bool
	formats  [8]uint16 // format of level H with each mask
}

var version1 = newLayout()

func newLayout() *layout {
	l := &layout{}
	for _, c := range [3]place{{3, 3}, {size - 4, 3}, {3, size - 4}} {
		l.drawFinder(c)
	}
	for i := finder + 1; i < size-finder-1; i++ {
		sign := int8(1 - 2*(i&1))
		l.function[6][i], l.function[i][6] = sign, sign
	}
	l.function[size-8][8] = 1
	l.placeFormat()
	l.placeData()
	l.drawMasks()
	for mask := range l.formats {
		l.formats[mask] = formatBits(levelH<<3 | uint16(mask))
	}
	return l
}

// drawFinder draws a finder about its centre with the light border inside the
// symbol.
func (l *layout) drawFinder(c place) {
	for y := max(0, c.y-4); y <= min(size-1, c.y+4); y++ {
		for x := max(0, c.x-4); x <= min(size-1, c.x+4); x++ {
			ring := max(abs(x-c.x), abs(y-c.y))
			l.function[y][x] = 1
			if ring == 2 || ring == 4 {
				l.function[y][x] = -1
			}
		}
	}
}

func (l *layout) placeFormat() {
	first := []place{{0, 8}, {1, 8}, {2, 8}, {3, 8}, {4, 8}, {5, 8}, {7, 8}, {8, 8}, {8, 7}, {8, 5}, {8, 4}, {8, 3}, {8, 2}, {8, 1}, {8, 0}}
	copy(l.format[0][:], first)
	for i := range 7 {
		l.format[1][i] = place{8, size - 1 - i}
	}
	for i := range 8 {
		l.format[1][7+i] = place{size - 8 + i, 8}
	}
}

// placeData walks the columns in pairs from the right, up and down in turn.
func (l *layout) placeData() {
	taken := map[place]bool{}
	for _, run := range l.format {
		for _, p := range run {
			taken[p] = true
		}
	}
	n, up := 0, true
	for right := size - 1; right > 0; right -= 2 {
		if right == 6 {
			right-- // the column of the timing pattern
		}
		for i := range size {
			y := i
			if up {
				y = size - 1 - i
			}
			for _, x := range [2]int{right, right - 1} {
				if l.function[y][x] == 0 && !taken[place{x, y}] {
					l.data[n] = place{x, y}
					n++
				}
			}
		}
		up = !up
	}
}

func (l *layout) drawMasks() {
	for y := range size {
		for x := range size {
			for mask, dark := range [8]bool{
				(x+y)%2 == 0, y%2 == 0, x%3 == 0, (x+y)%3 == 0, (y/2+x/3)%2 == 0,
				x*y%2+x*y%3 == 0, (x*y%2+x*y%3)%2 == 0, ((x+y)%2+x*y%3)%2 == 0,
			} {
				l.masks[mask][y][x] = dark
			}
		}
	}
}

// levelH is the two-bit name of the highest level of error correction.
const levelH = 2

// formatBits returns the 15 bits of format information for level and mask: the
// BCH code (15, 5) with generator 10100110111, then exclusive or with
// 101010000010010 (ISO/IEC 18004, 7.9.1).
func formatBits(five uint16) uint16 {
	rest := five << 10
	for bit := 14; bit >= 10; bit-- {
		if rest>>bit&1 == 1 {
			rest ^= 0x537 << (bit - 10)
		}
	}
	return (five<<10 | rest) ^ 0x5412
}

func abs(a int) int {
	if a < 0 {
		return -a
	}
	return a
}
