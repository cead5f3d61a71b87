package strength

import (
	"time"

	"soaktag/tracker/stat"
)

// A FindingKind says what a finding is about.
type FindingKind int

// The kinds of findings, the weightiest first, each with the fields of a
// Finding that it uses. Those from InBoxes to FellApartFirst are about one
// Treatment, which they do not name again.
const (
	Unfinished      FindingKind = iota + 1 // N of Of specimens are not broken yet
	OneOfEach                              // one specimen of each kind: nothing to compare
	InBoxes                                // which box each single one fell into: Boxes
	HeldBest                               // Group is told apart from all others, Than
	ReadHighest                            // Group is told apart from Than, but not from Ties
	HangsOnWay                             // the lead of Group hangs on the way: Ways
	NothingToGoBy                          // no scatter in any group
	ReadingsOnly                           // Who[0] and Who[1] differ, but there is a Doubt
	NotToldApart                           // within each of Sets none is, with Each each; Hides
	HeldLess                               // Group is told apart below Than
	DoesNotStand                           // no comparison with Group does: Reason
	LongerSoak                             // Group soaked longer, by Reason, and won all the same over Than
	NoComparison                           // Group cannot be compared: Reason
	NotCompared                            // Group is not with Other: Reason
	LeftAside                              // some of a group are not among those compared: Reason
	BrokenElsewhere                        // Group was broken on another rig or in another state than Other
	NotBroken                              // the rig gave way or stopped first in N of Of of Group, the highest at MPa
	NothingLeft                            // all N of Group were lost, damaged or withdrawn
	Straggled                              // some of Group were treated otherwise than it was
	FellApartFirst                         // some of Group did, before any load
	OtherLength                            // Interval lasted Length for all instead of Planned
	NotAlike                               // Interval lasted from Length to Longest, instead of Planned
	FacesToCome                            // N of Of are provisional
	FellMore                               // surely more of Group fell apart than of Than: Fell, its own first
	ReadsMore                              // Reads: apart if all scatter alike, which Each each cannot show
)

// A Finding is one thing that the results come to. Adhesives stand by their
// keys.
type Finding struct {
	Kind      FindingKind
	Treatment string // that it is about; empty: about an interval, or all
	Interval  string // that it is about; empty: about none

	Group   Group    // whom it is about
	Other   Group    // with whom it is compared
	Who     []string // whom it is about, where they are several
	Than    []string // above or below whom
	Ties    []string // whom it is not told apart from
	Alike   Alike    // among whom it is best
	Beside  []Beside // who was there as well, and may be better
	ByZeros bool     // it is best, or highest, because what fell apart counts as 0
	N, Of   int
	Halved  int // of N, those of which 1 of 2 halves is read
	Sets    [][]string
	Reads   []Reading
	Each    int    // bonded blocks of every one meant; 0 where they have unlike numbers
	Blocks  bool   // several specimens come from one of them
	Hides   Hidden // what may hide a difference
	Fell    []stat.Share
	MPa     float64
	Doubt   Doubt
	Reason  Reason
	Ways    []WayTold
	Boxes   []Boxed
	Planned time.Duration
	Length  time.Duration
	Longest time.Duration
}

// A Reading is that each of Who reads Least to Most times each of Than.
type Reading struct {
	Who, Than   []string
	Least, Most float64
}

// Hidden counts the readings at which something else gave way before the bond.
type Hidden struct {
	N, Of int
	Rig   bool // the rig is among what gave way; else it was the wood
}

// A WayTold is a way of reckoning in which somebody is not told apart from
// those that it leads over.
type WayTold struct {
	Way  Way
	Than []string
}

// A Boxed is a box, and the single specimens' adhesives in it.
type Boxed struct {
	Box Box
	Who []string
}

// Torn is how much of the wood tore on average in the survivors of g on which
// it was judged, in percent, and on how many; nil where it was judged on none.
func (g Group) Torn() (percent *float64, judged int) {
	var xs []float64
	for _, s := range g.Survivors() {
		if s.WoodFailure != nil {
			xs = append(xs, *s.WoodFailure)
		}
	}
	percent, _ = spread(xs)
	return percent, len(xs)
}

// Highest is the highest reading that g bore, in MPa; 0 without any.
func (g Group) Highest() float64 {
	most := 0.0
	for _, s := range g.Loaded() {
		most = max(most, *s.ShearMPa)
	}
	return most
}

// AllApart reports whether nothing of g was left to load: all fell apart that
// were not lost, damaged or withdrawn.
func (g Group) AllApart() bool { return g.FellApart > 0 && g.FellApart == g.N-g.LeftOut }
