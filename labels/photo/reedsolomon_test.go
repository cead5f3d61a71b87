package photo

import (
	"bytes"
	"math/rand/v2"
	"testing"
)

// The worked example of ISO/IEC 18004, annex I: "01234567" in version 1, level
// M, 16 data and 10 check words.
var published = []byte{
	0x10, 0x20, 0x0c, 0x56, 0x61, 0x80, 0xec, 0x11, 0xec, 0x11, 0xec, 0x11, 0xec, 0x11, 0xec, 0x11,
	0xa5, 0x24, 0xd4, 0xc1, 0xed, 0x36, 0xc7, 0x87, 0x2c, 0x55,
}

func TestPublishedWordIsClean(t *testing.T) {
	if _, clean := syndromesOf(published, 10); !clean {
		t.Error("the published word has syndromes")
	}
	for i := range published {
		broken := bytes.Clone(published)
		broken[i] ^= 0x40
		if e, ok := correct(broken, 10, nil); !ok || e != 1 || !bytes.Equal(broken, published) {
			t.Errorf("word %d wrong: %d, %v, %x", i, e, ok, broken)
		}
	}
}

// Every error pattern of a short code against the bounds: with two check words
// one error at any place with any value is put right, and so are any two
// erasures with any values.
func TestCorrectExhaustively(t *testing.T) {
	word := []byte{7, 0, 201, 0, 0}
	shortCheck(word, 2)
	for place := range word {
		for value := 1; value < 256; value++ {
			broken := bytes.Clone(word)
			broken[place] ^= byte(value)
			if e, ok := correct(broken, 2, nil); !ok || e != 1 || !bytes.Equal(broken, word) {
				t.Fatalf("place %d, value %d: %d, %v, %v", place, value, e, ok, broken)
			}
		}
		for other := place + 1; other < len(word); other++ {
			erasePair(t, word, place, other)
		}
	}
}

func erasePair(t *testing.T, word []byte, a, b int) {
	for value := range 1 << 16 {
		broken := bytes.Clone(word)
		broken[a], broken[b] = byte(value), byte(value>>8)
		if e, ok := correct(broken, 2, []int{a, b}); !ok || e != 0 || !bytes.Equal(broken, word) {
			t.Fatalf("places %d, %d, values %x: %d, %v, %v", a, b, value, e, ok, broken)
		}
	}
}

// shortCheck finds by trial the two last bytes that make the word clean: no
// code of the decoder's, only the definition.
func shortCheck(word []byte, ec int) {
	n := len(word)
	for v := range 1 << 16 {
		word[n-2], word[n-1] = byte(v), byte(v>>8)
		if _, clean := syndromesOf(word, ec); clean {
			return
		}
	}
}

// Every split of errors and erasures within 2e + s <= 17 is put right.
func TestCorrectUpToTheBound(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 7))
	for errors := 0; errors <= ecWords/2; errors++ {
		for erasures := 0; 2*errors+erasures <= ecWords; erasures++ {
			for range 20 {
				word := randomWord(rng)
				broken, erased := spoil(rng, word, errors, erasures)
				e, ok := correct(broken, ecWords, erased)
				if !ok || e != errors || !bytes.Equal(broken, word) {
					t.Fatalf("%d errors, %d erasures: %d, %v", errors, erasures, e, ok)
				}
			}
		}
	}
}

// Beyond the bound a word is refused, or another code word within the bound of
// what was read is returned; never anything else, and a refused word is not
// touched.
func TestCorrectBeyondTheBound(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 7))
	refused := 0
	for range 4000 {
		word := randomWord(rng)
		erasures := rng.IntN(ecWords + 1)
		broken, erased := spoil(rng, word, (ecWords-erasures)/2+1, erasures)
		read := bytes.Clone(broken)
		e, ok := correct(broken, ecWords, erased)
		if !ok {
			refused++
			if !bytes.Equal(read, broken) {
				t.Fatal("a refused word was changed")
			}
			continue
		}
		if _, clean := syndromesOf(broken, ecWords); !clean || 2*e+erasures > ecWords {
			t.Fatalf("%d errors and %d erasures gave something that is no code word in reach", e, erasures)
		}
	}
	if refused < 3000 {
		t.Errorf("only %d of 4000 refused", refused)
	}
	if _, ok := correct(make([]byte, 26), 2, []int{1, 2, 3}); ok {
		t.Error("more erasures than check words")
	}
}

func randomWord(rng *rand.Rand) []byte {
	word := make([]byte, codewords)
	for i := range dataWords {
		word[i] = byte(rng.IntN(256))
	}
	addCheckWords(word)
	return word
}

// spoil changes so many places and lists so many others as erased, half of
// which are changed too.
func spoil(rng *rand.Rand, word []byte, errors, erasures int) (broken []byte, erased []int) {
	broken = bytes.Clone(word)
	for i, place := range rng.Perm(len(word))[:errors+erasures] {
		if i >= errors {
			erased = append(erased, place)
		}
		if i < errors || i%2 == 0 {
			broken[place] ^= byte(1 + rng.IntN(255))
		}
	}
	return broken, erased
}

func TestFieldIsAField(t *testing.T) {
	for a := 1; a < 256; a++ {
		if times(byte(a), over(1, byte(a))) != 1 {
			t.Fatalf("%d has no inverse", a)
		}
		for b := range 256 {
			if got := slowTimes(a, b); got != times(byte(a), byte(b)) {
				t.Fatalf("%d times %d: %d, want %d", a, b, times(byte(a), byte(b)), got)
			}
		}
	}
}

// slowTimes multiplies polynomials and reduces them, by definition.
func slowTimes(a, b int) byte {
	sum := 0
	for bit := range 8 {
		if b>>bit&1 == 1 {
			sum ^= a << bit
		}
	}
	for bit := 15; bit >= 8; bit-- {
		if sum>>bit&1 == 1 {
			sum ^= fieldPolynomial << (bit - 8)
		}
	}
	return byte(sum)
}
