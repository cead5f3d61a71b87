package screen

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// Width is how wide a list may get before it goes on in the next line.
const Width = 100

// Fold sets words into lines that begin with lead and are no wider than width,
// if a word is not.
func Fold(width int, words []string, lead string) Block {
	var out strings.Builder
	line := ""
	for _, word := range words {
		word = Line(word)
		if line != "" && utf8.RuneCountInString(lead+line+" "+word) > width {
			out.WriteString(lead + line + "\n")
			line = ""
		}
		line = strings.TrimSpace(line + " " + word)
	}
	out.WriteString(lead + line + "\n")
	return Block(out.String())
}

// List sets words with commas between them into lines that begin with lead.
func List(words []string, lead string) Block {
	listed := slices.Clone(words)
	for i := range max(0, len(words)-1) {
		listed[i] += ","
	}
	return Fold(Width, listed, lead)
}

// Prose breaks a text into lines, the first with a lead of its own.
func Prose(text, first, lead string) Block {
	return ProseTo(Width, text, first, lead)
}

// ProseTo is Prose for lines of another width.
func ProseTo(width int, text, first, lead string) Block {
	set := string(Fold(width, strings.Fields(text), lead))
	return Block(Line(first) + strings.TrimPrefix(set, lead))
}
