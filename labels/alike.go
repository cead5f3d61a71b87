package labels

import "strings"

// mostAlike is how many characters of a code may be letters that stand for digits:
// five of the serial, the check character and the half.
const mostAlike = 7

// Alike reads a code in which somebody wrote a letter for the digit that it looks
// like, O for 0 and I or L for 1, behind the prefix, which has none of them. The
// check character must then be right. It is no reading to trust unsaid: echo the
// code before it counts. It reports false where Parse takes the text, and where
// no code or more than one comes out.
func Alike(text string) (code Code, ok bool) {
	clean := tidy(text)
	if _, err := Parse(text); err == nil || clean == "" {
		return Code{}, false
	}
	for _, candidate := range digitsFor(clean) {
		c, err := read(candidate, clean)
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

// digitsFor lists the texts that come of writing digits for some of the letters
// that look like one.
func digitsFor(clean string) []string {
	all := []string{clean}
	digit := map[byte]string{'O': "0", 'I': "1", 'L': "1"}
	found := 0
	for i := 0; i < len(clean); i++ {
		to, alike := digit[clean[i]]
		if !alike {
			continue
		}
		if found++; found > mostAlike || len(strings.Trim(clean[:i], separators)) < 2 {
			return nil // a prefix has two letters that look like no digit
		}
		for _, text := range all {
			all = append(all, text[:i]+to+text[i+1:])
		}
	}
	return all
}
