package plan

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

const presetPlan = `
study = { title = "One schedule", prefix = "PRE", zone = "UTC" }
specimen.bond = "40 mm x 45 mm"
[adhesive.CAS]
[interval]
clamp = "24 h +/- 2 h"
cure = "14 d +/- 1 d"
soak = "2 d +/- 4 h"
"wet hold" = "at most 30 min"
`

// named is a plan whose treatment x follows a schedule by its name, with its
// open steps filled in beside it.
func named(p schedule.Protocol) string {
	text := presetPlan + fmt.Sprintf("[treatment.x]\nreplicates = 3\nprotocol = %q\n[treatment.x.interval]\n", p.Name)
	for _, step := range p.Open() {
		iv, _ := p.IntervalOf(step)
		text += fmt.Sprintf("%q = %q\n", iv.Name, fill(p.Steps[step]))
	}
	return text
}

func fill(s schedule.Step) schedule.Planned {
	if len(s.Choices) > 0 {
		return s.Choices[0]
	}
	return schedule.Planned{Kind: schedule.AtLeast, Length: time.Hour}
}

func filled(t *testing.T, p schedule.Protocol) schedule.Protocol {
	t.Helper()
	for _, step := range p.Open() {
		var err error
		if p, err = p.With(step, fill(p.Steps[step])); err != nil {
			t.Fatal(err)
		}
	}
	return p
}

func read(t *testing.T, text string) (tracker.Study, []Problem) {
	t.Helper()
	s, problems := Check("plan.toml", []byte(text))
	if n := errorsOf(problems); n > 0 {
		t.Fatalf("%v\n%s", problems, text)
	}
	return s, problems
}

// lines writes what a treatment does, in the order of the names.
func lines(s tracker.Study) string {
	var all []string
	for _, iv := range s.IntervalsOf(tracker.Specimen{Adhesive: "CAS", Treatment: "x"}) {
		all = append(all, fmt.Sprintf("%s: %s > %s %s", iv.Name, iv.From, iv.To, iv.Planned))
	}
	slices.Sort(all)
	tr := s.Treatments[0]
	return fmt.Sprintf("%v %q %s\n%s", tr.Soaked, tr.Water, tr.State, strings.Join(all, "\n"))
}

// TestEveryProtocolReachesAPlan names every schedule in a plan, and writes it
// out in another: both mean the same to a specimen, and every step that takes time
// is in them with its own length.
func TestEveryProtocolReachesAPlan(t *testing.T) {
	for _, p := range schedule.Protocols() {
		t.Run(p.Name, func(t *testing.T) {
			whole := filled(t, p)
			byName, problems := read(t, named(p))
			if unasked := slices.IndexFunc(problems, func(p Problem) bool { return p.Rule == "assumed-tolerance" }); unasked >= 0 && len(p.Open()) == 0 {
				t.Error(problems[unasked])
			}
			text := whole.PlanText("x")
			written, _ := read(t, presetPlan+text)
			if a, b := lines(byName), lines(written); a != b {
				t.Errorf("by name:\n%s\nwritten out:\n%s", a, b)
			}
			kept := byName.Treatments[0].Protocol
			if kept.Name != p.Name || kept.Source != p.Source || kept.Standing != p.Standing || len(kept.Open()) > 0 {
				t.Errorf("kept is %s (%s), %s, open %v", kept.Name, kept.Standing, kept.Source, kept.Open())
			}
			for i, step := range whole.Steps {
				iv, ok := whole.IntervalOf(i)
				if ok && !strings.Contains(lines(byName), fmt.Sprintf("%s: %s > %s %s", iv.Name, iv.From, iv.To, step.Planned)) {
					t.Errorf("step %d, %s, is lost:\n%s", i+1, step, lines(byName))
				}
			}
		})
	}
}

// TestProtocolWithoutItsLength is refused, whatever else the plan says.
func TestProtocolWithoutItsLength(t *testing.T) {
	for _, p := range schedule.Protocols() {
		text := presetPlan + fmt.Sprintf("[treatment.x]\nprotocol = %q\n", p.Name)
		_, problems := Check("plan.toml", []byte(text))
		if got, want := errorsOf(problems), len(p.Open()); got != want {
			t.Errorf("%s: %d errors, want %d: %v", p.Name, got, want, problems)
		}
	}
}
