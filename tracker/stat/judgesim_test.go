package stat_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"runtime"
	"slices"
	"sync"
	"testing"

	"soaktag/tracker/stat"
)

// How often Judge sets equals in an order can only be seen by simulation. A few
// cells run every day; all of them with
//
//	SOAKTAG_LONG=6000 go test ./tracker/stat -run 'TestJudgeKeeps|TestJudgeFinds' -v -timeout 2h
//
// the number being studies a cell (1: 6,000). Seeds are fixed, a cell its own.
// Logarithms are normal unless a cell says otherwise, with spreads small enough
// that arithmetic means hardly ever rank otherwise than they, which would only help.
const spread = 0.05 // on the scale of logarithms, of a group with a spread of 1

// A cell is a law that studies are drawn from.
type cell struct {
	name  string
	draw  func(rng *rand.Rand) []stat.Contender
	equal func(a, b int) bool // nil: all are
}

// A group of one is n values with a spread; the laws below add bounds and zeros.
type plan struct {
	ns  []int
	sds []float64
}

func (p plan) String() string { return fmt.Sprintf("n %v, spreads %.3g", p.ns, p.sds) }

func (p plan) each(of func(i, n int, sd float64) stat.Contender) (all []stat.Contender) {
	for i, n := range p.ns {
		all = append(all, of(i, n, spread*p.sds[i]))
	}
	return ranked(all...)
}

// patterns are the spreads of k groups.
func patterns(k int) map[string][]float64 {
	out := map[string][]float64{"equal": nil, "one x2": {2}, "one x4": {4}}
	if k > 2 {
		out["all but one x4"] = slices.Repeat([]float64{4}, k-1)
		for i := range k {
			out["graded"] = append(out["graded"], math.Pow(4, 1-float64(i)/float64(k-1)))
		}
	}
	if k > 3 {
		out["half x3"], out["half x4"], out["two x4"] = slices.Repeat([]float64{3}, k/2), slices.Repeat([]float64{4}, k/2), []float64{4, 4}
	}
	for name, sds := range out {
		out[name] = append(slices.Clone(sds), slices.Repeat([]float64{1}, k-len(sds))...)
	}
	return out
}

func each(n, k int) []int { return slices.Repeat([]int{n}, k) }

// plans are the sizes and spreads of the grid.
func plans() (out []plan) {
	for _, ns := range [][]int{
		each(2, 2), each(3, 2), each(4, 2), each(6, 2), each(8, 2), {2, 8}, {3, 8}, {2, 4}, {4, 8}, {8, 2}, {8, 3},
		each(2, 3), each(3, 3), each(4, 3), each(6, 3), each(8, 3), {2, 8, 8}, {3, 3, 8}, {2, 4, 8}, {8, 3, 3},
		each(3, 4), each(4, 4), {3, 3, 8, 8}, {2, 2, 8, 8},
		each(2, 5), each(3, 5), each(4, 5), each(6, 5), each(8, 5), {2, 3, 4, 6, 8}, {3, 3, 8, 8, 8}, {8, 6, 4, 3, 2}, {2, 2, 8, 8, 8},
		each(2, 9), each(3, 9), each(4, 9), each(6, 9), each(8, 9), {2, 2, 3, 3, 4, 4, 6, 8, 8}, {3, 3, 3, 3, 8, 8, 8, 8, 8}, {8, 8, 6, 4, 4, 3, 3, 2, 2}, {2, 2, 2, 2, 8, 8, 8, 8, 8},
	} {
		all := patterns(len(ns))
		for _, name := range []string{"equal", "one x2", "one x4", "half x3", "half x4", "graded", "all but one x4", "two x4"} {
			if sds, ok := all[name]; ok {
				out = append(out, plan{ns, sds})
			}
		}
	}
	return out
}

// plain draws exact values.
func plain(p plan) cell {
	return cell{name: p.String(), draw: func(rng *rand.Rand) []stat.Contender {
		return p.each(func(_, n int, sd float64) (c stat.Contender) {
			for range n {
				c.Exact = append(c.Exact, math.Exp(sd*rng.NormFloat64()))
			}
			return c
		})
	}}
}

// normal draws values that are normal themselves, the widest with 25 %.
func normal(p plan) cell {
	widest := slices.Max(p.sds)
	return cell{name: "normal, " + p.String(), draw: func(rng *rand.Rand) []stat.Contender {
		return p.each(func(i, n int, _ float64) (c stat.Contender) {
			for range n {
				c.Exact = append(c.Exact, max(0.02, 1+0.25*p.sds[i]/widest*rng.NormFloat64()))
			}
			return c
		})
	}}
}

