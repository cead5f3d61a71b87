package labels

import (
	"strings"
	"testing"
)

func TestAlike(t *testing.T) {
	want := func(text string) string {
		t.Helper()
		c, err := Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		return c.String()
	}
	for _, test := range []struct{ text, code string }{
		{"HBR-O17-J", want("HBR-017-J")}, {"hbr o17 j", want("HBR-017-J")}, {"HBRO17J", want("HBR-017-J")},
		{"HBR-0l7-J", want("HBR-017-J")}, {"HBR-OI7-J/1", want("HBR-017-J/1")}, {"HBR-OI7-J/l", want("HBR-017-J/1")},
		{"HBR-017-J", ""}, // Parse takes it
		{"HBR-O17-K", ""}, // the check character does not agree
		{"HBR-O71-J", ""}, // nor here
		{"HBO-O17-J", ""}, // no prefix has an O
		{"O17", ""}, {"", ""}, {"OOOOOOOOOOOO", ""}, {"HBR-OOOOOOOOO-J", ""}, {"OIL", ""},
	} {
		got, ok := Alike(test.text)
		if ok != (test.code != "") || ok && got.String() != test.code {
			t.Errorf("Alike(%q) = %v, %v; want %q", test.text, got, ok, test.code)
		}
	}
}

// Every code that can be dealt is found again with all its zeros and ones written
// as letters, behind the prefix, unless what is written is a code itself.
func TestAlikeFindsEveryCode(t *testing.T) {
	letters := strings.NewReplacer("0", "O", "1", "L")
	for serial := 1; serial <= 3000; serial++ {
		c := New("HBR", serial)
		c.Half = serial % 3
		text := "HBR" + letters.Replace(strings.TrimPrefix(c.String(), "HBR"))
		if !c.Legible() || text == c.String() {
			continue
		}
		if got, ok := Alike(text); !ok || got != c {
			t.Fatalf("Alike(%q) = %v, %v; want %v", text, got, ok, c)
		}
	}
}
