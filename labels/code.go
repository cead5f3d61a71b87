// Package labels is the sticker: the code of a specimen, the cards that set a
// stage, and the geometry of the stock they are printed on.
//
// A code such as HBR-017-J/1 is a study prefix, a serial, an ISO/IEC 7064
// MOD 37,36 check character over both, and the half of the specimen. In the
// symbol it is packed without separators: HBR017J1. The check character does
// not cover the half, so both halves carry the same one.
package labels

import (
	"fmt"
	"strconv"
)

// MaxSerial is the largest serial: with three letters, the check character and
// the half it fills the ten characters that the smallest QR symbol holds.
const MaxSerial = 99999

// A Code names a specimen, or one half of it. Two Codes are the same specimen
// when they are equal with Half set to 0.
type Code struct {
	Prefix string // two or three letters, no I, L, O
	Serial int    // from 1
	Half   int    // 1, 2, or 0 for the whole specimen
}

// New returns the code of a whole specimen. It does not judge its arguments;
// Valid does.
func New(prefix string, serial int) Code { return Code{Prefix: prefix, Serial: serial} }

// Valid says what is wrong with the code, or returns nil: the prefix is two or
// three capitals without I, L and O, the serial lies in 1 to MaxSerial and the
// half in 0 to 2.
func (c Code) Valid() error {
	switch {
	case !prefixOK(c.Prefix):
		return fmt.Errorf("prefix %q: want two or three capitals without I, L and O", c.Prefix)
	case c.Serial < 1 || c.Serial > MaxSerial:
		return fmt.Errorf("serial %d: want 1 to %d", c.Serial, MaxSerial)
	case c.Half < 0 || c.Half > 2:
		return fmt.Errorf("half %d: want 1 or 2, or 0 for the whole specimen", c.Half)
	}
	return nil
}

// CheckCharacter returns the code's check character, or '?' when the prefix
// holds something that has none.
func (c Code) CheckCharacter() byte {
	check, err := Check(c.payload())
	if err != nil {
		return '?'
	}
	return check
}

// Whole returns the code of the specimen that the half belongs to.
func (c Code) Whole() Code {
	c.Half = 0
	return c
}

// String returns the code as people read it: HBR-017-J, or HBR-017-J/1 for a
// half. The serial has at least three digits.
func (c Code) String() string {
	s := fmt.Sprintf("%s-%03d-%c", c.Prefix, c.Serial, c.CheckCharacter())
	if c.Half != 0 {
		s += "/" + strconv.Itoa(c.Half)
	}
	return s
}

// Packed returns the code as it stands in a symbol: HBR017J, or HBR017J1 for
// a half. It has at most ten characters.
func (c Code) Packed() string {
	s := c.payload() + string(c.CheckCharacter())
	if c.Half != 0 {
		s += strconv.Itoa(c.Half)
	}
	return s
}

// payload is what the check character covers.
func (c Code) payload() string { return fmt.Sprintf("%s%03d", c.Prefix, c.Serial) }

// Deal returns the first n codes of a study in order of serial, leaving out
// every serial whose check character would be I or O, which are easily taken
// for 1 and 0. It returns fewer than n only when MaxSerial is reached.
func Deal(prefix string, n int) []Code {
	var codes []Code
	for serial := 1; serial <= MaxSerial && len(codes) < n; serial++ {
		if c := New(prefix, serial); c.Legible() {
			codes = append(codes, c)
		}
	}
	return codes
}

// Legible reports whether the check character is neither I nor O.
func (c Code) Legible() bool {
	check := c.CheckCharacter()
	return check != 'I' && check != 'O'
}

func prefixOK(prefix string) bool {
	if len(prefix) < 2 || len(prefix) > 3 {
		return false
	}
	for _, r := range prefix {
		if r < 'A' || r > 'Z' || r == 'I' || r == 'L' || r == 'O' {
			return false
		}
	}
	return true
}
