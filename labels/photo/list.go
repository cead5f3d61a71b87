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

// A match is the entry of a list that a symbol looks most like.
type match struct {
	entry  int
	mask   int
	score  float64 // agreement of all modules of the text, weighted by clearness: 1 perfect, 0 chance
	margin float64 // how far the next code lies behind
}

const (
	leastScore  = 0.55 // of a match that is believed
	leastMargin = 0.22
)

// match compares the soft values with every entry, under each mask that the
// format allows. A match that would be believed is compared with codes that are
// not on the list too, so that the margin of a short list means as much as that
// of a long one, and a look-alike of a missing code is not believed.
func (l *List) match(s *softness) (best match, ok bool) {
	best = match{entry: -1, score: math.Inf(-1)}
	if l == nil {
		return best, false
	}
	second, masks := 0.0, s.likelyMasks()
	for _, mask := range masks {
		table := s.byteTable(mask)
		for i := range l.entries {
			score := table.agreement(&l.entries[i].words)
			switch {
			case score > best.score:
				if best.entry != i {
					second = max(second, best.score)
				}
				best.entry, best.mask, best.score = i, mask, score
			case i != best.entry:
				second = max(second, score)
			}
		}
	}
	best.margin = best.score - second
	if best.score < leastScore || best.margin < leastMargin {
		return best, false
	}
	for _, mask := range masks {
		second = max(second, l.entries[best.entry].closestDecoy(s.byteTable(mask)))
	}
	best.margin = best.score - second
	return best, best.margin >= leastMargin
}

// closestDecoy returns the best agreement among codes that are easily taken for
// the entry's, and some hundred others of its study: those are not on the list,
// or have been compared already. A card has none.
func (e *entry) closestDecoy(table *byteTable) float64 {
	if e.code.Serial == 0 {
		return 0
	}
	best := 0.0
	for _, c := range decoys(e.code) {
		if c == e.code {
			continue
		}
		if words, ok := wordsOf(c.Packed()); ok {
			best = max(best, table.agreement(&words))
		}
	}
	return best
}

// decoys returns the codes that differ from c by half, by any one digit of the
// serial, or by one letter of the prefix, and the 100 serials on either side.
func decoys(c labels.Code) []labels.Code {
	var out []labels.Code
	add := func(prefix string, serial int) {
		for half := 0; half <= 2; half++ {
			if d := (labels.Code{Prefix: prefix, Serial: serial, Half: half}); d.Valid() == nil {
				out = append(out, d)
			}
		}
	}
	for serial := c.Serial - 100; serial <= c.Serial+100; serial++ {
		add(c.Prefix, serial)
	}
	for place := 100; place <= labels.MaxSerial; place *= 10 {
		for digit := range 10 {
			add(c.Prefix, c.Serial+(digit-c.Serial/place%10)*place)
		}
	}
	for i := range len(c.Prefix) {
		for letter := byte('A'); letter <= 'Z'; letter++ {
			add(c.Prefix[:i]+string(letter)+c.Prefix[i+1:], c.Serial)
		}
	}
	return out
}

// leastClearness bounds the weight by which scores are divided from below: a
// symbol of which only a few modules can be told must not score high on them.
const leastClearness = 0.35

// A byteTable holds for each code word what each of its values would agree
// with the soft values, as a share of all there is to agree with.
type byteTable [codewords][256]float32

func (s *softness) byteTable(mask int) *byteTable {
	var v [codewords * 8]float64
	total := 0.0
	for i, p := range version1.data {
		v[i] = s[p.y][p.x]
		if version1.masks[mask][p.y][p.x] {
			v[i] = -v[i]
		}
		total += math.Abs(v[i])
	}
	total = max(total, leastClearness*float64(len(v)))
	table := new(byteTable)
	for i := range table {
		for value := range table[i] {
			sum := 0.0
			for bit := range 8 {
				if value>>(7-bit)&1 == 1 {
					sum += v[i*8+bit]
				} else {
					sum -= v[i*8+bit]
				}
			}
			table[i][value] = float32(sum / total)
		}
	}
	return table
}

// agreement returns the share of the soft values' clearness that agrees with
// the words, less the share that does not.
func (t *byteTable) agreement(words *[codewords]byte) float64 {
	sum := float32(0)
	for i, w := range words {
		sum += t[i][w]
	}
	return float64(sum)
}
