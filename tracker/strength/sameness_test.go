package strength_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
	"soaktag/tracker/strength"
)

// Order of arrival, unit, groups of which nothing is known or broken, and names change no
// p, ratio, limit, order or letter: of the studies made to provoke and of random ones.
func TestNumbersDoNotHangOnWhatMustNotMatter(t *testing.T) {
	rng, lines := rand.New(rand.NewPCG(33, 2026)), []string{}
	for _, c := range provoked {
		lines = append(lines, c.data)
	}
	for range 60 {
		lines = append(lines, randomStudy(rng))
	}
	apart := 0
	for _, line := range lines {
		want := numbersOf(study(t, line).report(), asCalled)
		for what, w := range dressed(t, line) {
			alikeNumbers(t, line+", "+what, numbersOf(w.report(), asCalled), want)
		}
		alikeNumbers(t, line+", renamed", numbersOf(study(t, renamed(line)).report(), back.Replace), want)
		for key, x := range want {
			if strings.HasPrefix(key, "better") && x != 0 {
				apart++
			}
		}
	}
	if apart < 20 {
		t.Errorf("only %d orders in %d studies: nothing is shown", apart, len(lines))
	}
}

func asCalled(s string) string { return s }

// dressed are studies that come to the same as line.
func dressed(t *testing.T, line string) map[string]written {
	t.Helper()
	all := map[string]written{"in psi": study(t, line).inUnit("psi", quantity.Megapascals(1).PSI()), "in lbf": study(t, line).inUnit("lbf", quantity.Force(1594).LBF())}
	w := study(t, line)
	slices.Reverse(w.lives)
	all["reversed"] = w
	w = study(t, line)
	rand.New(rand.NewPCG(1, 2)).Shuffle(len(w.lives), func(i, j int) { w.lives[i], w.lives[j] = w.lives[j], w.lives[i] })
	all["shuffled"] = w
	w = study(t, line)
	w.study.Adhesives = slices.Insert(w.study.Adhesives, 0, tracker.Adhesive{Key: "NONE"})
	all["with an empty group first"] = w
	w = study(t, line)
	w.study.Adhesives = slices.Insert(w.study.Adhesives, 0, tracker.Adhesive{Key: "WAITS"})
	w.lives = append([]*tracker.Life{block(900, "WAITS", "soaked"), block(901, "WAITS", "dry")}, w.lives...)
	all["with an unbroken group first"] = w
	return all
}

// numbersOf are all numbers of pairs, retention and letters, by whom they are of; a pair
// the way round in which its names come.
func numbersOf(r strength.Report, name func(string) string) map[string]float64 {
	all := map[string]float64{}
	put := func(what string, x *float64) {
		if x != nil {
			all[what] = *x
		}
	}
	for _, c := range r.Comparisons {
		a, b, turn := name(c.A), name(c.B), 1.0
		if a > b {
			a, b, turn = b, a, -1
		}
		pair := fmt.Sprintf(" %s %s-%s", c.Treatment, a, b)
		for what, x := range map[string]*float64{"ratio": c.Ratio, "low": c.SureLow, "high": c.SureHigh} {
			if x != nil {
				all[what+pair] = turn * math.Log(*x)
			}
		}
		if turn < 0 && c.SureLow != nil {
			all["low"+pair], all["high"+pair] = all["high"+pair], all["low"+pair]
		}
		put("p"+pair, c.PSure)
		put("p of Tukey"+pair, c.PAdjusted)
		all["better"+pair] = turn * float64(c.Better)
	}
	for _, x := range r.Retention {
		whose := " " + name(x.Adhesive) + " " + x.Treatment
		put("kept"+whose, x.Ratio)
		put("kept, low"+whose, x.Low)
		put("kept, high"+whose, x.High)
		put("kept with zeros"+whose, x.RatioWithZeros)
	}
	for treatment, letters := range r.Letters {
		for key, l := range letters {
			for _, letter := range l {
				all[fmt.Sprintf("letter %s %s %c", treatment, name(key), letter)] = 1
			}
		}
	}
	return all
}

// alikeNumbers compares but for rounding.
func alikeNumbers(t *testing.T, what string, got, want map[string]float64) {
	t.Helper()
	for key, x := range want {
		if y, ok := got[key]; !ok || math.Abs(x-y) > 1e-8*(1+math.Abs(x)) {
			t.Errorf("%s: %s is %v, not %v", what, key, y, x)
		}
	}
	for key := range got {
		if _, ok := want[key]; !ok && !strings.Contains(key, "NONE") && !strings.Contains(key, "WAITS") {
			t.Errorf("%s: %s is new", what, key)
		}
	}
}
