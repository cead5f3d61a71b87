package stat

import (
	"math/bits"
	"slices"
)

// A Share is how many of a number.
type Share struct{ Of, N int } // Of of N

// A closed test compares the shares of every pair. A pair's p value is the largest,
// over all sets S of groups that hold both, of
//
//	p(S) (1 + others),
//
// p(S) Fisher's of the pair, or with three members and more the least Fisher's p
// of a member against the rest of S, times the number of members; others how many
// sets could be told apart side by side with S, since a set with fewer than two of
// the counted, or fewer than two of the rest, could not. So the chance that any
// two truly equal shares are told apart keeps to the level whichever the equal
// ones are. Groups of none, and all where nothing or everything counts, have 1.
//
// More than twelve groups have too many sets: there a pair has Fisher's p times
// the number of pairs, which keeps to the level as well and finds less.
//
// Source: Marcus, Peritz and Gabriel (1976), Biometrika 63, 655-660; the sets that
// could speak: Tarone (1990), Biometrics 46, 515-522 (both from memory). How they
// are counted is ours; what it errs is simulated in TestJudgeKeepsItsLevel.
type closed struct {
	groups []Share // those that are not empty
	places []int   // where they stood
	all    Share
}

// newClosed takes shares; ErrCount unless 0 <= Of <= N in each.
func newClosed(shares []Share) (c closed, err error) {
	for i, s := range shares {
		if s.Of < 0 || s.Of > s.N {
			return c, ErrCount
		}
		if s.N > 0 {
			c.groups, c.places = append(c.groups, s), append(c.places, i)
			c.all = c.all.plus(s)
		}
	}
	return c, nil
}

// of gives the p value of every pair of k groups by where they stood.
func (c closed) of(k int) [][]float64 {
	p := make([][]float64, k)
	for i := range p {
		p[i] = slices.Repeat([]float64{1}, k)
	}
	if c.all.Of == 0 || c.all.Of == c.all.N {
		return p
	}
	for i, row := range c.pairs() {
		for j, x := range row {
			p[c.places[i]][c.places[j]] = x
		}
	}
	return p
}

// mostClosed is up to how many groups all sets are gone through.
const mostClosed = 12

func (s Share) plus(t Share) Share  { return Share{s.Of + t.Of, s.N + t.N} }
func (s Share) minus(t Share) Share { return Share{s.Of - t.Of, s.N - t.N} }

// against is Fisher's p.
func (s Share) against(t Share) float64 { return fisher(s.Of, s.N, t.Of, t.N) }

func (c closed) pairs() [][]float64 {
	p := make([][]float64, len(c.groups))
	for i := range p {
		p[i] = make([]float64, len(c.groups))
	}
	if len(p) > mostClosed {
		return c.alone(p)
	}
	for set := uint(1); set < 1<<len(p); set++ {
		if bits.OnesCount(set) > 1 {
			raise(p, set, min(1, c.alike(set)*float64(1+c.others(set))))
		}
	}
	return p
}

// alone gives each pair Fisher's p times the number of pairs.
func (c closed) alone(p [][]float64) [][]float64 {
	pairs := float64(len(p) * (len(p) - 1) / 2)
	for i, s := range c.groups {
		for j, t := range c.groups {
			p[i][j] = min(1, pairs*s.against(t))
		}
	}
	return p
}

// raise lifts the p of every pair in a set.
func raise(p [][]float64, set uint, to float64) {
	for i := range p {
		for j := range p {
			if set>>i&1 == 1 && set>>j&1 == 1 {
				p[i][j] = max(p[i][j], to)
			}
		}
	}
}

// sum is what a set comes to.
func (c closed) sum(set uint) (sum Share) {
	for i, s := range c.groups {
		if set>>i&1 == 1 {
			sum = sum.plus(s)
		}
	}
	return sum
}

// others counts the sets that could be told apart side by side with one.
func (c closed) others(set uint) int {
	outside := c.all.minus(c.sum(set))
	return min(len(c.groups)-bits.OnesCount(set), outside.Of, outside.N-outside.Of) / 2
}

// alike is the p of all shares in a set being one.
func (c closed) alike(set uint) float64 {
	sum, least, members := c.sum(set), 1.0, bits.OnesCount(set)
	if sum.Of == 0 || sum.Of == sum.N {
		return 1
	}
	for i, s := range c.groups {
		if set>>i&1 == 1 {
			least = min(least, s.against(sum.minus(s)))
		}
	}
	if members == 2 {
		return least // one test, seen from either side
	}
	return min(1, float64(members)*least)
}

// couldSpeak reports whether any two groups could differ at the risk, however
// as many were split. The answer hangs on their number only, so it may decide how
// the risk is shared out.
func (c closed) couldSpeak(risk float64) bool {
	for i, s := range c.groups {
		for j, t := range c.groups {
			if i != j && c.widest(s, t) < risk {
				return true
			}
		}
	}
	return false
}

// widest is the least p that two could have: as many as there is room for in s, and in
// t only those for which the others have none.
func (c closed) widest(s, t Share) float64 {
	most := min(c.all.Of, s.N)
	least := max(0, c.all.Of-most-(c.all.N-s.N-t.N))
	return fisher(most, s.N, least, t.N)
}
