package design

import (
	"slices"

	"soaktag/tracker"
)

// Missing deals what a plan wants beyond the specimens dealt so far: of every
// adhesive and treatment as many as are lacking, each still without its code. They
// are dealt as by Allocate. An incomplete block is completed first: each goes to
// the board that has the fewest of its adhesive and treatment, a new board before
// others, the same boards for every treatment of an adhesive where it has as many;
// among these to the emptiest, and then by lot. Within a board the order is
// random, and the places in the glue-up follow the last one, board after board.
//
// What was glued anew from halves stands beside the design: it fills no place in
// it. Lost and broken specimens do.
func Missing(s *tracker.Study, dealt []tracker.Specimen) []tracker.Specimen {
	have := census(s, dealt)
	var boards [][]cell
	lot := newLot(s.Seed, laterStream(len(dealt), lotSerials))
	for _, more := range lacking(s, have, newLot(s.Seed, laterStream(len(dealt), lotBoards))) {
		shuffle(lot, more)
		boards = append(boards, more)
	}
	cells := slices.Concat(boards...)
	order := glueUpOrder(s, cells, newLot(s.Seed, laterStream(len(dealt), lotGlueUp)))
	specimens := make([]tracker.Specimen, len(cells))
	for i, c := range cells {
		specimens[i] = specimen(s, c)
		specimens[i].Order = lastPlace(dealt) + order[i]
	}
	return specimens
}

// census counts the specimens dealt of each cell of the design. Those of no board
// of a plan that has boards count at board -1.
func census(s *tracker.Study, dealt []tracker.Specimen) map[cell]int {
	n := map[cell]int{}
	for _, sp := range dealt {
		c := cell{
			adhesive:  slices.IndexFunc(s.Adhesives, func(a tracker.Adhesive) bool { return a.Key == sp.Adhesive }),
			treatment: slices.IndexFunc(s.Treatments, func(t tracker.Treatment) bool { return t.Key == sp.Treatment }),
			board:     slices.IndexFunc(s.Wood.Boards, func(b tracker.Board) bool { return b.Name == sp.Board }),
		}
		if len(s.Wood.Boards) == 0 {
			c.board = 0
		}
		if sp.Parent == "" {
			n[c]++
		}
	}
	return n
}

// lacking gives every board the cells that it is to have more.
func lacking(s *tracker.Study, have map[cell]int, lot *lot) [][]cell {
	boards := make([][]cell, max(1, len(s.Wood.Boards)))
	full := make([]int, len(boards)) // with what was dealt before
	for c, n := range have {
		if c.board >= 0 {
			full[c.board] += n
		}
	}
	for a, adhesive := range s.Adhesives {
		turn := fewestFirst(lot, full)
		for t, treatment := range s.Treatments {
			for range Replicates(adhesive, treatment) - total(have, a, t, len(boards)) {
				b := slices.MinFunc(turn, func(i, j int) int { return have[cell{a, t, i}] - have[cell{a, t, j}] })
				boards[b] = append(boards[b], cell{a, t, b})
				have[cell{a, t, b}]++
				full[b]++
			}
		}
	}
	return boards
}

func total(have map[cell]int, a, t, boards int) (n int) {
	for b := -1; b < boards; b++ {
		n += have[cell{a, t, b}]
	}
	return n
}

// fewestFirst draws an order of boards in which fuller ones come later.
func fewestFirst(lot *lot, full []int) []int {
	turn := make([]int, len(full))
	for i := range turn {
		turn[i] = i
	}
	shuffle(lot, turn)
	slices.SortStableFunc(turn, func(i, j int) int { return full[i] - full[j] })
	return turn
}

func lastPlace(dealt []tracker.Specimen) (last int) {
	for _, sp := range dealt {
		last = max(last, sp.Order)
	}
	return last
}
