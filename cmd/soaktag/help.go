package main

import (
	"embed"
	"strings"
)

// helpTexts is what --help says of each command, one file a command: examples to
// copy first, a remark indented below the one it is about, then what is to be known.
//
//go:embed help/*.txt
var helpTexts embed.FS

// helpOf is the text of a command, named by its words; empty where it has none.
func helpOf(words ...string) string {
	text, err := helpTexts.ReadFile("help/" + strings.Join(words, "-") + ".txt")
	if err != nil {
		return ""
	}
	return string(text)
}
