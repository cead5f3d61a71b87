package photo

// The text in the data of a symbol as soaktag prints it: one segment of QR's
// 45 characters, then padding (ISO/IEC 18004, 7.4.4 and 7.4.10).

const alphanumeric = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"

const (
	modeAlphanumeric = 2
	modeBits         = 4
	countBits        = 9 // in versions 1 to 9
)

// message returns the text of a symbol's data, and false when it is not one
// alphanumeric segment followed by exactly the padding that the standard asks
// for. The padding is part of the proof that the data was read right.
func message(data []byte) (string, bool) {
	b := bits{data: data}
	if b.next(modeBits) != modeAlphanumeric {
		return "", false
	}
	n := b.next(countBits)
	if n == 0 || b.at+(n*11+1)/2 > len(data)*8 {
		return "", false
	}
	text := make([]byte, 0, n)
	for ; n >= 2; n -= 2 {
		pair := b.next(11)
		if pair >= 45*45 {
			return "", false
		}
		text = append(text, alphanumeric[pair/45], alphanumeric[pair%45])
	}
	if n == 1 {
		last := b.next(6)
		if last >= 45 {
			return "", false
		}
		text = append(text, alphanumeric[last])
	}
	return string(text), b.padded()
}

// bits reads numbers from data, highest bit first.
type bits struct {
	data []byte
	at   int
}

func (b *bits) next(n int) int {
	v := 0
	for range n {
		v = v<<1 | int(b.data[b.at/8]>>(7-b.at%8)&1)
		b.at++
	}
	return v
}

// padded reports whether nothing but the terminator and padding is left.
func (b *bits) padded() bool {
	for range min(4, len(b.data)*8-b.at) {
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
