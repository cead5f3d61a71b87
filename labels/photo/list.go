package photo

import (
	"math"

	"soaktag/labels"
)

// A List holds what may have been printed: with it a reader recognises a
// symbol that is too damaged to be decoded. It never changes once made, so
// any number of readers may share one.
type List struct {
	entries []entry
	byText  map[string]int
}

type entry struct {
	text  string
	code  labels.Code // zero for a card
	words [codewords]byte
}

// NewList makes a list of the codes, each as whole specimen and as both
// halves, and of the cards that fit the smallest symbol. Codes that are not
// valid are left out.
func NewList(codes []labels.Code, cards ...labels.Card) *List {
	l := &List{byText: map[string]int{}}
	for _, c := range codes {
		for half := 0; half <= 2; half++ {
			if c.Half = half; c.Valid() == nil {
				l.add(c.Packed(), c)
			}
		}
	}
	for _, card := range cards {
		l.add(card.Text(), labels.Code{})
	}
	return l
}

func (l *List) add(text string, code labels.Code) {
	words, ok := wordsOf(text)
	if _, twice := l.byText[text]; twice || !ok {
		return
	}
	l.byText[text] = len(l.entries)
	l.entries = append(l.entries, entry{text, code, words})
}

// has reports whether the list holds the text; a nil list holds nothing.
func (l *List) has(text string) bool {
	if l == nil {
		return false
	}
	_, ok := l.byText[text]
	return ok
}

// A match is the entry of a list that a symbol looks most like.
type match struct {
	entry  int
	mask   int
	score  float64 // agreement of all modules of the text, weighted by clearness: 1 perfect, 0 chance
	margin float64 // how far the next entry lies behind
}

// match compares the soft values with every entry, under each mask that the
// format allows.
func (l *List) match(s *softness) match {
	best := match{entry: -1, score: math.Inf(-1), margin: math.Inf(-1)}
	if l == nil || len(l.entries) == 0 {
		return best
	}
	second := math.Inf(-1)
	for _, mask := range s.likelyMasks() {
		table, total := s.byteTable(mask)
		for i := range l.entries {
			score := 0.0
			for j, w := range l.entries[i].words {
				score += float64(table[j][w])
			}
			score /= total
			switch {
			case score > best.score:
				if best.entry != i {
					second = best.score
				}
				best.entry, best.mask, best.score = i, mask, score
			case score > second && i != best.entry:
				second = score
			}
		}
	}
	best.margin = best.score - max(0, second)
	return best
}

// leastClearness bounds the weight by which scores are divided from below: a
// symbol of which only a few modules can be told must not score high on them.
const leastClearness = 0.35

// byteTable returns for each code word the agreement of each value it may
// have, and the sum of all clearness.
func (s *softness) byteTable(mask int) (table *[codewords][256]float32, total float64) {
	table = new([codewords][256]float32)
	for i := range table {
		var v [8]float32
		for bit := range v {
			p := version1.data[i*8+bit]
			v[bit] = float32(s[p.y][p.x])
			if version1.masks[mask][p.y][p.x] {
				v[bit] = -v[bit]
			}
			total += math.Abs(float64(v[bit]))
		}
		for value := range table[i] {
			for bit := range v {
				if value>>(7-bit)&1 == 1 {
					table[i][value] += v[bit]
				} else {
					table[i][value] -= v[bit]
				}
			}
		}
	}
	return table, max(total, leastClearness*codewords*8)
}
