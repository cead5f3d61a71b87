// Package strength turns what happened at the press into what it means: the
// reading into a force and a shear stress, the way a try ended into an
// outcome, and specimens into groups, retention and comparisons.
//
// A number is given only as strongly as its history allows. Readings at which
// wood or rig gave way first are bounds; groups that were treated or broken
// differently are not comparable, with the reasons. The types here are the
// shape that other programs may rely on: nil is written null and means not
// known, and nothing is ever NaN.
package strength

import (
	"soaktag/tracker"
	"soaktag/tracker/stat"
)

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
	Specimens   []Specimen              `json:"specimens"`
	Groups      []Group                 `json:"groups"`
	Retention   []Retention             `json:"retention"`
	Comparisons []Comparison            `json:"comparisons"`
	Letters     map[string]LettersByKey `json:"letters"` // by treatment

	Findings    []string      `json:"findings"`    // what all this comes to, in words
	Sensitivity []Sensitivity `json:"sensitivity"` // groups whose mean hangs on a choice
}

// LettersByKey gives each adhesive its letters: two adhesives that share one
// are not told apart.
type LettersByKey map[string]string

// A Specimen is one bond with its strength.
type Specimen struct {
	Code        string     `json:"code"`
	Name        Text       `json:"name"`
	Adhesive    string     `json:"adhesive"`
	Treatment   string     `json:"treatment"`
	Board       Text       `json:"board"`
	Outcome     Outcome    `json:"outcome"`
	Bound       stat.Bound `json:"bound"`
	Reading     *float64   `json:"reading"` // in Unit, as read
	Unit        Text       `json:"unit"`
	ForceN      *float64   `json:"force_n"`
	ShearMPa    *float64   `json:"shear_mpa"`
	PlusMinus   *float64   `json:"shear_plus_minus_mpa"` // expanded, coverage factor 2
	WoodFailure *float64   `json:"wood_failure_pct"`
	Mode        Text       `json:"failure_mode"`
	Rig         Text       `json:"rig"`
	State       Text       `json:"state"`
	Provisional bool       `json:"provisional"` // separated, and no fracture face read yet
	Nominal     bool       `json:"nominal_area"`
	Marks       []Mark     `json:"marks"`

	block string
}

// Called is the person's own name for s, else its code.
func (s Specimen) Called() string {
	if s.Name != "" {
		return string(s.Name)
	}
	return s.Code
}

// A Mark is something about a specimen that a reader of its strength must know.
type Mark struct {
	Rule string       `json:"rule"`
	Text string       `json:"text"` // of a mark of the record empty, until package wording wrote it
	Asks bool         `json:"asks"`
	Of   tracker.Mark `json:"-"` // of the record; zero where strength itself made it
}

// A Group is the specimens of one adhesive and treatment that were broken on
// one rig in one state. A specimen that met no rig counts with the largest
// group of its adhesive and treatment.
type Group struct {
	Adhesive    string   `json:"adhesive"`
	Treatment   string   `json:"treatment"`
	Rig         Text     `json:"rig"`
	State       Text     `json:"state"`
	N           int      `json:"n"` // Broke + WoodLimited + AtLeast + FellApart + LeftOut
	Broke       int      `json:"broke"`
	WoodLimited int      `json:"wood_limited"`
	WoodFailure *float64 `json:"wood_failure_pct"` // mean of those judged
	AtLeast     int      `json:"at_least"`         // fixture, press limit, stopped, slipped
	FellApart   int      `json:"fell_apart"`
	LeftOut     int      `json:"left_out"`
	Units       int      `json:"bonded_blocks"` // that survivors come from; each counts once

	Mean          *float64 `json:"mean_mpa"` // survivors, and fell apart as 0
	SD            *float64 `json:"sd_mpa"`
	MeanSurvivors *float64 `json:"mean_survivors_mpa"`
	SDSurvivors   *float64 `json:"sd_survivors_mpa"`
	Low           *float64 `json:"low_mpa"` // 95 % t interval of survivors
	High          *float64 `json:"high_mpa"`
	Fitted        *float64 `json:"fitted_mpa"`
	FittedLow     *float64 `json:"fitted_low_mpa"`
	FittedHigh    *float64 `json:"fitted_high_mpa"`
	LowerBound    *float64 `json:"lower_bound_mpa"`     // of the median, 95 %, where no bond broke
	FellApartLow  *float64 `json:"fell_apart_low_pct"`  // exact 95 % limits of the share
	FellApartHigh *float64 `json:"fell_apart_high_pct"` // that would fall apart
	Method        string   `json:"method"`
	Warnings      []string `json:"warnings"`

	members []Specimen
}

// A Retention is the strength left after a treatment, over that of the dry
// control: means of survivors, and by board.
type Retention struct {
	Adhesive     string   `json:"adhesive"`
	Treatment    string   `json:"treatment"`
	Ratio        *float64 `json:"ratio"`
	Low          *float64 `json:"low"`
	High         *float64 `json:"high"`
	Bound        string   `json:"bound"` // "=", "<=" a dry survivor wood-limited, ">=" a wet one, "?" both
	Method       string   `json:"method"`
	FiellerLow   *float64 `json:"fieller_low"`   // limits on the plain scale; nil where
	FiellerHigh  *float64 `json:"fieller_high"`  // they are not two
	FiellerShape Text     `json:"fieller_shape"` // what kind of limits they are
	Pairs        int      `json:"pairs"`
	PairedRatio  *float64 `json:"paired_ratio"`
	PairedLow    *float64 `json:"paired_low"`
	PairedHigh   *float64 `json:"paired_high"`
	PairsLeftOut []string `json:"pairs_left_out"` // boards whose pair has no two survivors
	Comparable   bool     `json:"comparable"`
	Reasons      []string `json:"reasons"` // why not, and what is left out of it
}

// A Comparison sets two adhesives of one treatment side by side, ratio a/b of
// the geometric means of survivors.
type Comparison struct {
	Treatment  string    `json:"treatment"`
	A          string    `json:"a"`
	B          string    `json:"b"`
	Ratio      *float64  `json:"ratio"`
	Low        *float64  `json:"low"`
	High       *float64  `json:"high"`
	PAdjusted  *float64  `json:"p_adjusted"`
	ToldApart  bool      `json:"told_apart"`
	Method     string    `json:"method"`
	Sure       bool      `json:"sure"`   // told apart, and not only for want of knowing bounds better
	Doubt      Text      `json:"doubt"`  // why not, where it is told apart
	Others     []Another `json:"others"` // the same pair worked out in other ways
	Comparable bool      `json:"comparable"`
	Reasons    []string  `json:"reasons"` // why not, or why in spite of a longer soak; what is left out of it
}
