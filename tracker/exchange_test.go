package tracker

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"soaktag/schedule"
)

// A move is an exchange as the generator knows it.
type move struct {
	id          string
	a, b        int
	from, until int // hours; until 0: for ever
	written     int
	voided      bool
}

// labelled moves the labels of n blocks by hand: whoever is in force at an hour, in the order of the
// hours from which they are. A pair that is exchanged already is not exchanged again.
func labelled(moves []move, n, hour int) (blockOf []int) {
	for i := range n {
		blockOf = append(blockOf, i)
	}
	moves = slices.Clone(moves)
	slices.SortFunc(moves, func(x, y move) int { return cmp.Or(x.from-y.from, x.written-y.written) })
	done := map[[2]int]bool{}
	for _, m := range moves {
		pair := [2]int{min(m.a, m.b), max(m.a, m.b)}
		if m.voided || hour < m.from || m.until > 0 && hour >= m.until || done[pair] {
			continue
		}
		done[pair] = true
		blockOf[m.a], blockOf[m.b] = blockOf[m.b], blockOf[m.a]
	}
	return blockOf
}

func randomMoves(rng *rand.Rand, n int) (moves []move) {
	for k := range 1 + rng.IntN(5) {
		a := rng.IntN(n)
		m := move{id: fmt.Sprint("exchange ", k), a: a, b: (a + 1 + rng.IntN(n-1)) % n, from: rng.IntN(20), written: k, voided: rng.IntN(5) == 0}
		if rng.IntN(2) == 0 {
			m.until = m.from + 1 + rng.IntN(20)
		}
		moves = append(moves, m)
	}
	return moves
}

// Of labels exchanged one upon another every entry goes to the block that bore its label then,
// in whatever order all of it was typed, exchanges that were voided among it.
func TestExchangesMoveLabels(t *testing.T) {
	t.Parallel()
	hour := func(h int) time.Time { return noon.Add(time.Duration(h) * time.Hour) }
	for seed := range uint64(atLength(5000, 1000)) {
		rng := rand.New(rand.NewPCG(seed, 31))
		begun := plainBegun()
		n := len(begun.Dealt)
		code := func(i int) string { return begun.Dealt[i].Code.String() }
		moves := randomMoves(rng, n)
		var events []Event
		for _, m := range moves {
			e := Event{ID: m.id, Kind: Exchanged, Code: code(m.a), Other: code(m.b), At: schedule.At(hour(m.from)), Recorded: hour(100 + m.written)}
			if m.until > 0 {
				e.Until = schedule.At(hour(m.until))
			}
			if events = append(events, e); m.voided {
				events = append(events, Event{ID: "void " + m.id, Kind: Voided, Target: m.id})
			}
		}
		block := map[string]int{}
		for k := range 12 {
			label, h := rng.IntN(n), rng.IntN(40)
			id := fmt.Sprint("entry ", k)
			block[id] = labelled(moves, n, h)[label]
			events = append(events, Event{ID: id, Kind: Noted, Note: id, Code: code(label), At: schedule.At(hour(h)), Recorded: hour(200 + k)})
		}
		rng.Shuffle(len(events), func(i, j int) { events[i], events[j] = events[j], events[i] })
		r := foldAll(t, []Event{begun})
		for _, e := range events {
			r.Add(e)
			if rng.IntN(3) == 0 {
				r.Lives()
			}
		}
		for i, s := range r.Specimens() {
			for _, e := range r.History(s.Code) {
				if want, ours := block[e.ID]; ours && want != i {
					t.Fatalf("seed %d: %s under %s went to %s, its block is %s; %+v", seed, e.ID, e.Code, s.Code, code(want), moves)
				}
				delete(block, e.ID)
			}
		}
		if len(block) > 0 {
			t.Fatalf("seed %d: nobody has %v", seed, block)
		}
		thereAndBack(t, seed, r, labelled(moves, n, 25), hour(25))
	}
}

// thereAndBack asks which label is on each block, and which block has each label.
func thereAndBack(t *testing.T, seed uint64, r *Record, blockOf []int, at time.Time) {
	t.Helper()
	for label, block := range blockOf {
		l, b := r.Specimens()[label].Code, r.Specimens()[block].Code
		if r.Meant(l, at) != b || r.Label(b, at) != l {
			t.Fatalf("seed %d: label %s is on %s: meant %s, label of that %s", seed, l, b, r.Meant(l, at), r.Label(b, at))
		}
	}
}

// Three blocks' labels went round in two exchanges: each block keeps one break.
func TestTwoExchangesKeepEveryBreak(t *testing.T) {
	begun := plainBegun()
	code := func(i int) string { return begun.Dealt[i-1].Code.String() }
	at := func(h int) schedule.Span { return schedule.At(noon.Add(time.Duration(h) * time.Hour)) }
	events := []Event{begun,
		{ID: "a", Kind: Exchanged, Code: code(4), Other: code(5), At: at(1)},
		{ID: "b", Kind: Exchanged, Code: code(5), Other: code(6), At: at(2)}}
	for i := 4; i <= 6; i++ {
		events = append(events, Event{ID: fmt.Sprint("break ", i), Kind: Tried, Code: code(i), At: at(i),
			Try: &Try{Rig: "press", Reading: fmt.Sprintf("%d MPa", i), How: Separated}})
	}
	for range 2 {
		r := foldAll(t, events)
		for block, label := range map[int]int{4: 6, 5: 4, 6: 5} {
			life := r.Life(begun.Dealt[block-1].Code)
			if b := life.Break(); len(life.Tries) != 1 || b == nil || b.Event != fmt.Sprint("break ", label) {
				t.Errorf("specimen %d has %+v, not the break read as %d", block, life.Tries, label)
			}
		}
		events[1], events[2] = events[2], events[1]
	}
}