// dialled draws values as a gauge shows them, to whole divisions; where the true values
// lie between two marks is as it happens. The division is that share of them, and Judge
// knows it or not.
func dialled(p plan, division float64, known bool) cell {
	return cell{name: fmt.Sprintf("division %g, known %v, %v", division, known, p), draw: func(rng *rand.Rand) []stat.Contender {
		middle := 1 + division*rng.Float64()
		return p.each(func(_, n int, sd float64) (c stat.Contender) {
			for range n {
				c.Exact = append(c.Exact, division*max(1, math.Round(middle*math.Exp(sd*rng.NormFloat64())/division)))
			}
			if known {
				c.Division = division
			}
			return c
		})
	}}
}

// coarse are the cells of a gauge whose division is half of the narrowest spread to
// five times that.
func coarse() (out []cell) {
	for _, ns := range [][]int{each(2, 2), each(3, 2), each(4, 2), each(8, 2), {3, 8}, {8, 3}, {2, 8}, each(3, 3), each(4, 5), each(8, 5), {3, 3, 8, 8}, {3, 3, 8, 8, 8}, each(3, 9), each(8, 9)} {
		all := patterns(len(ns))
		for _, name := range []string{"equal", "one x4", "half x3", "all but one x4"} {
			for _, division := range []float64{0.025, 0.05, 0.1, 0.25} {
				if sds, ok := all[name]; ok {
					out = append(out, dialled(plan{ns, sds}, division, true), dialled(plan{ns, sds}, division, false))
				}
			}
		}
	}
	return out
}

// A giving is what may give way first: the wood in a share of all, at one strength or
// a random one, and rigs that some more specimens are broken on.
type giving struct {
	name   string
	wood   float64 // quantile of the share; 0 for none
	random bool
	rigs   func(i int) int
	bears  func(rng *rand.Rand) float64 // logarithm of what a rig bears
}

func (g giving) of(p plan) cell {
	return cell{name: g.name + ", " + p.String(), draw: func(rng *rand.Rand) []stat.Contender {
		return p.each(func(i, n int, sd float64) (c stat.Contender) {
			for s := range n + g.rigs(i) {
				g.try(&c, rng, 3*sd, s >= n) // a spread of 15 % where it is 1
			}
			return c
		})
	}}
}

// try breaks one.
func (g giving) try(c *stat.Contender, rng *rand.Rand, sd float64, rig bool) {
	x, wood, bears := sd*rng.NormFloat64(), math.Inf(1), math.Inf(1)
	if g.wood > 0 {
		wood = 3 * spread * g.wood
	}
	if g.wood > 0 && g.random {
		wood = 3 * spread * (rng.NormFloat64() + math.Sqrt2*g.wood)
	}
	if rig {
		bears = g.bears(rng)
	}
	switch {
	case bears < min(x, wood):
		c.AtLeast = append(c.AtLeast, math.Exp(bears))
	case wood < x:
		c.Limited = append(c.Limited, math.Exp(wood))
	default:
		c.Exact = append(c.Exact, math.Exp(x))
	}
}

func givings() (out []giving) {
	none := func(int) int { return 0 }
	at := func(*rand.Rand) float64 { return math.Log(0.7) }
	anywhere := func(rng *rand.Rand) float64 { return math.Log(0.3 + rng.Float64()) }
	for _, w := range []giving{{name: "no wood"}, {name: "wood 20 %", wood: 0.841621}, {name: "wood 40 %", wood: 0.253347},
		{name: "random wood 20 %", wood: 0.841621, random: true}, {name: "random wood 40 %", wood: 0.253347, random: true}} {
		for _, r := range []giving{{name: "", rigs: none}, {name: ", a rig each", rigs: func(int) int { return 1 }, bears: at},
			{name: ", three rigs in every other", rigs: func(i int) int { return 3 * (i % 2) }, bears: at},
			{name: ", two rigs anywhere each", rigs: func(int) int { return 2 }, bears: anywhere}} {
			w.rigs, w.bears = r.rigs, r.bears
			out = append(out, giving{w.name + r.name, w.wood, w.random, r.rigs, r.bears})
		}
	}
	return out
}

