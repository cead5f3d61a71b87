package photo

import (
	"encoding/csv"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"soaktag/labels"
	"soaktag/labels/qr"
)

// The sizes of version 1, level H, against ISO/IEC 18004 as tabulated in
// testdata/qr_capacity.csv.
func TestSizesAgainstPublishedTable(t *testing.T) {
	f, err := os.Open("../../testdata/qr_capacity.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]int{"modules_per_side": size, "total_codewords": codewords, "ec_codewords": ecWords,
		"data_codewords": dataWords, "data_bits": dataWords * 8, "remainder_bits": 0, "ec_blocks": 1}
	checked := 0
	for _, row := range rows[1:] {
		if row[0] != "1" || row[2] != "H" {
			continue
		}
		for i, name := range rows[0] {
			if w, ok := want[name]; ok {
				if got, _ := strconv.Atoi(row[i]); got != w {
					t.Errorf("%s: published %d, here %d", name, got, w)
				}
				checked++
			}
		}
	}
	if checked != len(want) {
		t.Errorf("checked %d columns, want %d", checked, len(want))
	}
}

// Format information as published in ISO/IEC 18004, annex C (level H), and its
// worked example in 7.9.1 (level M, mask 5).
func TestPublishedFormats(t *testing.T) {
	for mask, want := range []string{
		"001011010001001", "001001110111110", "001110011100111", "001100111010000",
		"000011101100010", "000001001010101", "000110100001100", "000100000111011",
	} {
		if got, _ := strconv.ParseUint(want, 2, 16); uint16(got) != version1.formats[mask] {
			t.Errorf("mask %d: %015b, published %s", mask, version1.formats[mask], want)
		}
	}
	if got := formatBits(0b00101); got != 0b100000011001110 {
		t.Errorf("level M, mask 5: %015b", got)
	}
}

// Data, format and function modules share the symbol out without rest.
func TestLayoutCoversTheSymbol(t *testing.T) {
	uses := map[place]int{}
	for y := range size {
		for x := range size {
			if version1.function[y][x] != 0 {
				uses[place{x, y}]++
			}
		}
	}
	for _, p := range version1.data {
		uses[p]++
	}
	for _, copied := range version1.format {
		for _, p := range copied {
			uses[p]++
		}
	}
	if len(uses) != size*size {
		t.Errorf("%d of %d modules are used", len(uses), size*size)
	}
	for p, n := range uses {
		if n != 1 {
			t.Errorf("module %v is used %d times", p, n)
		}
	}
}

// What another library encodes is decoded without an error, and its code words
// are those that wordsOf gives.
func TestDecodesWhatIsPrinted(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 7))
	for range 400 {
		text := randomCode(rng).Packed()
		soft := printed(t, text)
		d, ok := soft.decode()
		if !ok || d.text != text || d.cost() != 0 {
			t.Fatalf("%s decodes as %q, %v, cost %d", text, d.text, ok, d.cost())
		}
		if words, ok := wordsOf(text); !ok || words != d.words {
			t.Fatalf("%s: %x, wordsOf says %x", text, d.words, words)
		}
		if *symbolOf(d.words, d.mask) != *soft {
			t.Fatalf("%s is drawn otherwise", text)
		}
	}
}

// printed returns the soft values of the symbol as labels/qr prints it.
func printed(t testing.TB, text string) *softness {
	t.Helper()
	s, err := qr.Encode(text)
	if err != nil || s.Size != size {
		t.Fatalf("%q: size %d, %v", text, s.Size, err)
	}
	soft := &softness{}
	for y := range size {
		for x := range size {
			soft[y][x] = -1
			if s.Dark(x, y) {
				soft[y][x] = 1
			}
		}
	}
	return soft
}

// randomCode returns a legible code of a random study.
func randomCode(rng *rand.Rand) labels.Code {
	const letters = "ABCDEFGHJKMNPQRSTUVWXYZ"
	for {
		c := labels.Code{Serial: 1 + rng.IntN(1+rng.IntN(labels.MaxSerial)), Half: rng.IntN(3)}
		for range 2 + rng.IntN(2) {
			c.Prefix += string(letters[rng.IntN(len(letters))])
		}
		if c.Legible() {
			return c
		}
	}
}

func TestTextsThatDoNotFit(t *testing.T) {
	for _, text := range []string{"", "ABCDEFGHJKM", "123456789012345678", "lower", "a", "AB\x00"} {
		if words, ok := wordsOf(text); ok {
			t.Errorf("%q became %x", text, words)
		}
	}
	for _, data := range [][]byte{make([]byte, 9), {0x20, 0, 0, 0, 0, 0, 0, 0, 0}, {0x40, 0x61, 0x20, 0, 0, 0, 0, 0, 0}} {
		if text, ok := message(data); ok {
			t.Errorf("%x says %q", data, text)
		}
	}
}

// Padding that is not the standard's, or a bit behind the terminator, is no
// text of ours.
func TestPaddingIsChecked(t *testing.T) {
	words, _ := wordsOf("HBR017J1")
	if text, ok := message(words[:dataWords]); !ok || text != "HBR017J1" {
		t.Fatalf("%q, %v", text, ok)
	}
	for i := range 8 {
		broken := words
		broken[dataWords-1] ^= 1 << i
		if text, ok := message(broken[:dataWords]); ok {
			t.Errorf("bit %d of the padding changed: %q", i, text)
		}
	}
}
