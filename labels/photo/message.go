package photo

// The text in the data of a symbol as soaktag prints it: segments of digits and
// of QR's 45 characters, then padding (ISO/IEC 18004, 7.4.3, 7.4.4, 7.4.10).

const alphanumeric = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"

// A mode says how the characters of a segment are packed.
type mode struct {
	name      int // in its four bits
	countBits int // in versions 1 to 9
	base      int // characters of the alphabet
	group     int // characters packed into one number
	bits      [4]int
}

var (
	digits     = mode{name: 1, countBits: 10, base: 10, group: 3, bits: [4]int{0, 4, 7, 10}}
	characters = mode{name: 2, countBits: 9, base: 45, group: 2, bits: [4]int{0, 6, 11, 0}}
)

// length returns the bits that a segment of n characters takes.
func (m mode) length(n int) int {
	return 4 + m.countBits + n/m.group*m.bits[m.group] + m.bits[n%m.group]
}

// message returns the text of a symbol's data, and false when it is not
// segments of digits and characters followed by exactly the padding that the
// standard asks for. The padding is part of the proof that the data was read
// right.
func message(data []byte) (text string, ok bool) {
	b := bits{data: data}
	for b.left() >= 4 {
		switch b.next(4) {
		case 0:
			b.at -= 4
			return text, text != "" && b.padded()
		case digits.name:
			text, ok = b.segment(digits, text)
		case characters.name:
			text, ok = b.segment(characters, text)
		default:
			ok = false
		}
		if !ok {
			return "", false
		}
	}
	return text, text != "" && b.padded()
}

// bits reads numbers from data, highest bit first.
type bits struct {
	data []byte
	at   int
}

func (b *bits) left() int { return len(b.data)*8 - b.at }

func (b *bits) next(n int) int {
	v := 0
	for range n {
		v = v<<1 | int(b.data[b.at/8]>>(7-b.at%8)&1)
		b.at++
	}
	return v
}

// segment appends the characters of a segment to the text.
func (b *bits) segment(m mode, text string) (string, bool) {
	if b.left() < m.countBits {
		return "", false
	}
	n := b.next(m.countBits)
	if n == 0 || b.left() < m.length(n)-4-m.countBits {
		return "", false
	}
	for ; n > 0; n -= m.group {
		k := min(n, m.group)
		v, group := b.next(m.bits[k]), make([]byte, k)
		for i := k - 1; i >= 0; i-- {
			group[i] = alphanumeric[v%m.base]
			v /= m.base
		}
		if v != 0 {
			return "", false
		}
		text += string(group)
	}
	return text, true
}

// padded reports whether nothing but the terminator and padding is left.
func (b *bits) padded() bool {
	for range min(4, b.left()) {
		if b.next(1) != 0 {
			return false
		}
	}
	for b.at%8 != 0 {
		if b.next(1) != 0 {
			return false
		}
	}
	for i, c := range b.data[b.at/8:] {
		if c != [2]byte{0xec, 0x11}[i%2] {
			return false
		}
	}
	return true
}
