package labels

import "testing"

func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"", "", 0}, {"ash", "ash", 0}, {"", "ash", 3}, {"ash", "", 3}, {"ash", "as", 1}, {"ash", "aash", 1}, {"ash", "ask", 1},
		{"ash", "ahs", 1},        // two neighbours exchanged
		{"ca", "abc", 3},         // nothing is edited twice
		{"kitten", "sitting", 3}, // Wagner and Fischer's measure; the usual example
		{"Größe", "Grösse", 2},   // characters, not bytes
		{"soak", "Soak", 1},
	} {
		if got := Distance(c.a, c.b); got != c.want {
			t.Errorf("%q to %q: %d, want %d", c.a, c.b, got, c.want)
		}
	}
}
