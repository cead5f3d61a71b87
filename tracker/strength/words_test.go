package strength_test

import (
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// findings are the findings of r in the words of a study in MPa.
func findings(r strength.Report) []string { return wording.Findings(r.Findings, loft()) }

// reasons are reasons in words.
func reasons(all []strength.Reason) []string { return words(all, wording.Reason) }

// warnings are those of a group in words.
func warnings(g strength.Group) []string { return words(g.Warnings, wording.WarningInTable) }

func words[T any](all []T, word func(T) string) (texts []string) {
	for _, x := range all {
		texts = append(texts, word(x))
	}
	return texts
}
