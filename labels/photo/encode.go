package photo

// words returns the code words that a version 1 symbol of level H holds for a
// text, and false when it cannot: the reverse of message. What is printed
// comes from labels/qr; this is for comparing photographs with many codes
// without drawing each.
func wordsOf(text string) (words [codewords]byte, ok bool) {
	if len(text) == 0 || modeBits+countBits+(len(text)*11+1)/2 > dataWords*8 {
		return words, false
	}
	w := writer{out: words[:dataWords]}
	w.put(modeAlphanumeric, modeBits)
	w.put(len(text), countBits)
	for i := 0; i < len(text); i += 2 {
		first := charValue(text[i])
		if i+1 == len(text) {
			w.put(first, 6)
			ok = first >= 0
			break
		}
		second := charValue(text[i+1])
		if first < 0 || second < 0 {
			return words, false
		}
		w.put(first*45+second, 11)
		ok = true
	}
	for i := (w.at + 4 + 7) / 8; i < dataWords; i++ {
		words[i] = [2]byte{0xec, 0x11}[(i-(w.at+4+7)/8)%2]
	}
	addCheckWords(words[:])
	return words, ok
}

func charValue(c byte) int {
	for i := range len(alphanumeric) {
		if alphanumeric[i] == c {
			return i
		}
	}
	return -1
}

// writer puts numbers into out, highest bit first.
type writer struct {
	out []byte
	at  int
}

func (w *writer) put(v, n int) {
	for bit := n - 1; bit >= 0; bit-- {
		if v>>bit&1 == 1 {
			w.out[w.at/8] |= 0x80 >> (w.at % 8)
		}
		w.at++
	}
}

// addCheckWords fills the last words with the remainder of dividing by the
// generator.
func addCheckWords(words []byte) {
	rest := make([]byte, ecWords)
	for _, c := range words[:dataWords] {
		lead := c ^ rest[0]
		copy(rest, rest[1:])
		rest[ecWords-1] = 0
		for i := range rest {
			rest[i] ^= times(lead, generator[i])
		}
	}
	copy(words[dataWords:], rest)
}

// generator is the product of (x - alpha^i) for i in 0 to 16 without its
// leading 1, highest first.
var generator = newGenerator()

func newGenerator() []byte {
	g := []byte{1}
	for i := range ecWords {
		next := make([]byte, len(g)+1)
		for j, c := range g {
			next[j] ^= c
			next[j+1] ^= times(c, alpha(i))
		}
		g = next
	}
	return g[1:]
}
