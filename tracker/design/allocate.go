// Package design decides, before anything is cut, which blank gets which
// adhesive and treatment and in which order they are glued, and works out the
// wood and the adhesive that this takes.
//
// Where the plan names boards the design is randomised complete blocks: each
// board gives the same share of every adhesive and treatment, because two
// boards of one species differ more than two good adhesives do. Without boards
// it is completely random. The deal follows from the plan and its seed alone,
// on every machine; a golden test holds it fast.
package design

import (
	"slices"

	"soaktag/labels"
	"soaktag/tracker"
)

// A cell is one specimen before it has a code.
type cell struct{ adhesive, treatment, board int }

// Allocate deals the specimens of a study, in serial order.
//
// Serials run along the boards in the order of the plan; which adhesive and
// treatment a serial gets within its board is random, so that a serial tells
// nobody the adhesive. The glue-up order is drawn separately: board after
// board, within a board the adhesives in random order and each adhesive's
// specimens together (one pot), in random order; without boards everything in
// random order. Soaked specimens get their adhesive's bath.
//
// Replicates that the boards do not divide evenly go to boards drawn by lot,
// the emptiest first, the same boards for every treatment of an adhesive, so
// that controls keep a partner.
func Allocate(s *tracker.Study) []tracker.Specimen {
	cells := shuffledCells(s)
	order := glueUpOrder(s, cells, newLot(s.Seed, lotGlueUp))
	codes := labels.Deal(s.Prefix, len(cells))
	specimens := make([]tracker.Specimen, len(cells))
	for i, c := range cells {
		specimens[i] = specimen(s, c)
		specimens[i].Code, specimens[i].Order = codes[i], order[i]
	}
	return specimens
}

// specimen is a cell still without its code and its place in the glue-up.
func specimen(s *tracker.Study, c cell) tracker.Specimen {
	return tracker.Specimen{
		Adhesive:  s.Adhesives[c.adhesive].Key,
		Treatment: s.Treatments[c.treatment].Key,
		Board:     boardName(s, c.board),
		Bath:      bath(s, c),
	}
}

// Replicates returns how many specimens the plan wants of an adhesive and a
// treatment: the treatment's number for that adhesive, else the adhesive's
// own, else the treatment's.
func Replicates(a tracker.Adhesive, t tracker.Treatment) int {
	if n, ok := t.ByAdhesive[a.Key]; ok {
		return n
	}
	if a.Replicates > 0 {
		return a.Replicates
	}
	return t.Replicates
}

// ReplicateRange returns the fewest and the most specimens of a treatment that any
// adhesive of the study has.
func ReplicateRange(s *tracker.Study, t tracker.Treatment) (least, most int) {
	for i, a := range s.Adhesives {
		n := Replicates(a, t)
		if i == 0 || n < least {
			least = n
		}
		most = max(most, n)
	}
	return least, most
}

// SpecimenCount returns how many specimens the plan wants in all.
func SpecimenCount(s *tracker.Study) int {
	n := 0
	for _, a := range s.Adhesives {
		n += specimensOf(s, a)
	}
	return n
}

// shuffledCells lists the cells board by board, each board in random order.
func shuffledCells(s *tracker.Study) []cell {
	boards := fill(s)
	lot := newLot(s.Seed, lotSerials)
	for _, b := range boards {
		shuffle(lot, b)
	}
	return slices.Concat(boards...)
}

// fill gives every board its cells, in the order of the plan.
func fill(s *tracker.Study) [][]cell {
	boards := make([][]cell, max(1, len(s.Wood.Boards)))
	lot := newLot(s.Seed, lotBoards)
	for a, adhesive := range s.Adhesives {
		turn := emptiestFirst(lot, boards)
		for t, treatment := range s.Treatments {
			for i := range Replicates(adhesive, treatment) {
				b := i % len(boards)
				if whole := Replicates(adhesive, treatment) / len(boards) * len(boards); i >= whole {
					b = turn[i-whole]
				}
				boards[b] = append(boards[b], cell{a, t, b})
			}
		}
	}
	return boards
}

// emptiestFirst draws an order of the boards in which fuller ones come later.
func emptiestFirst(lot *lot, boards [][]cell) []int {
	full := make([]int, len(boards))
	for i := range boards {
		full[i] = len(boards[i])
	}
	return fewestFirst(lot, full)
}

// glueUpOrder returns, for every cell, its place in the glue-up from 1.
func glueUpOrder(s *tracker.Study, cells []cell, lot *lot) []int {
	places := make([]int, len(cells))
	for i := range places {
		places[i] = i
	}
	shuffle(lot, places)
	if len(s.Wood.Boards) > 0 {
		pots := potOrder(s, lot)
		slices.SortStableFunc(places, func(i, j int) int {
			return pots[cells[i].board][cells[i].adhesive] - pots[cells[j].board][cells[j].adhesive]
		})
	}
	order := make([]int, len(cells))
	for at, i := range places {
		order[i] = at + 1
	}
	return order
}

// potOrder numbers the pots, board after board, the adhesives of a board in
// random order.
func potOrder(s *tracker.Study, lot *lot) [][]int {
	pots := make([][]int, len(s.Wood.Boards))
	for b := range pots {
		pots[b] = make([]int, len(s.Adhesives))
		for a := range pots[b] {
			pots[b][a] = b*len(s.Adhesives) + a
		}
		shuffle(lot, pots[b])
	}
	return pots
}

func boardName(s *tracker.Study, board int) string {
	if len(s.Wood.Boards) == 0 {
		return ""
	}
	return s.Wood.Boards[board].Name
}

func bath(s *tracker.Study, c cell) string {
	if !s.Treatments[c.treatment].Soaked {
		return ""
	}
	return s.Adhesives[c.adhesive].Bath
}
