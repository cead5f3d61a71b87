package plan

import (
	"fmt"
	"runtime"
	"slices"
	"strings"
	"testing"

	"soaktag/tracker"
)

// allocated is how many bytes reading a text as a plan takes.
func allocated(text string) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	Check("plan.toml", []byte(text))
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// A plan twice as long takes twice the work, and a key of 20,000 parts little: its places alone would
// take 400 MB.
func TestLongPlansAreReadInProportion(t *testing.T) {
	adhesives := func(n int) (text string) {
		for i := range n {
			text += fmt.Sprintf("[adhesive.A%d]\nname = \"invented %d\"\n", i, i)
		}
		return text
	}
	if few, many := allocated(adhesives(400)), allocated(adhesives(1600)); many > 6*few {
		t.Errorf("400 adhesives take %d bytes, 1,600 %d", few, many)
	}
	for name, text := range map[string]string{
		"dotted key":    strings.Repeat("a.", 20_000) + "a = 1",
		"nested tables": "a = " + strings.Repeat("{ a = ", 2000) + "1" + strings.Repeat("}", 2000),
		"nested lists":  "a = " + strings.Repeat("[", 2000) + strings.Repeat("]", 2000),
	} {
		if n := allocated(text); n > 50e6 {
			t.Errorf("%s: %d bytes", name, n)
		}
		_, problems := Check("plan.toml", []byte(text))
		if !slices.ContainsFunc(problems, func(p Problem) bool { return p.Level == Error && p.Rule == "too-deep" && p.Line == 1 }) {
			t.Errorf("%s: %v", name, problems)
		}
	}
}

// What nobody could tell apart by hand is refused before anything long is worked out.
func TestTooManyOfSomething(t *testing.T) {
	for n, want := range map[int]string{mostAdhesives: "", mostAdhesives + 1: "the plan has 501 adhesives, more than 500"} {
		problems := Names("plan.toml", &tracker.Study{Adhesives: make([]tracker.Adhesive, n)})
		if said := fmt.Sprint(problems); (want == "") != (len(problems) == 0) || !strings.Contains(said, want) {
			t.Errorf("%d adhesives: %s", n, said)
		}
	}
}
