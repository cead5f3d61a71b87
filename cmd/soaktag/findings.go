package main

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker/quantity"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
	"soaktag/tracker/tables"
)

// A finding is something that whoever hears the results must hear too.
type finding struct {
	Title string
	Lines []string
}

// evidence is all that a finding may rest on: what the program itself says.
type evidence struct {
	results strength.Report
	drift   tables.Drift
}

// findingsOf gathers the findings about a study, the weightiest first. One
// that the record gives no ground for is left out.
func findingsOf(study, at string) ([]finding, error) {
	var ev evidence
	if err := readJSON(&ev.results, at, "results", "--json", "--study", study); err != nil {
		return nil, err
	}
	if err := readJSON(&ev.drift, at, "drift", "--json", "--study", study); err != nil {
		return nil, err
	}
	return ev.findings(), nil
}

func readJSON(into any, at string, args ...string) error {
	stdout, stderr, status := childRun(args, at)
	if status != exitDone && status != exitAttention {
		return fmt.Errorf("demo: soaktag %s: %s", args[0], lastLine(stderr))
	}
	if err := json.Unmarshal([]byte(stdout), into); err != nil {
		return fmt.Errorf("demo: read the answer of soaktag %s: %w", args[0], err)
	}
	return nil
}

func (ev evidence) findings() []finding {
	all := []finding{
		{"What it comes to", ev.results.Findings},
		{"Retention is only as firm as both its ends", ev.retained()},
		{"The wood gave way before the bond", ev.woodFirst()},
		{"The rig or its gauge limits what is known", ev.rigLimits()},
		{"Single specimens left the plan", ev.strays()},
		{"Times known only roughly, or put right", ev.roughTimes()},
		{"Labels and scans put right", ev.putRight()},
	}
	return slices.DeleteFunc(all, func(f finding) bool { return len(f.Lines) == 0 })
}

// retained says what each retention is worth, where it is not a plain number.
func (ev evidence) retained() []string {
	var lines []string
	for _, r := range ev.results.Retention {
		switch {
		case !r.Comparable:
			lines = append(lines, fmt.Sprintf("%s: not comparable: %s", r.Adhesive, strings.Join(r.Reasons, "; ")))
		case r.Bound == "?":
			lines = append(lines, fmt.Sprintf("%s: cannot be pinned down: the wood gave way first in both (%s %% of the readings)", r.Adhesive, percent(r.Ratio)))
		case r.Bound == "<=":
			lines = append(lines, fmt.Sprintf("%s: at most %s %%", r.Adhesive, percent(r.Ratio)))
		case r.Bound == ">=":
			lines = append(lines, fmt.Sprintf("%s: at least %s %%", r.Adhesive, percent(r.Ratio)))
		}
	}
	return lines
}

func (ev evidence) woodFirst() []string {
	total, of := 0, 0
	var parts []string
	for _, g := range ev.results.Groups {
		total, of = total+g.WoodLimited, of+g.N
		if g.WoodLimited > 0 {
			parts = append(parts, fmt.Sprintf("%s %s %d of %d", g.Adhesive, g.Treatment, g.WoodLimited, g.N))
		}
	}
	if total == 0 {
		return nil
	}
	return []string{fmt.Sprintf("%d of %d specimens give a lower bound only: %s", total, of, strings.Join(parts, ", "))}
}

// rigLimits names what the rig could not break, and readings at the ends of
// the gauge.
func (ev evidence) rigLimits() []string {
	var lines []string
	for _, sp := range ev.results.Specimens {
		if sp.Bound == stat.AtLeast && sp.Outcome != strength.WoodLimited {
			lines = append(lines, sp.Called()+": "+outcomeText(sp, quantity.Metric))
		}
		for _, m := range sp.Marks {
			if strings.HasSuffix(m.Rule, " the gauge") {
				lines = append(lines, sp.Called()+": "+m.Text+uncertain(sp))
			}
		}
	}
	return lines
}

func uncertain(sp strength.Specimen) string {
	if sp.PlusMinus == nil || sp.ShearMPa == nil || *sp.ShearMPa == 0 {
		return ""
	}
	return fmt.Sprintf(", uncertain by %.0f %%", 100**sp.PlusMinus / *sp.ShearMPa)
}

