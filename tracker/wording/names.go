package wording

import (
	"slices"
	"strings"
)

// And joins names as a sentence does: "A, B and C". Names are given by people:
// where one of them would break the sentence all stand in quotes, as in
// `"epoxy, slow" and "casein"`.
func And(names []string) string {
	if slices.ContainsFunc(names, BreaksSentence) {
		names = quoted(names)
	}
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

// BreaksSentence reports whether a name would read as several, or as the end of
// what is said.
func BreaksSentence(name string) bool {
	return strings.ContainsAny(name, ",;:") || strings.Contains(" "+name+" ", " and ")
}

func quoted(names []string) (out []string) {
	for _, n := range names {
		out = append(out, `"`+strings.ReplaceAll(n, `"`, "'")+`"`)
	}
	return out
}
