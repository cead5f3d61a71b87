package main

import (
	"regexp"
	"strings"
	"testing"

	"soaktag/tracker/design"
	"soaktag/tracker/plan"
)

// TestOutlineComments takes the comment signs off the keys that outline only
// mentions: they are as the plan file wants them, and the wood is in the table.
// A schedule by name stands instead of times of one's own, so they are tried apart.
func TestOutlineComments(t *testing.T) {
	key := regexp.MustCompile(`(?m)^# (\[|"?[a-z][a-z_ 0-9]*"? *= )`)
	whole := key.ReplaceAllString(outlinePlan, "$1")
	own := regexp.MustCompile(`(?m)^(\[treatment\.soaked\.interval\]|"(soak|dry) \d" *=).*\n`)
	preset := regexp.MustCompile(`(?m)^protocol = .*\n`)
	for name, text := range map[string]string{"as written": outlinePlan, "times": preset.ReplaceAllString(whole, ""), "schedule": own.ReplaceAllString(whole, "")} {
		study, problems := plan.Check("outline.toml", []byte(text))
		for _, p := range problems {
			if p.Level == plan.Error {
				t.Errorf("%s: %v", name, p)
			}
		}
		if _, err := design.FindWood(study.Wood.Species); err != nil {
			t.Error(err)
		}
		if all := name != "as written"; all != (study.People == 1) || all != (study.Rigs[0].Stroke > 0) {
			t.Errorf("%s: the comments were not taken off", name)
		}
	}
	for i, line := range strings.Split(outlinePlan, "\n") {
		if len(line) > 120 {
			t.Errorf("line %d is %d wide", i+1, len(line))
		}
	}
}
