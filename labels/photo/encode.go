package photo

import "strings"

// wordsOf returns the code words that a version 1 symbol of level H holds for a
// text, and false when it cannot: the reverse of message. Digits at the end
// get a segment of their own where that is shorter, as in what is printed. The
// symbols that are printed come from labels/qr; this is for comparing
// photographs with many codes without drawing each.
func wordsOf(text string) (words [codewords]byte, ok bool) {
	head := len(strings.TrimRight(text, alphanumeric[:10]))
	if head > 0 && characters.length(len(text)) <= characters.length(head)+digits.length(len(text)-head) {
		head = len(text)
	}
	w := writer{out: words[:dataWords]}
	ok = (head == 0 || w.segment(characters, text[:head])) && (head == len(text) || w.segment(digits, text[head:]))
	if !ok || text == "" {
		return words, false
	}
	first := (min(w.at+4, dataWords*8) + 7) / 8
	for i := first; i < dataWords; i++ {
		words[i] = [2]byte{0xec, 0x11}[(i-first)%2]
	}
	addCheckWords(words[:])
	return words, true
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

// segment puts a segment of text, and returns false when it does not fit or the
// mode does not have a character.
func (w *writer) segment(m mode, text string) bool {
	if len(text) >= 1<<m.countBits || w.at+m.length(len(text)) > len(w.out)*8 {
		return false
	}
	w.put(m.name, 4)
	w.put(len(text), m.countBits)
	for i := 0; i < len(text); i += m.group {
		group, v := text[i:min(i+m.group, len(text))], 0
		for j := range len(group) {
			c := strings.IndexByte(alphanumeric[:m.base], group[j])
			if c < 0 {
				return false
			}
			v = v*m.base + c
		}
		w.put(v, m.bits[len(group)])
	}
	return true
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
