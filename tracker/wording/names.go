package wording

import "strings"

// And joins names as a sentence does: "A, B and C". Names are given by people:
// one that would break the sentence stands in quotes, as in `"epoxy, slow" and
// casein`.
func And(names []string) string {
	names = quoted(names)
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

// quoted puts between quotes those that break a sentence.
func quoted(names []string) (out []string) {
	for _, n := range names {
		if BreaksSentence(n) {
			n = `"` + strings.ReplaceAll(n, `"`, "'") + `"`
		}
		out = append(out, n)
	}
	return out
}
