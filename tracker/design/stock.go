package design

import (
	"math"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// BlanksPerSpecimen is two: a specimen is two blanks bonded face to face. One
// of solid wood is a single piece as thick as the two, and counts as two as
// well, for it takes the wood of two.
const BlanksPerSpecimen = 2

// Trim is cut off a board's ends before the first blank: 50 mm in all, for
// checks and a square start (common practice, no published source).
const Trim = quantity.Length(0.050)

// Waste is how much more adhesive to mix than the bonds hold: half again
// (common practice, no published source).
const Waste = 1.5

// A Cut says how many blanks to cut from one board and how much of it that
// takes. Without boards in the plan there is one Cut, with an empty Board.
type Cut struct {
	Board  string
	Bonded int             // blanks that get bonded
	Blanks int             // blanks to cut: bonded and spare
	Across int             // blanks side by side across the board; 0 when a size is not given
	Fits   int             // blanks that the whole board gives
	Length quantity.Length // of board needed, trim included; 0 when a size is not given
	Of     quantity.Length // the board's length
}

// Enough reports whether the board gives the blanks wanted, as far as the plan
// gives sizes.
func (c Cut) Enough() bool { return c.Of == 0 || c.Fits >= c.Blanks }

// CutList returns what to cut from each board, in the order of the plan. The
// spare is rounded up on every board. Sizes follow from
//
//	across = floor((board width + kerf) / (blank width + kerf))
//	fits   = across * floor((board length - trim + kerf) / (blank length + kerf))
//	length = rows * blank length + (rows - 1) * kerf + trim
//
// with rows = ceil(blanks / across), blank length along the grain. A specimen of
// solid wood counts as two blanks, as if the blank were half of it: cut it from
// stock twice as thick, where its two places are one piece.
func CutList(s *tracker.Study) []Cut {
	var cuts []Cut
	for b, cells := range fill(s) {
		c := Cut{Board: boardName(s, b), Bonded: BlanksPerSpecimen * len(cells)}
		c.Blanks = c.Bonded + ceil(float64(c.Bonded)*float64(s.Wood.Spare))
		if len(s.Wood.Boards) > 0 {
			c.fit(s.Wood.Boards[b].Size, s.Specimen.Blank, s.Wood.Kerf)
		}
		cuts = append(cuts, c)
	}
	return cuts
}

// fit works out how the blanks lie on the board.
func (c *Cut) fit(board, blank tracker.Box, kerf quantity.Length) {
	if board.Length <= 0 || board.Width <= 0 || blank.Length <= 0 || blank.Width <= 0 {
		return
	}
	c.Of = board.Length
	c.Across = floor(float64((board.Width + kerf) / (blank.Width + kerf)))
	if c.Across == 0 {
		return
	}
	c.Fits = c.Across * max(0, floor(float64((board.Length-Trim+kerf)/(blank.Length+kerf))))
	rows := (c.Blanks + c.Across - 1) / c.Across
	if rows > 0 {
		c.Length = quantity.Length(rows)*blank.Length + quantity.Length(rows-1)*kerf + Trim
	}
}

// floor and ceil forgive the last few bits: 153 mm over 51 mm is 3, and 15 %
// of 20 is 3.
func floor(x float64) int { return int(math.Floor(x + 1e-9)) }
func ceil(x float64) int  { return int(math.Ceil(x - 1e-9)) }

// An AdhesiveMass is how much of an adhesive the bonds of a study take.
type AdhesiveMass struct {
	Adhesive string // the plan's key
	Bonds    int
	Net      quantity.Mass // in the bonds: bond area x spread x bonds
	Mix      quantity.Mass // Net x Waste
}

// AdhesiveMasses returns what to mix of each adhesive, in the order of the
// plan; solid wood takes none and is left out. The spread is that of the
// adhesive, else the specimen's; where neither is given the masses are zero.
func AdhesiveMasses(s *tracker.Study) []AdhesiveMass {
	area := quantity.Rectangle(s.Specimen.BondLength, s.Specimen.BondWidth)
	masses := []AdhesiveMass{}
	for _, a := range s.Adhesives {
		if a.SolidWood {
			continue
		}
		m := AdhesiveMass{Adhesive: a.Key, Bonds: specimensOf(s, a)}
		m.Net, m.Mix = Glue(area, spreadOf(s, a), 1, m.Bonds, Waste)
		masses = append(masses, m)
	}
	return masses
}

// spreadOf is how much of an adhesive goes on an area: its own, else the specimen's.
func spreadOf(s *tracker.Study, a tracker.Adhesive) quantity.Spread {
	if a.Spread != 0 {
		return a.Spread
	}
	return s.Specimen.Spread
}
