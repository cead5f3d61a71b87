// Package demo says what whoever hears the results of the invented study must
// hear too, from what the program itself answers.
package demo

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker/quantity"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// A Finding is something that whoever hears the results must hear too.
type Finding struct {
	Title string
	Lines []string
}

// An Evidence is all that a finding may rest on: what the program itself says.
type Evidence struct {
	Results tables.Results
	Drift   tables.Drift
}

// Findings are the findings about a study, the weightiest first. One that the
// evidence gives no ground for is left out.
func (ev Evidence) Findings() []Finding {
	all := []Finding{
		{"What it comes to", ev.Results.Findings},
		{"Retention is only as firm as both its ends", ev.retained()},
		{"The wood gave way before the bond", ev.woodFirst()},
		{"The rig or its gauge limits what is known", ev.rigLimits()},
		{"Single specimens left the plan", ev.strays()},
		{"Times known only roughly, or put right", ev.roughTimes()},
		{"Labels and scans put right", ev.putRight()},
	}
	return slices.DeleteFunc(all, func(f Finding) bool { return len(f.Lines) == 0 })
}

// retained says what each retention is worth, where it is not a plain number.
func (ev Evidence) retained() []string {
	var lines []string
	for _, r := range ev.Results.Retention {
		switch {
		case !r.Comparable:
			lines = append(lines, fmt.Sprintf("%s: not comparable: %s", r.Adhesive, strings.Join(r.Reasons, "; ")))
		case r.Bound == stat.Either.Sign():
			lines = append(lines, fmt.Sprintf("%s: cannot be pinned down: the wood gave way first in both (%s %% of the readings)", r.Adhesive, wording.Percent(r.Ratio)))
		case r.Bound == stat.AtMost.Sign():
			lines = append(lines, fmt.Sprintf("%s: at most %s %%", r.Adhesive, wording.Percent(r.Ratio)))
		case r.Bound == stat.AtLeast.Sign():
			lines = append(lines, fmt.Sprintf("%s: at least %s %%", r.Adhesive, wording.Percent(r.Ratio)))
		}
	}
	return lines
}

func (ev Evidence) woodFirst() []string {
	total, of := 0, 0
	var parts []string
	for _, g := range ev.Results.Groups {
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
func (ev Evidence) rigLimits() []string {
	var lines []string
	for _, sp := range ev.Results.Specimens {
		if sp.Bound == stat.AtLeast && sp.Outcome != strength.WoodLimited {
			lines = append(lines, sp.Called()+": "+wording.Strength(ended(sp), quantity.Metric))
		}
		for _, m := range sp.Marks {
			if strength.OnGauge(m.Rule) {
				lines = append(lines, sp.Called()+": "+m.Text+uncertain(sp))
			}
		}
	}
	return lines
}

// ended is what is told of a specimen that ended.
func ended(sp tables.Specimen) strength.Specimen {
	return strength.Specimen{Outcome: sp.Outcome, Bound: sp.Bound, ShearMPa: sp.ShearMPa, PlusMinus: sp.PlusMinus}
}

func uncertain(sp tables.Specimen) string {
	if sp.PlusMinus == nil || sp.ShearMPa == nil || *sp.ShearMPa == 0 {
		return ""
	}
	return fmt.Sprintf(", uncertain by %.0f %%", 100**sp.PlusMinus / *sp.ShearMPa)
}

// strays names specimens that left a limit which their group as a whole kept,
// and what the group's mean is without them.
func (ev Evidence) strays() []string {
	var lines []string
	for _, iv := range ev.Drift.Intervals {
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

func (ev Evidence) specimen(code string) (tables.Specimen, bool) {
	i := slices.IndexFunc(ev.Results.Specimens, func(sp tables.Specimen) bool { return sp.Code == code })
	if i < 0 {
		return tables.Specimen{}, false
	}
	return ev.Results.Specimens[i], true
}

func (ev Evidence) groupOut(iv tables.Interval, sp tables.Specimen) bool {
	return slices.ContainsFunc(iv.Groups, func(g tables.DriftGroup) bool {
		return g.Adhesive == sp.Adhesive && g.Treatment == sp.Treatment && g.Differential == "outside"
	})
}

// without gives the mean of a specimen's group with and without it.
func (ev Evidence) without(sp tables.Specimen) string {
	var with, rest []float64
	for _, other := range ev.Results.Specimens {
		same := other.Adhesive == sp.Adhesive && other.Treatment == sp.Treatment
		if !same || !ended(other).Survived() {
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
func (ev Evidence) roughTimes() []string {
	var lines []string
	for _, iv := range ev.Drift.Intervals {
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
func (ev Evidence) putRight() []string {
	return ev.marked("exchanged", "relabelled", "double scan")
}

// marked lists the marks of some rules, one of a rule for each specimen.
func (ev Evidence) marked(rules ...string) []string {
	var lines []string
	for _, rule := range rules {
		for _, sp := range ev.Results.Specimens {
			i := slices.IndexFunc(sp.Marks, func(m tables.Mark) bool { return m.Rule == rule })
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
