package design

import (
	"math/bits"
	"math/rand/v2"
)

// Each drawing has a stream of its own, so that a change to one of them cannot
// change what another deals. The numbers never change.
const (
	lotSerials = 1
	lotGlueUp  = 2
	lotBoards  = 3

	// Of what is dealt later the streams begin here, a hundred for each number of
	// specimens dealt before: a second addition is not dealt like the first.
	lotLater = 1 << 32
)

// laterStream is a stream of what is dealt when so many specimens were.
func laterStream(dealt int, stream uint64) uint64 { return lotLater + 100*uint64(dealt) + stream }

// A lot draws whole numbers from a seed. The generator is PCG-DXSM with the
// seed as its first and the stream as its second word; the sums on top are our
// own, because only the generator's output is promised to stay the same.
type lot struct{ source *rand.PCG }

func newLot(seed, stream uint64) *lot { return &lot{rand.NewPCG(seed, stream)} }

// below draws a number from 0 to n-1, each equally likely: the high word of
// x*n, where the few low words that would favour some numbers are drawn again.
//
// Source: Lemire (2019), ACM Trans. Model. Comput. Simul. 29(1), 3.
func (l *lot) below(n int) int {
	bound := uint64(n)
	high, low := bits.Mul64(l.source.Uint64(), bound)
	for low < -bound%bound {
		high, low = bits.Mul64(l.source.Uint64(), bound)
	}
	return int(high)
}

// shuffle puts items into random order, every order equally likely: each place
// from the last to the second swaps with one drawn from those up to itself
// (Fisher and Yates 1938, Durstenfeld's form).
func shuffle[T any](l *lot, items []T) {
	for i := len(items) - 1; i > 0; i-- {
		j := l.below(i + 1)
		items[i], items[j] = items[j], items[i]
	}
}
