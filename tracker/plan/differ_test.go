package plan

import (
	"fmt"
	"strings"
	"testing"
)

func TestDifferences(t *testing.T) {
	old := `[study]
title = "x"
[wood]
boards = [{ name = "A", size = "1 m" }, { name = "B", size = "2 m" }]
[interval]
soak = "7 d +/- 4 h"
"wet hold" = "at most 30 min"
[[rig]]
name = "press"
parts = [{ name = "frame", working_limit = "98 kN" }]
[shop]
hours = { tue = "09:00-21:30" }`
	new := `# another order, comments, and a board put in between
[interval]
"wet hold" = "at most 30 min"
soak = "20 d +/- 4 h" # longer
[study]
title = "x"
[adhesive.CAS]
name = "casein"
[wood]
boards = [{ name = "C", size = "3 m" }, { name = "A", size = "1 m" }, { name = "B", size = "2 m" }]
[[rig]]
name = "press"
parts = [{ name = "frame", working_limit = "50 kN" }]`
	got, err := Differences([]byte(old), []byte(new))
	want := []string{"interval.soak: 7 d +/- 4 h -> 20 d +/- 4 h", "adhesive.CAS.name:  -> casein", "wood.boards.C.name:  -> C", "wood.boards.C.size:  -> 3 m",
		"rig.press.parts.frame.working_limit: 98 kN -> 50 kN", "shop.hours.tue: 09:00-21:30 -> "}
	var lines []string
	for _, d := range got {
		lines = append(lines, fmt.Sprintf("%s: %s -> %s", d.Key, d.Old, d.New))
	}
	if err != nil || strings.Join(lines, "\n") != strings.Join(want, "\n") {
		t.Errorf("%v\n%s", err, strings.Join(lines, "\n"))
	}
	if _, err := Differences([]byte(old), []byte("= 1")); err == nil {
		t.Error("no error for what is not TOML")
	}
}
