package wording

import "testing"

func TestShellWord(t *testing.T) {
	for word, want := range map[string]string{
		"IMG_0001.jpg":    "IMG_0001.jpg",
		"a b.jpg":         `"a b.jpg"`,
		"Größe.jpg":       "Größe.jpg",
		"-b.jpg":          "./-b.jpg",
		"a$(touch p).jpg": `'a$(touch p).jpg'`,
		"it's {1}!.jpg":   `'it'\''s {1}!.jpg'`,
		"":                "''",
	} {
		if got := ShellWord(word); got != want {
			t.Errorf("%q: %s, not %s", word, got, want)
		}
	}
}
