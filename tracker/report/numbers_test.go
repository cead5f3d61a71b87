package report_test

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

var dataValue = regexp.MustCompile(`<data value="([^"]*)">([^<]*)</data>`)

// shownValues are all numbers that a page gives exactly.
func shownValues(t *testing.T, page string) map[string]bool {
	t.Helper()
	all := map[string]bool{}
	for _, m := range dataValue.FindAllStringSubmatch(page, -1) {
		x, err := strconv.ParseFloat(m[1], 64)
		if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
			t.Errorf("value %q is no finite number", m[1])
		}
		all[m[1]] = true
	}
	return all
}

func text(x *float64) string { return strconv.FormatFloat(*x, 'g', -1, 64) }

// numbers are those of the results that a page must give, by what they are. A
// bound has a limit only on the side on which the truth may lie, one specimen
// none, and a pair stands with its stronger first.
func numbers(r strength.Report) map[string]*float64 {
	all := map[string]*float64{}
	for i, g := range r.Groups {
		name := fmt.Sprintf("group %d %s %s ", i, g.Adhesive, g.Treatment)
		maps.Copy(all, map[string]*float64{name + "survivors": g.MeanSurvivors, name + "mean": g.Mean, name + "wood": g.WoodFailure})
		switch {
		case g.N-g.LeftOut < 2:
			continue
		case g.LowerBound == nil:
			maps.Copy(all, map[string]*float64{name + "fitted": g.Fitted, name + "fitted low": g.FittedLow, name + "fitted high": g.FittedHigh})
		}
		all[name+"bound"], all[name+"low"] = g.LowerBound, g.Low
		if g.WoodLimited == 0 {
			all[name+"high"] = g.High
		}
	}
	for _, x := range r.Retention {
		if x.Comparable {
			maps.Copy(all, kept(x))
		}
	}
	for _, c := range r.Comparisons {
		name := "pair " + c.Treatment + " " + c.A + " " + c.B + " "
		if !c.Comparable || c.Ratio == nil {
			continue
		}
		ratio, low, high := c.Ratio, c.SureLow, c.SureHigh
		if *ratio < 1 {
			ratio, low, high = turned(ratio), turned(c.SureHigh), turned(c.SureLow)
		}
		maps.Copy(all, map[string]*float64{name + "ratio": ratio, name + "low": low, name + "high": high, name + "p": c.PSure})
	}
	for _, s := range r.Specimens {
		maps.Copy(all, map[string]*float64{s.Code + " shear": s.ShearMPa, s.Code + " uncertainty": s.PlusMinus})
	}
	for i, s := range r.Sensitivity {
		for _, l := range s.Lines {
			all[fmt.Sprintf("sensitivity %d %s", i, wording.Choice(l))] = l.Mean
		}
	}
	return all
}

func turned(x *float64) *float64 {
	if x == nil {
		return nil
	}
	y := 1 / *x
	return &y
}

func kept(x strength.Retention) map[string]*float64 {
	name := "retention " + x.Adhesive + " " + x.Treatment + " "
	all := map[string]*float64{name + "ratio": x.Ratio, name + "paired": x.PairedRatio}
	if x.Bound == stat.Exact || x.Bound == stat.AtLeast {
		maps.Copy(all, map[string]*float64{name + "low": x.Low, name + "paired low": x.PairedLow, name + "fieller low": x.FiellerLow})
	}
	if x.Bound == stat.Exact || x.Bound == stat.AtMost {
		maps.Copy(all, map[string]*float64{name + "high": x.High, name + "paired high": x.PairedHigh, name + "fieller high": x.FiellerHigh})
	}
	return all
}

func TestNumbersAreThoseOfTheResults(t *testing.T) {
	r := demo(t)
	shown, want := shownValues(t, written(t, r, ofDemo())), numbers(strength.Results(r))
	known := map[string]bool{}
	for _, name := range slices.Sorted(maps.Keys(want)) {
		if want[name] == nil {
			continue
		}
		known[text(want[name])] = true
		if !shown[text(want[name])] {
			t.Errorf("%s, %s, is not on the page", name, text(want[name]))
		}
	}
	hours := map[string]bool{}
	for _, d := range r.Drift(storyEnd) {
		for _, s := range d.Specimens {
			middle := (s.Lo + (s.Hi-s.Lo)/2).Hours()
			hours[text(&middle)] = true
		}
	}
	for value := range shown {
		wood := regexp.MustCompile(`^\d+(\.5|\.25|\.75)?$`).MatchString(value)
		if !known[value] && !hours[value] && !wood {
			t.Errorf("%s on the page is none of the results'", value)
		}
	}
}

func TestNotComparableGivesTheReasonAndNotTheNumber(t *testing.T) {
	r := demo(t)
	shown := shownValues(t, written(t, r, ofDemo()))
	n := 0
	for _, x := range strength.Results(r).Retention {
		if !x.Comparable {
			n++
			if shown[text(x.Ratio)] {
				t.Errorf("retention of %s is on the page", x.Adhesive)
			}
		}
	}
	for _, c := range strength.Results(r).Comparisons {
		if !c.Comparable && c.Ratio != nil && shown[text(c.Ratio)] {
			t.Errorf("%s against %s is on the page", c.A, c.B)
		}
	}
	if n == 0 {
		t.Error("the example has no retention that is not comparable")
	}
}
