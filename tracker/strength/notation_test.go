package strength_test

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// A whole study in a line: groups between semicolons, each a key and its
// strengths in MPa.
//
//	A 8 8.2 8.1; B 5w >12 fell lost
//
// w: the wood broke first. >: the rig gave way first. fell: apart before any
// load. 6x5: six at about 5, a hundredth apart. 9!: soaked four weeks where the
// rest of its group did one. 8#2: sawn from the second bonded block of its group.
// A@jig was broken on the jig instead of the press, A'damp in that state
// instead of wet, A/dry is a dry control.
type written struct {
	study *tracker.Study
	lives []*tracker.Life
	soaks []tracker.SpecimenDrift
}

// study reads a line of notation.
func study(t testing.TB, line string) written {
	t.Helper()
	w := written{study: loft()}
	w.study.Adhesives = nil
	w.study.Rigs = append(w.study.Rigs, tracker.Rig{Name: "jig", RamArea: w.study.Rigs[0].RamArea})
	for _, group := range strings.Split(line, ";") {
		words := strings.Fields(group)
		if len(words) == 0 {
			t.Fatalf("an empty group in %q", line)
		}
		w.group(t, words[0], words[1:])
	}
	return w
}

// group adds one group.
func (w *written) group(t testing.TB, head string, strengths []string) {
	t.Helper()
	like := tracker.Life{BondLength: 0.04, BondWidth: 1594e-6 / 0.04, State: "wet",
		Specimen: tracker.Specimen{Treatment: "soaked", Board: "A"}, Tries: []tracker.TryAt{{Try: tracker.Try{Rig: "press"}}}}
	head, state, _ := strings.Cut(head, "'")
	head, rig, _ := strings.Cut(head, "@")
	key, treatment, _ := strings.Cut(head, "/")
	like.Specimen.Adhesive = key
	if treatment == "dry" {
		like.Specimen.Treatment, like.State = "dry", "dry"
	}
	if state != "" {
		like.State = state
	}
	if rig != "" {
		like.Tries[0].Rig = rig
	}
	if w.study.Adhesive(key) == nil {
		w.study.Adhesives = append(w.study.Adhesives, tracker.Adhesive{Key: key})
	}
	for _, s := range strengths {
		w.several(t, like, s)
	}
}

// several adds one specimen, or n of "nxmean".
func (w *written) several(t testing.TB, like tracker.Life, word string) {
	t.Helper()
	many, of, ok := strings.Cut(word, "x")
	if !ok {
		w.specimen(t, like, word)
		return
	}
	n, err := strconv.Atoi(many)
	if err != nil {
		t.Fatalf("%q is no number of specimens", many)
	}
	digits := strings.TrimRight(of, "w!")
	mean := atof(t, digits)
	for i := range n {
		w.specimen(t, like, fmt.Sprintf("%.6g%s", mean*(1+0.01*(float64(i)-float64(n-1)/2)), of[len(digits):]))
	}
}

func (w *written) specimen(t testing.TB, like tracker.Life, word string) {
	t.Helper()
	word, block, _ := strings.Cut(word, "#")
	word, strayed := strings.CutSuffix(word, "!")
	l := like
	l.Specimen.Code = labels.New("HBR", len(w.lives)+1)
	if block != "" {
		l.Specimen.BondedBlock = l.Specimen.Adhesive + l.Specimen.Treatment + block
	}
	l.Tries = slices.Clone(like.Tries)
	l.Tries[0].How = tracker.Separated
	w.ended(t, &l, word)
	w.lives = append(w.lives, &l)
	w.soaked(l.Specimen, strayed)
}

// ended says what became of a specimen.
func (w *written) ended(t testing.TB, l *tracker.Life, word string) {
	t.Helper()
	wood := 0.0
	switch {
	case word == "fell":
		l.Tries = []tracker.TryAt{try(tracker.FellApart, "", nil)}
		return
	case word == "lost":
		l.End = tracker.Lost
		return
	case word[0] == '>':
		l.Tries[0].How, word = tracker.FixtureGave, word[1:]
	case strings.HasSuffix(word, "w"):
		wood, word = 100, strings.TrimSuffix(word, "w")
	}
	atof(t, word)
	l.Tries[0].Reading, l.Tries[0].WoodFailure = word+" MPa", &wood
	l.Halves = [2]*tracker.Faces{{WoodFailure: wood}, {WoodFailure: wood}}
}

// soaked notes how long a specimen soaked.
func (w *written) soaked(s tracker.Specimen, strayed bool) {
	if s.Treatment != "soaked" {
		return
	}
	d := tracker.SpecimenDrift{Of: s, Planned: week, Lo: 7 * schedule.Day, Hi: 7 * schedule.Day, Known: true, Done: true}
	if strayed {
		d.Lo, d.Hi, d.Drift, d.Verdict = 28*schedule.Day, 28*schedule.Day, 21*schedule.Day, schedule.Late
	}
	w.soaks = append(w.soaks, d)
}

var week = schedule.Planned{Kind: schedule.Target, Length: 7 * schedule.Day, Early: 4 * time.Hour, Late: 4 * time.Hour}

// report works the study out.
func (w written) report() strength.Report {
	d := tracker.IntervalDrift{Interval: schedule.Soak, Planned: week, Specimens: w.soaks}
	return strength.Sums(w.study, w.lives, []tracker.IntervalDrift{d.Within(w.study, "soaked")})
}

// inUnit has every reading read in another unit.
func (w written) inUnit(unit string, perMPa float64) written {
	for _, l := range w.lives {
		for i, try := range l.Tries {
			var mpa float64
			if _, err := fmt.Sscanf(try.Reading, "%g MPa", &mpa); err == nil {
				l.Tries[i].Reading = fmt.Sprintf("%.17g %s", perMPa*mpa, unit)
			}
		}
	}
	return w
}

// said is all that a person reads of the results: findings, the brief, rows.
func said(w written) string {
	r := w.report()
	lines := wording.Findings(r.Findings, w.study)
	brief := wording.BriefOf(r, w.study)
	lines = append(append(lines, brief.Headline...), brief.Cannot...)
	for _, g := range r.Groups {
		lines = append(lines, "row: "+strings.Join(wording.BriefRow(g, r.Groups, r, w.study), ", "),
			"group: "+g.Adhesive+", "+strings.Join(append(wording.GroupRow(g, r.Groups, w.study.Units), wording.Makeup(g, w.study.Units)), ", "))
		for _, warning := range g.Warnings {
			lines = append(lines, "warning: "+g.Adhesive+": "+wording.Warning(warning, quantity.Metric))
		}
	}
	_, rows := wording.RetentionTable(r)
	for _, row := range rows {
		lines = append(lines, "kept: "+strings.Join(row, ", "))
	}
	lines = append(lines, wording.BesideRetention(r)...)
	p := wording.PairsOf(r.Comparisons)
	for _, h := range slices.Concat(p.Apart, p.Together, p.Refused) {
		for _, pair := range h.Pairs {
			lines = append(lines, "pair: "+h.Says+": "+pair)
		}
	}
	return strings.Join(lines, "\n")
}
