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

// CheckWords is how many check words a symbol of ours has: a wrong code word
// takes two of them, one that was left out takes one. Source: ISO/IEC 18004,
// version 1 at level H.
const CheckWords = ecWords

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
	s := newSheet(1)
	l := &layout{format: s.format}
	copy(l.data[:], s.data)
	for i, sign := range s.known {
		x, y := i%size, i/size
		l.function[y][x] = sign
		for mask := range l.masks {
			l.masks[mask][y][x] = masked(mask, x, y)
		}
	}
	for mask := range l.formats {
		l.formats[mask] = formatBits(levelH<<3 | uint16(mask))
	}
	return l
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