// bounded are the cells with bounds.
func bounded() (out []cell) {
	for _, p := range []plan{{each(3, 2), []float64{1, 1}}, {each(4, 3), patterns(3)["equal"]}, {each(3, 3), patterns(3)["one x2"]}, {each(6, 3), patterns(3)["equal"]},
		{each(4, 5), patterns(5)["equal"]}, {[]int{3, 3, 8, 8}, patterns(4)["half x3"]}, {each(8, 5), patterns(5)["half x3"]}, {each(2, 5), patterns(5)["equal"]},
		{each(3, 9), patterns(9)["equal"]}, {each(6, 9), patterns(9)["equal"]}} {
		for _, g := range givings() {
			out = append(out, g.of(p))
		}
	}
	return out
}

// falling is a law of zeros: the first half of the groups fall apart in one share,
// the rest in another. Only those of one share are equal.
func falling(p plan, first, rest float64) cell {
	half := func(i int) bool { return i < len(p.ns)/2 }
	return cell{name: fmt.Sprintf("fall apart %g and %g, %v", first, rest, p), equal: func(a, b int) bool { return first == rest || half(a) == half(b) },
		draw: func(rng *rand.Rand) []stat.Contender {
			return p.each(func(i, n int, sd float64) (c stat.Contender) {
				share := rest
				if half(i) {
					share = first
				}
				for range n {
					if rng.Float64() < share {
						c.Zeros++
					} else {
						c.Exact = append(c.Exact, math.Exp(3*sd*rng.NormFloat64()))
					}
				}
				return c
			})
		}}
}

// fallen are the cells with zeros.
func fallen() (out []cell) {
	for _, ns := range [][]int{each(4, 2), each(8, 2), each(4, 3), each(8, 3), each(3, 5), each(4, 5), each(8, 5), {3, 4, 8, 8, 8}, each(4, 9), each(8, 9)} {
		k := len(ns)
		for _, sds := range [][]float64{slices.Repeat([]float64{1}, k), patterns(k)["half x3"]} {
			for _, shares := range [][2]float64{{0.03, 0.03}, {0.1, 0.1}, {0.3, 0.3}, {0.5, 0.5}, {0, 0.5}, {0.3, 0.9}} {
				if sds != nil && (k > 2 || shares[0] == shares[1]) {
					out = append(out, falling(plan{ns, sds}, shares[0], shares[1]))
				}
			}
		}
	}
	return out
}

// unseen are designs drawn at random; half of them have the wider spread in the
// smaller groups.
func unseen() (out []cell) {
	rng := rand.New(rand.NewPCG(2028, 17))
	for d := range 80 {
		var p plan
		for range 2 + rng.IntN(8) {
			n, sd := 2+rng.IntN(7), math.Exp(rng.Float64()*math.Log(4))
			if d%4 == 3 {
				n = 3 + 5*rng.IntN(2)
			}
			if d%2 == 1 {
				sd = 1
				if n <= 4 {
					sd = float64(2 + d/2%3)
				}
			}
			p.ns, p.sds = append(p.ns, n), append(p.sds, sd)
		}
		if d%5 == 4 {
			out = append(out, normal(p))
		} else {
			out = append(out, plain(p))
		}
	}
	return out
}

// A toll is how often any two equals were told apart, in percent.
type toll struct {
	cell
	judge, tukey float64
}

func (c cell) run(t *testing.T, seed uint64, runs int) toll {
	rng := rand.New(rand.NewPCG(2029, seed))
	wrong, tukey := 0, 0
	for range runs {
		a, b := false, false
		count := func(any *bool) func(int, int) {
			return func(x, y int) { *any = *any || c.equal == nil || c.equal(x, y) }
		}
		if err := stat.Orders(c.draw(rng), count(&a), count(&b)); err != nil {
			t.Error(err)
			return toll{}
		}
		wrong, tukey = wrong+one(a), tukey+one(b)
	}
	percent := func(n int) float64 { return 100 * float64(n) / float64(runs) }
	return toll{c, percent(wrong), percent(tukey)}
}

func one(b bool) int {
	if b {
		return 1
	}
	return 0
}

// tolls runs all cells, on as many processors as there are.
func tolls(t *testing.T, cells []cell, runs int) []toll {
	out, next := make([]toll, len(cells)), make(chan int)
	var all sync.WaitGroup
	for range runtime.NumCPU() {
		all.Go(func() {
			for i := range next {
				out[i] = cells[i].run(t, uint64(i), runs)
			}
		})
	}
	for i := range cells {
		next <- i
	}
	close(next)
	all.Wait()
	return out
}

