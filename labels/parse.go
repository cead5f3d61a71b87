package labels

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

// ErrNotACode is returned for text that does not have the form of a code.
var ErrNotACode = errors.New("not a code: want a form such as HBR-017-J or HBR-017-J/1")

// A CheckError reports text that has the form of a code, and a check character
// that does not belong to it: at least one character was misread or mistyped.
type CheckError struct {
	Text string // as read
	Code Code   // as the text has it; do not trust its prefix or serial
	Got  byte   // the check character as read
}

func (e *CheckError) Error() string {
	return fmt.Sprintf("%q has a wrong check character: a character is misread or mistyped; read it again, or compare it with the label", e.Text)
}

// longest is the most bytes that are looked at; no code, however it is
// mistyped, is longer.
const longest = 64

// Parse reads a code as scanned or typed, printed or packed. It ignores case
// and spaces, takes missing hyphens and a half after any of the usual signs
// (HBR-017-J/1, hbr 017 j 1, HBR017J1), and undoes the keys of a foreign
// keyboard layout: digits from the top row of a French keyboard without
// Shift, and letters that a scanner of US layout puts wrong on a French or
// German keyboard. A foreign layout is believed only when the check character
// is then right, and letters are moved only where that changes the prefix, or
// where the top row shows the layout: so a code with a single wrong character
// is never taken for another code of the same study.
//
// A packed code of a whole specimen with four digits may also read as a half of
// one with three (HBR12341 is 1234-1 or 123-4/1). The reading whose check
// character is right counts. Both never are: behind a right check character
// the running state is 2, from which the next check character is Z, not 1 or 2.
//
// The error is ErrNotACode when the text does not have the form of a code, or a
// *CheckError when only the check character is wrong.
func Parse(text string) (Code, error) {
	clean := tidy(text)
	if clean == "" {
		return Code{}, ErrNotACode
	}
	c, err := read(clean, text)
	if err == nil {
		return c, nil
	}
	if c, ok := foreign(clean); ok {
		return c, nil
	}
	return Code{}, err
}

// tidy returns the text in capitals without spaces, controls and byte order
// marks; empty when it is too long for a code.
func tidy(text string) string {
	if len(text) > longest {
		return ""
	}
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || unicode.IsControl(r) || r == '\ufeff' || r == '\u200b' {
			return -1
		}
		return unicode.ToUpper(r)
	}, text)
}

// foreign tries the layouts, likeliest first.
func foreign(clean string) (Code, bool) {
	if french(clean) {
		return readFrench(clean)
	}
	for _, keys := range []func(string) string{qwertz, azerty} {
		moved := keys(clean)
		if prefixOf(moved) == prefixOf(clean) {
			continue // only the check character would change: that is an error like any other
		}
		if c, err := read(moved, clean); err == nil {
			return c, true
		}
	}
	return Code{}, false
}

// readFrench reads text with the top row unshifted. A scanner of US layout moves its letters as
// well, and writes ) for a hyphen, which shows it. A hand on a French keyboard leaves letters as they stand,
// and each of its hyphens may be a six. Where that gives several codes none is read.
func readFrench(clean string) (code Code, ok bool) {
	texts := []string{allSix(azerty(clean))}
	if !strings.Contains(clean, ")") {
		texts = append(texts, someSix(clean)...)
	}
	for _, text := range texts {
		c, err := read(digits(text), clean)
		if err != nil || ok && c == code {
			continue
		}
		if ok {
			return Code{}, false
		}
		code, ok = c, true
	}
	return code, ok
}

// prefixOf returns the leading letters.
func prefixOf(text string) string {
	return text[:len(text)-len(strings.TrimLeft(text, "ABCDEFGHIJKLMNOPQRSTUVWXYZ,?"))]
}

// fields is a code cut at its boundaries: prefix, serial, check and half. cut
// marks which boundaries carried a separator.
type fields struct {
	prefix, serial, half string
	check                byte
}

