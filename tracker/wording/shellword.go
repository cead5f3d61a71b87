package wording

import (
	"strings"
	"unicode/utf8"
)

// ShellWord quotes a word that a shell would take apart, so that it does nothing
// but stand for itself.
func ShellWord(word string) string {
	const plain = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./:@%+=,"
	switch {
	case strings.HasPrefix(word, "-"): // no flag
		return ShellWord("./" + word)
	case madeOf(plain, word):
		return word
	case madeOf(plain+" ", word):
		return `"` + word + `"`
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}

// madeOf reports whether a word has no other ASCII characters.
func madeOf(chars, word string) bool {
	other := func(c rune) bool { return c < utf8.RuneSelf && !strings.ContainsRune(chars, c) }
	return word != "" && !strings.ContainsFunc(word, other)
}