// The chance that any two equals are set in an order, at 5 %: 6.5 % at most. A cell
// near that is drawn again, ten times as often, before it counts. Every day a few
// cells are drawn in which Tukey-Kramer alone errs in 10 to 60 %.
func TestJudgeKeepsItsLevel(t *testing.T) {
	grids := []struct {
		name  string
		cells []cell
		daily []int
	}{
		{"exact", eachOf(plans(), plain), []int{5, 20, 60, 95, 150}},
		{"exact, values normal", eachOf(plans(), normal), []int{95}},
		{"designs drawn at random", unseen(), []int{1, 3}},
		{"bounds", bounded(), []int{3, 22, 103}},
		{"zeros", fallen(), []int{4, 20, 40}},
		{"a coarse gauge", coarse(), []int{6, 7, 133}},
	}
	for _, g := range grids {
		t.Run(g.name, func(t *testing.T) { keepsItsLevel(t, g.name, g.cells, g.daily) })
	}
}

func keepsItsLevel(t *testing.T, name string, cells []cell, daily []int) {
	long, runs := os.Getenv("SOAKTAG_LONG") != "", studies(500)
	if !long {
		var few []cell
		for _, i := range daily {
			few = append(few, cells[i])
		}
		cells = few
	}
	all := tolls(t, cells, runs)
	told(t, name, all, runs)
	for _, worst := range all {
		limit := 6.5 + 3.5*math.Sqrt(6.5*93.5/float64(runs))
		if long && worst.judge > 6.2 {
			worst, limit = worst.run(t, 99, 10*runs), 6.5+2*math.Sqrt(6.5*93.5/float64(10*runs))
			t.Logf("%s: again, %d studies: %.2f %%", worst.name, 10*runs, worst.judge)
		}
		if worst.judge > limit {
			t.Errorf("%s: %.2f %%", worst.name, worst.judge)
		}
	}
}

func eachOf(all []plan, law func(plan) cell) (cells []cell) {
	for _, p := range all {
		cells = append(cells, law(p))
	}
	return cells
}

// told prints the worst of a grid, and how many are cautious.
func told(t *testing.T, name string, all []toll, runs int) {
	slices.SortFunc(all, func(a, b toll) int { return int(math.Copysign(1, b.judge-a.judge)) })
	under, tukey := 0, 0.0
	for _, c := range all {
		under += one(c.judge < 4)
		tukey = max(tukey, c.tukey)
	}
	middle := all[len(all)/2].judge
	t.Logf("%s: %d cells of %d studies; worst %.1f, middle %.1f, %d under 4 %%; Tukey-Kramer's worst %.1f", name, len(all), runs, all[0].judge, middle, under, tukey)
	for i, c := range all {
		if testing.Verbose() && (i < 3 || os.Getenv("SOAKTAG_LONG") != "") {
			t.Logf("  %5.2f (Tukey-Kramer %5.2f) %s", c.judge, c.tukey, c.name)
		}
	}
}

// The chance to find one pair, the first adhesive being ratio times k-1 equal ones.
// Tukey-Kramer's stands beside it: it is what a rule may reach that need not hold
// where spreads differ.
func TestJudgeFindsWhatThereIs(t *testing.T) {
	type at struct {
		k, n      int
		cv, ratio float64
	}
	find := func(c at, seed uint64, runs int) (judge, tukey float64) {
		rng, sd := rand.New(rand.NewPCG(2030, seed)), math.Sqrt(math.Log1p(c.cv*c.cv))
		count := func(sum *float64) func(a, b int) {
			return func(a, _ int) {
				if a == 0 {
					*sum += 100 / float64(runs*(c.k-1))
				}
			}
		}
		for range runs {
			p := plan{each(c.n, c.k), slices.Repeat([]float64{sd / spread}, c.k)}
			all := plain(p).draw(rng)
			for i := range all[0].Exact {
				all[0].Exact[i] *= c.ratio
			}
			if err := stat.Orders(ranked(all...), count(&judge), count(&tukey)); err != nil {
				t.Fatal(err)
			}
		}
		return judge, tukey
	}
	if os.Getenv("SOAKTAG_LONG") == "" {
		if judge, tukey := find(at{2, 4, 0.1, 1.5}, 1, 300); judge < 95 || tukey < 95 {
			t.Errorf("found in %v and %v %%", judge, tukey)
		}
		return
	}
	for i, k := range []int{2, 3, 5, 9} {
		for _, n := range []int{2, 3, 4, 6, 8} {
			line := fmt.Sprintf("| %d, %d |", k, n)
			for _, cv := range []float64{0.1, 0.2} {
				for _, ratio := range []float64{1.3, 1.5, 2} {
					judge, tukey := find(at{k, n, cv, ratio}, uint64(10*i+n), studies(300)/3)
					line += fmt.Sprintf(" %.0f (%.0f) |", judge, tukey)
				}
			}
			t.Log(line)
		}
	}
}
