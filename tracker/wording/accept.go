package wording

import (
	"fmt"
	"slices"

	"soaktag/tracker"
)

// AcceptCommand is the command that accepts the marks given, of several rules the
// first.
func AcceptCommand(asking []tracker.Mark) string {
	first, whom, more := asking[0], asking[0].Code, ""
	if whom == "" {
		whom = first.Event
	}
	switch {
	case len(asking) > 1 && sameRule(asking):
		return fmt.Sprintf("soaktag accept --rule %q --reason \"why it stands\" (every mark of that rule)", first.Rule)
	case len(asking) > 1:
		more = " (the first of them; soaktag status lists all)"
	}
	return fmt.Sprintf("soaktag accept %s --rule %q --reason \"why it stands\"%s", whom, first.Rule, more)
}

func sameRule(marks []tracker.Mark) bool {
	return !slices.ContainsFunc(marks, func(m tracker.Mark) bool { return m.Rule != marks[0].Rule })
}

// acceptedAlone names marks that want a reason of their own.
func acceptedAlone(marks []tracker.Mark) (out []Sentence) {
	for _, m := range marks {
		out = append(out, warn("left open: %s", markOn(m)))
	}
	return append(out, advise(fmt.Sprintf("accepting that makes another try the break, and wants its own reason: soaktag accept %s --rule %q --reason \"why that one counts\"",
		ShellWord(marks[0].Code), marks[0].Rule)))
}
