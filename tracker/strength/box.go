package strength

// A Box is all that one specimen alone can be put into. It ranks nothing.
type Box string

const (
	BoxFellApart Box = "fell apart" // before any load
	BoxBondBroke Box = "bond broke"
	BoxWoodBroke Box = "wood broke" // the bond is stronger than the wood
	BoxNoAnswer  Box = "no answer"  // the rig gave way first, or it was left out or not broken
)

// Boxes are all, in the order in which they are told.
var Boxes = []Box{BoxFellApart, BoxBondBroke, BoxWoodBroke, BoxNoAnswer}

// BoxOf returns the box of a specimen that is the only one of its adhesive.
func BoxOf(s Specimen) Box {
	switch s.Outcome {
	case FellApart:
		return BoxFellApart
	case Broke:
		return BoxBondBroke
	case WoodLimited:
		return BoxWoodBroke
	}
	return BoxNoAnswer
}
