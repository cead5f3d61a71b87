package labels

import "strings"

// A scanner types as a keyboard does. Where it was set up for another layout
// than the computer's, some keys come out as others; so does a hand on a
// French keyboard that forgets to hold Shift for the digits.

// unshifted maps the top row of a French keyboard without Shift, in capitals,
// to the digits on the same keys.
var unshifted = map[rune]rune{
	'&': '1', 'É': '2', '"': '3', '\'': '4', '(': '5',
	'-': '6', 'È': '7', '_': '8', 'Ç': '9', 'À': '0',
}

// distinct are the characters of that row that are not separators too: only
// they show that the row was typed.
const distinct = "&É\"(ÈÇÀ"

// french reports whether the text shows the unshifted top row.
func french(text string) bool { return strings.ContainsAny(text, distinct) }

// digits replaces the unshifted top row by its digits. A hyphen, which is both the key of 6
// and a separator, stays: see allSix and someSix.
func digits(text string) string {
	return strings.Map(func(r rune) rune {
		if d, ok := unshifted[r]; ok && r != '-' {
			return d
		}
		return r
	}, text)
}

// allSix takes every hyphen for the key of 6.
func allSix(text string) string { return strings.ReplaceAll(text, "-", "6") }

// mostHyphens is how many hyphens a code has that was typed so: two, and a serial of sixes.
const mostHyphens = 7

// someSix lists what a text may be whose hyphens are each a six or a hyphen.
func someSix(text string) []string {
	if strings.Count(text, "-") > mostHyphens {
		return nil
	}
	all := []string{text}
	for i, r := range text {
		if r != '-' {
			continue
		}
		for _, one := range all {
			all = append(all, one[:i]+"6"+one[i+1:])
		}
	}
	return all
}

// qwertz undoes a scanner of US layout on a German keyboard, or the reverse.
func qwertz(text string) string {
	return swap(text, strings.NewReplacer("Y", "Z", "Z", "Y"))
}

// azerty undoes a scanner of US layout on a French keyboard, as far as letters go.
func azerty(text string) string {
	return swap(text, strings.NewReplacer("A", "Q", "Q", "A", "W", "Z", "Z", "W", ",", "M", "?", "M"))
}

func swap(text string, keys *strings.Replacer) string { return keys.Replace(text) }
