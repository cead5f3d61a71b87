package photo

import (
	"math"
	"slices"
	"unicode/utf8"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/common"
	"github.com/makiuchi-d/gozxing/qrcode/decoder"
)

// soft says of each module of a sheet how dark (above 0) or light (below) it
// is, row by row.
type soft []float64

// A form is what the format of a symbol says.
type form struct {
	level decoder.ErrorCorrectionLevel
	mask  int
	score float64
}

// levelBits are the names of the levels in the format, in the library's order.
var levelBits = map[uint16]decoder.ErrorCorrectionLevel{
	1: decoder.ErrorCorrectionLevel_L, 0: decoder.ErrorCorrectionLevel_M,
	3: decoder.ErrorCorrectionLevel_Q, 2: decoder.ErrorCorrectionLevel_H,
}

// mostForms is how many formats are tried: damage leaves more than one likely.
const mostForms = 3

// forms returns the formats that agree best with both copies.
func (s *sheet) forms(v soft) []form {
	var all []form
	for five := range uint16(32) {
		bits, score := formatBits(five), 0.0
		for _, copied := range s.format {
			for i, p := range copied {
				score += float64(int(bits>>(14-i)&1)*2-1) * v[p.y*s.n+p.x]
			}
		}
		all = append(all, form{levelBits[five>>3], int(five & 7), score})
	}
	slices.SortStableFunc(all, func(a, b form) int { return compare(b.score, a.score) })
	keep := 1
	for keep < mostForms && all[keep].score > 0.7*all[0].score {
		keep++
	}
	return all[:keep]
}

// words returns the code words under a mask, and how clear each is, to 255.
func (s *sheet) words(v soft, mask int) (words, clear []byte) {
	n := len(s.data) / 8
	words, clear = make([]byte, n), make([]byte, n)
	for i := range words {
		least := 1.0
		for bit, p := range s.data[8*i : 8*i+8] {
			value := v[p.y*s.n+p.x]
			least = min(least, math.Abs(value))
			if (value > 0) != masked(mask, p.x, p.y) {
				words[i] |= 0x80 >> bit
			}
		}
		clear[i] = byte(255 * least)
	}
	return words, clear
}

// A said is what a symbol says.
type said struct {
	text     string
	levelH   bool
	mirrored bool
}

// decode reads soft values as they are and mirrored, first as the format looks
// clearer.
func (s *sheet) decode(v soft) (said, bool) {
	over := s.turnedOver(v)
	plain, mirrored := s.forms(v), s.forms(over)
	if mirrored[0].score > plain[0].score {
		if t, ok := s.readAny(over, mirrored, true); ok {
			return t, true
		}
		return s.readAny(v, plain, false)
	}
	if t, ok := s.readAny(v, plain, false); ok {
		return t, true
	}
	return s.readAny(over, mirrored, true)
}

// readAny reads soft values in the first of the forms that makes sense.
func (s *sheet) readAny(v soft, forms []form, mirrored bool) (said, bool) {
	for _, f := range forms {
		if text, ok := s.read(v, f); ok {
			return said{text, f.level == decoder.ErrorCorrectionLevel_H, mirrored}, true
		}
	}
	return said{}, false
}

// turnedOver returns the values with rows and columns exchanged.
func (s *sheet) turnedOver(v soft) soft {
	out := make(soft, len(v))
	for y := range s.n {
		for x := range s.n {
			out[x*s.n+y] = v[y*s.n+x]
		}
	}
	return out
}

// read corrects the code words and reads the text they carry.
func (s *sheet) read(v soft, f form) (text string, ok bool) {
	defer func() {
		if recover() != nil { // the library, over words that no writer wrote
			text, ok = "", false
		}
	}()
	words, clear := s.words(v, f.mask)
	data, ok := s.corrected(words, clear, f.level)
	if !ok {
		return "", false
	}
	return s.textOf(data, f.level)
}

// corrected repairs the blocks that a level parts the words into, and joins
// their data.
func (s *sheet) corrected(words, clear []byte, level decoder.ErrorCorrectionLevel) (data []byte, ok bool) {
	blocks, err := decoder.DataBlock_GetDataBlocks(words, s.version, level)
	if err != nil {
		return nil, false
	}
	clearness, err := decoder.DataBlock_GetDataBlocks(clear, s.version, level)
	if err != nil {
		return nil, false
	}
	for i, b := range blocks {
		word, length := b.GetCodewords(), b.GetNumDataCodewords()
		if !correctErasing(word, len(word)-length, clearness[i].GetCodewords()) {
			return nil, false
		}
		data = append(data, word[:length]...)
	}
	return data, true
}

// correctErasing repairs a block, with ever more of its least clear words
// erased. Erasing must leave words unspent to be believed.
func correctErasing(word []byte, ec int, clear []byte) bool {
	if _, ok := correct(word, ec, nil); ok {
		return true
	}
	order := make([]int, len(word))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return int(clear[a]) - int(clear[b]) })
	step := max(2, (ec-spare)/5)
	for erased := step; erased <= ec-spare; erased += step {
		tried := slices.Clone(word)
		if errors, ok := correct(tried, ec, order[:erased]); ok && 2*errors+erased <= ec-spare {
			copy(word, tried)
			return true
		}
	}
	return false
}

// textOf reads the text of corrected words. Bytes that are UTF-8 are taken for
// it, unless the symbol names another code itself.
func (s *sheet) textOf(data []byte, level decoder.ErrorCorrectionLevel) (string, bool) {
	result, err := decoder.DecodedBitStreamParser_Decode(data, s.version, level, nil)
	if err != nil || result.GetText() == "" {
		return "", false
	}
	if !wideUTF8(result) {
		return result.GetText(), true
	}
	hints := map[gozxing.DecodeHintType]interface{}{gozxing.DecodeHintType_CHARACTER_SET: "UTF-8"}
	if again, err := decoder.DecodedBitStreamParser_Decode(data, s.version, level, hints); err == nil {
		result = again
	}
	return result.GetText(), true
}

// wideUTF8 reports whether the bytes of a text are UTF-8 and not ASCII alone.
func wideUTF8(result *common.DecoderResult) bool {
	wide := false
	for _, b := range result.GetByteSegments() {
		if !utf8.Valid(b) {
			return false
		}
		wide = wide || slices.ContainsFunc(b, func(c byte) bool { return c >= utf8.RuneSelf })
	}
	return wide
}
