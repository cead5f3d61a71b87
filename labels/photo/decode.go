package photo

import (
	"math"
	"slices"
)

// A decoding is a text that the code words of a symbol say, and what they
// took to say it.
type decoding struct {
	text             string
	words            [codewords]byte // as corrected
	mask             int
	errors, erasures int
}

// cost is what the decoding spent of the 17 check words.
func (d decoding) cost() int { return 2*d.errors + d.erasures }

// spare is how much of the check words a decoding must leave unspent to be
// believed alone. With four unspent, noise decodes less than once in a
// billion tries (by count of the words within reach), before the form of the
// text and its padding are asked.
const spare = 4

// decode reads soft values: the format first, then the code words with ever
// more of the least clear ones erased, until one of them leaves enough unspent
// and says a text in the form that is printed.
func (s *softness) decode() (decoding, bool) {
	for _, mask := range s.likelyMasks() {
		words, order := s.words(mask)
		for erasures := 0; erasures <= ecWords-spare; erasures += 2 {
			d := decoding{words: words, mask: mask, erasures: erasures}
			var ok bool
			d.errors, ok = correct(d.words[:], ecWords, order[:erasures])
			if !ok || d.cost() > ecWords-spare {
				continue
			}
			if d.text, ok = message(d.words[:dataWords]); ok {
				return d, true
			}
		}
	}
	return decoding{}, false
}

// likelyMasks returns the masks whose format agrees best with both copies of
// the format information; damaged, it leaves more than one.
func (s *softness) likelyMasks() []int {
	score := [8]float64{}
	best := math.Inf(-1)
	for mask, format := range version1.formats {
		for _, copied := range version1.format {
			for bit, p := range copied {
				sign := float64(int(format>>(14-bit)&1)*2 - 1)
				score[mask] += sign * s[p.y][p.x]
			}
		}
		best = max(best, score[mask])
	}
	masks := []int{}
	for mask := range score {
		if score[mask] >= best-6 {
			masks = append(masks, mask)
		}
	}
	slices.SortStableFunc(masks, func(a, b int) int { return compare(score[b], score[a]) })
	return masks[:min(3, len(masks))]
}

// words returns the code words under a mask, and their places in order of
// clearness, the least clear first: that of a word is its least clear bit,
// ties broken by the sum.
func (s *softness) words(mask int) (words [codewords]byte, order []int) {
	var clearness [codewords]float64
	for i := range words {
		least, sum := 1.0, 0.0
		for bit := range 8 {
			p := version1.data[i*8+bit]
			v := s[p.y][p.x]
			least, sum = min(least, math.Abs(v)), sum+math.Abs(v)
			if (v > 0) != version1.masks[mask][p.y][p.x] {
				words[i] |= 0x80 >> bit
			}
		}
		clearness[i] = least + sum/16
		order = append(order, i)
	}
	slices.SortStableFunc(order, func(a, b int) int { return compare(clearness[a], clearness[b]) })
	return words, order
}

// compare orders numbers; NaN, which no sampling yields, would be equal to all.
func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// symbolOf returns what a symbol with these code words and mask looks like: 1
// where dark, -1 where light.
func symbolOf(words [codewords]byte, mask int) *softness {
	s := &softness{}
	for y := range size {
		for x := range size {
			s[y][x] = float64(version1.function[y][x])
		}
	}
	for _, copied := range version1.format {
		for bit, p := range copied {
			s[p.y][p.x] = float64(int(version1.formats[mask]>>(14-bit)&1)*2 - 1)
		}
	}
	for i, p := range version1.data {
		dark := words[i/8]>>(7-i%8)&1 == 1
		s[p.y][p.x] = -1
		if dark != version1.masks[mask][p.y][p.x] {
			s[p.y][p.x] = 1
		}
	}
	return s
}
