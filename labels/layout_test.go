package labels

import (
	"strings"
	"testing"
)

// frenchScanner is what a scanner of US layout types on a French keyboard: keys by their place (the
// common layouts of both, from memory).
var frenchScanner = strings.NewReplacer("A", "Q", "Q", "A", "W", "Z", "Z", "W", "M", ",",
	"1", "&", "2", "é", "3", "\"", "4", "'", "5", "(", "6", "-", "7", "è", "8", "_", "9", "ç", "0", "à", "-", ")", "/", "!")

// frenchHand is what a hand types there that forgets Shift.
var frenchHand = strings.NewReplacer("1", "&", "2", "é", "3", "\"", "4", "'", "5", "(", "6", "-", "7", "è", "8", "_", "9", "ç", "0", "à")

// No code is ever read as another one, with letters that a French keyboard has elsewhere in its
// prefix and as its check character; a scanner's is read, hyphens and all.
func TestFrenchKeysNeverGiveAnotherCode(t *testing.T) {
	for _, prefix := range []string{"YAZ", "YQW", "AQW", "QAZ", "MAZ", "WAZ", "ZWA", "HBR", "BEN"} {
		for serial := 1; serial <= 1200; serial++ {
			for half := range 3 {
				code := New(prefix, serial)
				code.Half = half
				digits := strings.ContainsAny(code.String(), "1235790") // else nothing shows the layout
				for what, typed := range map[string]string{"scanned": frenchScanner.Replace(code.String()), "by hand": frenchHand.Replace(code.String()),
					"scanned, packed": frenchScanner.Replace(strings.NewReplacer("-", "", "/", "").Replace(code.String()))} {
					got, err := Parse(typed)
					if err == nil && got != code {
						t.Fatalf("%s %s, %q, is read as %s", what, code, typed, got)
					}
					if err != nil && what == "scanned" && digits {
						t.Fatalf("%s %s, %q: %v", what, code, typed, err)
					}
				}
			}
		}
	}
}
