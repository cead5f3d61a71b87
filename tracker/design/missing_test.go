package design

import (
	"fmt"
	"slices"
	"testing"

	"soaktag/labels"
	"soaktag/tracker"
)

// grown deals a study, and then what a larger one lacks, with codes as a desk
// gives them.
func grown(small, large *tracker.Study) (first, more []tracker.Specimen) {
	first = Allocate(small)
	more = Missing(large, first)
	for i := range more {
		more[i].Code = labels.New(large.Prefix, first[len(first)-1].Code.Serial+1+i)
	}
	return first, more
}

// Whatever was dealt before, afterwards every group has what the plan wants, the
// boards share it as evenly as whole specimens allow, controls have their partner
// on the board, and the places in the glue-up go on, pot by pot.
func TestMissing(t *testing.T) {
	for _, test := range []struct{ boardsBefore, before, boards, after int }{
		{0, 1, 0, 3}, {1, 1, 1, 3}, {1, 1, 3, 3}, {3, 3, 3, 5}, {2, 3, 2, 4}, {3, 1, 3, 2}, {3, 2, 4, 4}, {2, 1, 5, 5},
	} {
		small, large := loft(test.boardsBefore, test.before), loft(test.boards, test.after)
		first, more := grown(small, large)
		all := slices.Concat(first, more)
		name := fmt.Sprintf("%+v", test)
		for cell, n := range counts(all, cellOf) {
			if n != test.after {
				t.Errorf("%s: %d of %s", name, n, cell)
			}
		}
		onBoard := counts(all, func(s tracker.Specimen) string { return cellOf(s) + " " + s.Board })
		for _, b := range large.Wood.Boards {
			for _, a := range large.Adhesives {
				dry, wet := onBoard[a.Key+" dry "+b.Name], onBoard[a.Key+" soaked "+b.Name]
				least := test.after / test.boards
				if dry != wet || dry < least && test.before <= least || dry > max(least+1, test.before) {
					t.Errorf("%s: %s on %s: %d dry, %d soaked", name, a.Key, b.Name, dry, wet)
				}
			}
		}
		places := map[int]bool{}
		for _, s := range all {
			places[s.Order] = true
		}
		if len(places) != len(all) || len(Missing(large, all)) != 0 {
			t.Errorf("%s: %d places for %d; then %d missing", name, len(places), len(all), len(Missing(large, all)))
		}
		pots(t, name, more)
	}
}

// pots looks that an adhesive of a board is glued in one go.
func pots(t *testing.T, name string, more []tracker.Specimen) {
	slices.SortFunc(more, func(a, b tracker.Specimen) int { return a.Order - b.Order })
	began := map[string]bool{}
	for i, s := range more {
		pot := s.Board + s.Adhesive
		if s.Board == "" || i > 0 && more[i-1].Board+more[i-1].Adhesive == pot {
			continue
		}
		if began[pot] {
			t.Errorf("%s: %s on board %s is mixed twice", name, s.Adhesive, s.Board)
		}
		began[pot] = true
	}
}

// What was glued anew fills no place of the design, nor does what has no board
// fill one on a board; the same plan and specimens are dealt alike, and a second
// addition unlike the first.
func TestMissingCounts(t *testing.T) {
	s := loft(2, 2)
	first := Allocate(s)
	lost := slices.Clone(first[1:])
	lost = append(lost, tracker.Specimen{Code: labels.New("HBR", 90), Adhesive: first[0].Adhesive, Treatment: first[0].Treatment,
		Board: first[0].Board, Parent: first[1].Code.String()})
	more := Missing(s, lost)
	if len(more) != 1 || cellOf(more[0]) != cellOf(first[0]) || more[0].Board != first[0].Board {
		t.Errorf("%+v", more)
	}
	boardless := slices.Clone(first)
	boardless[0].Board = ""
	if more := Missing(s, boardless); len(more) != 0 {
		t.Errorf("%+v", more)
	}
	large := loft(2, 8)
	if a, b := Missing(large, first), Missing(large, first); !slices.Equal(a, b) {
		t.Error("dealt twice, and not alike")
	}
	order := func(all []tracker.Specimen) (cells []string) {
		for _, s := range all[:12] {
			cells = append(cells, cellOf(s)+s.Board)
		}
		return cells
	}
	_, second := grown(loft(2, 2), loft(2, 4))
	if third := Missing(loft(2, 6), slices.Concat(first, second)); slices.Equal(order(second), order(third)) {
		t.Error("the second addition is dealt like the first")
	}
}