// read reads capitals in the US layout.
func read(clean, original string) (Code, error) {
	packed, cuts, ok := unpack(clean)
	if !ok {
		return Code{}, ErrNotACode
	}
	err := error(ErrNotACode)
	for _, f := range readings(packed, cuts) {
		c, ok := f.code()
		if !ok {
			continue
		}
		if c.CheckCharacter() == f.check {
			return c, nil
		}
		if err == ErrNotACode {
			err = &CheckError{Text: strings.TrimSpace(original), Code: c, Got: f.check}
		}
	}
	return Code{}, err
}

// readings cuts packed text in the two possible ways, the half first, and
// keeps those whose boundaries lie wherever a separator was.
func readings(packed string, cuts []int) []fields {
	p := len(prefixOf(packed))
	var out []fields
	for _, half := range []int{1, 0} {
		check := len(packed) - 1 - half
		if check <= p || !within(cuts, p, check, check+1, half) {
			continue
		}
		f := fields{packed[:p], packed[p:check], packed[check+1:], packed[check]}
		delimited := len(cuts) >= 2 && cuts[0] == p && cuts[1] == check
		if f.serialOK(delimited) {
			out = append(out, f)
		}
	}
	return out
}

// within reports whether every separator lies at a boundary. The one before
// the half counts only when there is a half.
func within(cuts []int, prefix, check, half, hasHalf int) bool {
	for _, cut := range cuts {
		if cut != prefix && cut != check && (cut != half || hasHalf == 0) {
			return false
		}
	}
	return true
}

// serialOK takes serials as they are printed: three digits, or more without a
// leading zero. Between separators leading zeros may be missing.
func (f fields) serialOK(delimited bool) bool {
	n := len(f.serial)
	switch {
	case n < 3:
		return delimited
	case n > 3:
		return f.serial[0] != '0'
	}
	return true
}

func (f fields) code() (Code, bool) {
	serial, ok := number(f.serial)
	if !ok {
		return Code{}, false
	}
	c := Code{Prefix: f.prefix, Serial: serial}
	switch f.half {
	case "1", "2":
		c.Half = int(f.half[0] - '0')
	case "":
	default:
		return Code{}, false
	}
	return c, c.Valid() == nil
}

// number reads plain digits, at most five.
func number(s string) (int, bool) {
	if s == "" || len(s) > 5 || strings.Trim(s, "0123456789") != "" {
		return 0, false
	}
	n, err := strconv.Atoi(s)
	return n, err == nil
}

// separators are what stands, or comes out on some keyboard, where the printed
// code has a hyphen or a slash.
const separators = "-‐‑‒–—−_.:/\\|⁄∕／!ßẞ)+*#'"

// unpack removes separators and returns where they stood: the number of
// characters before each. Two in a row, one at either end, and any other
// character mean that this is no code.
func unpack(clean string) (packed string, cuts []int, ok bool) {
	var b strings.Builder
	for _, r := range clean {
		switch {
		case r < 128 && strings.IndexByte(alphabet, byte(r)) >= 0:
			b.WriteByte(byte(r))
		case strings.ContainsRune(separators, r) && b.Len() > 0 && (len(cuts) == 0 || cuts[len(cuts)-1] < b.Len()):
			cuts = append(cuts, b.Len())
		default:
			return "", nil, false
		}
	}
	if len(cuts) > 0 && cuts[len(cuts)-1] == b.Len() {
		return "", nil, false
	}
	return b.String(), cuts, b.Len() > 0
}

// ParseSerial reads a bare serial, with or without a half: 17, 017, #17,
// 17/2. It does not know whether such a specimen exists; a bare serial has no
// check character, so echo what it was taken for before it counts.
func ParseSerial(text string) (serial, half int, ok bool) {
	clean := strings.TrimPrefix(tidy(text), "#")
	if french(clean) {
		clean = digits(allSix(clean))
	}
	if i := strings.IndexAny(clean, "/\\⁄∕／"); i >= 0 {
		tail := strings.TrimLeft(clean[i:], "/\\⁄∕／")
		if tail != "1" && tail != "2" {
			return 0, 0, false
		}
		clean, half = clean[:i], int(tail[0]-'0')
	}
	serial, ok = number(clean)
	if !ok || serial < 1 {
		return 0, 0, false
	}
	return serial, half, true
}
