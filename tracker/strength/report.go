// Package strength turns what happened at the press into what it means: the
// reading into a force and a shear stress, the way a try ended into an
// outcome, and specimens into groups, retention and comparisons.
//
// A number is given only as strongly as its history allows. Readings at which
// wood or rig gave way first are bounds; groups that were treated or broken
// differently are not comparable, with the reasons. What comes out are facts:
// package wording says them, and package tables gives them the shape that other
// programs rely on. A nil number is not known, and nothing is ever NaN.
package strength

import "soaktag/tracker/stat"

// An Outcome says what a try at a break told, in the trade's words.
type Outcome string

const (
	Broke          Outcome = "broke"           // exact: the bond gave way
	WoodLimited    Outcome = "wood-limited"    // the wood gave way first: at least the reading
	FixtureFailure Outcome = "fixture failure" // the rig gave way first: at least the reading
	PressLimit     Outcome = "press limit"     // the press could do no more: at least the reading
	Stopped        Outcome = "stopped"         // somebody stopped: at least the reading
	Slipped        Outcome = "slipped"         // the specimen slipped: at least the reading
	FellApart      Outcome = "fell apart"      // no load was put on it: zero
	Damaged        Outcome = "damaged"         // left out
	Lost           Outcome = "lost"            // left out
	Withdrawn      Outcome = "withdrawn"       // left out
	NoneYet        Outcome = "none yet"        // not broken, or no try gave a reading
)

// A Report is everything the record says about strength.
type Report struct {
	Specimens   []Specimen
	Groups      []Group
	Retention   []Retention
	Comparisons []Comparison
	Letters     map[string]LettersByKey // by treatment

	Findings    []Finding     // what all this comes to, the weightiest first
	Sensitivity []Sensitivity // groups whose mean hangs on a choice
}

// LettersByKey gives each adhesive its letters: two adhesives that share one
// are not told apart.
type LettersByKey map[string]string

// A Specimen is one bond with its strength.
type Specimen struct {
	Code        string
	Name        Text
	Adhesive    string
	Treatment   string
	Board       Text
	Outcome     Outcome
	Bound       stat.Bound
	Reading     *float64 // in Unit, as read
	Unit        Text
	ForceN      *float64
	ShearMPa    *float64
	PlusMinus   *float64 // expanded, coverage factor 2
	WoodFailure *float64
	Mode        Text
	Rig         Text
	State       Text
	Provisional bool // separated, and not both fracture faces read yet
	HalvesRead  int  // of a separated one: 0 to 2
	Nominal     bool
	Marks       []Mark

	block    string
	division float64 // of the gauge, as a share of the reading; 0 where it is not known
}

// HalfRead reports whether s is provisional for want of one half only.
func (s Specimen) HalfRead() bool { return s.Provisional && s.HalvesRead == 1 }

// Called is the person's own name for s, else its code.
func (s Specimen) Called() string {
	if s.Name != "" {
		return string(s.Name)
	}
	return s.Code
}

// A Group is the specimens of one adhesive and treatment that were broken on
// one rig in one state. A specimen that met no rig counts with the largest
// group of its adhesive and treatment.
type Group struct {
	Adhesive    string
	Treatment   string
	Rig         Text
	State       Text
	N           int // Broke + WoodLimited + AtLeast + FellApart + LeftOut
	Broke       int
	WoodLimited int
	WoodFailure *float64 // mean of those judged
	AtLeast     int      // fixture, press limit, stopped, slipped
	FellApart   int
	LeftOut     int
	Blocks      int // bonded blocks that survivors come from; each counts once

	Mean          *float64 // survivors, and fell apart as 0
	SD            *float64
	MeanSurvivors *float64
	SDSurvivors   *float64
	Low           *float64 // 95 % t interval of survivors
	High          *float64
	Fitted        *float64
	FittedLow     *float64
	FittedHigh    *float64
	LowerBound    *float64 // of the median, 95 %, where no bond broke
	FellApartLow  *float64 // exact 95 % limits of the share
	FellApartHigh *float64 // that would fall apart
	PlainScale    bool     // the fit is on the plain scale, not on that of logarithms
	FitBounds     int      // lower bounds in the fit
	Warnings      []Warning

	Stragglers  []Straggler // were treated otherwise than the rest of it
	MeanWithout *float64    // of survivors that are none; nil without a survivor that is one, or with no other

	Members []Specimen // in the order dealt; those that met no rig last
}

// A Retention is the strength left after a treatment, over that of the dry
// control: means of survivors, and by board.
type Retention struct {
	Adhesive     string
	Treatment    string
	Rig          Text // of the treated group
	State        Text
	Ratio        *float64
	Low          *float64
	High         *float64
	Bound        stat.Bound // that of the wet mean over the dry one: AtLeast, AtMost, or Either
	FiellerLow   *float64   // limits on the plain scale; nil where
	FiellerHigh  *float64   // they are not two
	FiellerShape Text       // what kind of limits they are
	Pairs        int
	PairedRatio  *float64
	PairedLow    *float64
	PairedHigh   *float64
	PairsLeftOut []LeftOutPair

	RatioWithZeros *float64 // of means in which what fell apart is 0; nil where nothing did
	MostFell       bool     // more than half of either group: Ratio is of a few

	Stragglers   []Straggler // of either group; of the control in age too
	RatioWithout *float64    // without them; nil where none survived, or no other
	LowWithout   *float64
	HighWithout  *float64

	Comparable bool
	Reasons    []Reason // why not, and what is left out of it
}

// A LeftOutPair is a board whose pair has no two survivors.
type LeftOutPair struct {
	Board string
	Who   []Specimen // did not survive; none where a partner is not broken yet
}

// A Comparison sets two adhesives of one treatment side by side, ratio a/b of
// the geometric means of survivors.
type Comparison struct {
	Treatment  string
	A          string
	B          string
	Ratio      *float64
	Low        *float64
	High       *float64
	PAdjusted  *float64
	ToldApart  bool
	Sure       bool // surely told apart, by stat.Judge
	Better     int  // 1: a is surely above b; -1: b above a; 0: not sure
	Ground     stat.Ground
	PSure      *float64 // the least risk at which strengths, or what fell apart, differ
	SureLow    *float64 // limits of Ratio that fit Sure where it rests on strength
	SureHigh   *float64
	Fell       [2]stat.Share // bonded blocks of a and b that fell apart
	Doubt      Doubt         // why not sure, where something differs
	Others     []Another     // the same pair worked out in other ways
	Comparable bool
	Reasons    []Reason // why not, or why in spite of a longer soak; what is left out of it
}