// strays names specimens that left a limit which their group as a whole kept,
// and what the group's mean is without them.
func (ev evidence) strays() []string {
	var lines []string
	for _, iv := range ev.drift.Intervals {
		for _, d := range iv.Specimens {
			out := d.Verdict == "early" || d.Verdict == "late"
			sp, ok := ev.specimen(d.Code)
			if !out || !ok || iv.Common == "outside" || ev.groupOut(iv, sp) || d.ActualH == nil {
				continue
			}
			lines = append(lines, fmt.Sprintf("%s: %s %s, lasted %s%s", sp.Called(), iv.Interval, d.Verdict,
				length(*d.ActualH), ev.without(sp)))
		}
	}
	return lines
}

func (ev evidence) specimen(code string) (strength.Specimen, bool) {
	i := slices.IndexFunc(ev.results.Specimens, func(sp strength.Specimen) bool { return sp.Code == code })
	if i < 0 {
		return strength.Specimen{}, false
	}
	return ev.results.Specimens[i], true
}

func (ev evidence) groupOut(iv tables.Interval, sp strength.Specimen) bool {
	return slices.ContainsFunc(iv.Groups, func(g tables.DriftGroup) bool {
		return g.Adhesive == sp.Adhesive && g.Treatment == sp.Treatment && g.Differential == "outside"
	})
}

// without gives the mean of a specimen's group with and without it.
func (ev evidence) without(sp strength.Specimen) string {
	var with, rest []float64
	for _, other := range ev.results.Specimens {
		same := other.Adhesive == sp.Adhesive && other.Treatment == sp.Treatment
		counts := other.Outcome == strength.Broke || other.Outcome == strength.WoodLimited
		if !same || !counts || other.ShearMPa == nil {
			continue
		}
		with = append(with, *other.ShearMPa)
		if other.Code != sp.Code {
			rest = append(rest, *other.ShearMPa)
		}
	}
	if len(rest) == 0 || len(rest) == len(with) {
		return ""
	}
	return fmt.Sprintf("; mean of %s %s %.2f MPa with it, %.2f without", sp.Adhesive, sp.Treatment, average(with), average(rest))
}

func average(xs []float64) float64 {
	sum := 0.0
	for _, x := range xs {
		sum += x
	}
	return sum / float64(len(xs))
}

// roughTimes names intervals of which nobody can tell whether they kept their
// limits, and the clocks that were put right.
func (ev evidence) roughTimes() []string {
	var lines []string
	for _, iv := range ev.drift.Intervals {
		for _, d := range iv.Specimens {
			sp, ok := ev.specimen(d.Code)
			if d.Verdict != "cannot tell" || !ok || d.ActualH == nil {
				continue
			}
			lines = append(lines, fmt.Sprintf("%s: cannot tell whether %s kept its limits: %s", sp.Called(), iv.Interval, lengthRange(d)))
		}
	}
	return append(lines, ev.marked("clock corrected")...)
}

// putRight names what was wrong with labels and scans, and was put right.
func (ev evidence) putRight() []string {
	return ev.marked("exchanged", "relabelled", "double scan")
}

// marked lists the marks of some rules, one of a rule for each specimen.
func (ev evidence) marked(rules ...string) []string {
	var lines []string
	for _, rule := range rules {
		for _, sp := range ev.results.Specimens {
			i := slices.IndexFunc(sp.Marks, func(m strength.Mark) bool { return m.Rule == rule })
			if i >= 0 {
				lines = append(lines, sp.Called()+": "+sp.Marks[i].Text)
			}
		}
	}
	return lines
}

// length writes hours in the words of the clock.
func length(h float64) string {
	return schedule.Short(time.Duration(h * float64(time.Hour)).Round(time.Second))
}

func lengthRange(d tables.DriftSpecimen) string {
	if d.PlusMinusH == nil {
		return "at least " + length(*d.ActualH)
	}
	return length(*d.ActualH-*d.PlusMinusH) + " to " + length(*d.ActualH+*d.PlusMinusH)
}
