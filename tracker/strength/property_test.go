package strength_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// No sentence of order contradicts what it was made from: the arithmetic means, the
// logarithms, the shares that fell apart and the bounds, in random studies. All
// 20,000 with SOAKTAG_LONG=1, a quarter of them with SOAKTAG_CI=1.
func TestNoSentenceContradictsItsData(t *testing.T) {
	n := 500
	switch {
	case os.Getenv("SOAKTAG_LONG") != "":
		n = 20000
	case os.Getenv("SOAKTAG_CI") != "":
		n = 5000
	}
	rng := rand.New(rand.NewPCG(12, 2026))
	orders := 0
	for range n {
		line := randomStudy(rng)
		w := study(t, line)
		r := w.report()
		for _, f := range r.Findings {
			orders += len(f.Than)
			for _, why := range contradictions(r, f) {
				t.Fatalf("%s: %s\n%s", line, why, strings.Join(wording.Findings(r.Findings, w.study), "\n"))
			}
		}
	}
	if orders < n/2 {
		t.Errorf("only %d orders in %d studies: nothing is shown", orders, n)
	}
}

// randomStudy writes two to five adhesives of two to eight, each with its own strength,
// spread, share of wood, rig breaks far below to far above, and of what fell apart; now and
// then on another rig, in another state, or one alone. Half of the studies have none of it.
func randomStudy(rng *rand.Rand) string {
	var groups []string
	plain := rng.IntN(2) == 0
	for i := range 2 + rng.IntN(4) {
		head := string(rune('A' + i))
		if plain {
			groups = append(groups, head+randomGroup(rng, 0))
			continue
		}
		switch rng.IntN(12) {
		case 0:
			head += "@jig"
		case 1:
			head += "'damp"
		}
		groups = append(groups, head+randomGroup(rng, 1))
	}
	return strings.Join(groups, "; ")
}

// randomGroup has as much of what is odd as odd says, from 0 to 1.
func randomGroup(rng *rand.Rand, odd float64) (words string) {
	n, mean, spread := 2+rng.IntN(7), 3+12*rng.Float64(), []float64{0.02, 0.05, 0.1, 0.3}[rng.IntN(4)]
	wood, rig, fell := odd*pick(rng), odd*pick(rng)/2, odd*pick(rng)
	if odd > 0 && rng.IntN(12) == 0 {
		n = 1
	}
	for range n {
		x := mean * max(0.05, 1+spread*rng.NormFloat64())
		if odd > 0 && rng.IntN(12) == 0 {
			x = mean * 0.02
		}
		switch u := rng.Float64(); {
		case u < fell:
			words += " fell"
		case u < fell+rig:
			words += fmt.Sprintf(" >%.3g", x*(0.05+2*rng.Float64()))
		case u < fell+rig+wood:
			words += fmt.Sprintf(" %.3gw", x)
		default:
			words += fmt.Sprintf(" %.3g", x)
		}
	}
	return words
}

// pick is mostly nothing, else a share.
func pick(rng *rand.Rand) float64 { return max(0, rng.Float64()-0.6) * 2 }

// contradictions says what a finding of order gets wrong.
func contradictions(r strength.Report, f strength.Finding) (why []string) {
	say := func(wrong bool, form string, args ...any) {
		if wrong {
			why = append(why, fmt.Sprintf(form, args...))
		}
	}
	for _, key := range f.Than {
		o := r.Groups[comparedOf(r, key, f.Group)]
		higher, lower := f.Group, o
		switch f.Kind {
		case strength.HeldBest, strength.ReadHighest:
		case strength.HeldLess:
			higher, lower = o, f.Group
		default:
			continue
		}
		say(*higher.Mean <= *lower.Mean, "%s over %s: means with zeros %v, %v", higher.Adhesive, lower.Adhesive, *higher.Mean, *lower.Mean)
		say(floor(lower) > max(floor(higher), *higher.Mean), "%s over %s: bounds alone give %v, %v", higher.Adhesive, lower.Adhesive, floor(higher), floor(lower))
		if held := lower.MeanSurvivors; held != nil && share(lower) <= share(higher) {
			say(*higher.MeanSurvivors <= *held, "%s over %s: those that held", higher.Adhesive, lower.Adhesive)
			say(logMean(higher) <= logMean(lower), "%s over %s: logarithms", higher.Adhesive, lower.Adhesive)
		}
	}
	return append(why, unnamed(r, f)...)
}

// comparedOf is the place of the group of an adhesive that is compared with another.
func comparedOf(r strength.Report, key string, with strength.Group) int {
	for i, g := range r.Groups {
		if g.Adhesive == key && g.Treatment == with.Treatment && g.Rig == with.Rig && g.State == with.State {
			return i
		}
	}
	for i, g := range r.Groups {
		if g.Adhesive == key && g.Treatment == with.Treatment && (g.AllApart() || with.AllApart()) {
			return i // what fell apart met no rig
		}
	}
	panic(key + " is compared with what has another rig or state")
}

// floor is the mean that a group has at least: every bound as it was read, what fell
// apart as 0.
func floor(g strength.Group) float64 {
	sum, loaded := 0.0, g.Loaded()
	for _, s := range loaded {
		sum += *s.ShearMPa
	}
	return sum / float64(len(loaded)+g.FellApart)
}

// share is that of what fell apart.
func share(g strength.Group) float64 { return float64(g.FellApart) / float64(g.N-g.LeftOut) }

func logMean(g strength.Group) float64 {
	sum := 0.0
	for _, s := range g.Survivors() {
		sum += math.Log(*s.ShearMPa)
	}
	return sum / float64(len(g.Survivors()))
}

// unnamed says who may be better than the best, and stands nowhere beside it.
func unnamed(r strength.Report, f strength.Finding) (why []string) {
	if f.Kind != strength.HeldBest && f.Kind != strength.ReadHighest {
		return nil
	}
	best := *f.Group.MeanSurvivors
	for _, g := range r.Groups {
		named := slices.ContainsFunc(f.Beside, func(b strength.Beside) bool { return b.Group.Adhesive == g.Adhesive })
		if g.Adhesive == f.Group.Adhesive || g.AllApart() || named || slices.Contains(f.Than, g.Adhesive) {
			continue
		}
		switch elsewhere := g.Rig != f.Group.Rig || g.State != f.Group.State; {
		case elsewhere && len(g.Survivors()) > 0, g.Highest() > best && len(g.Survivors()) < 2, len(g.Survivors()) == 0:
			why = append(why, g.Adhesive+" may be better and is not named")
		case g.MeanSurvivors != nil && *g.MeanSurvivors > best, unbroken(g) > best:
			why = append(why, g.Adhesive+" read more, or bore it, and is not named")
		}
	}
	return why
}

// unbroken is the highest that a rig gave way at.
func unbroken(g strength.Group) (most float64) {
	for _, s := range g.Loaded() {
		if !s.Survived() {
			most = max(most, *s.ShearMPa)
		}
	}
	return most
}
