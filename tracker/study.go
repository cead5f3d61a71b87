package tracker

import (
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker/quantity"
)

// A Study is what a plan file means: what is intended, before anything
// happened. Package plan reads it; everything else only looks at it.
type Study struct {
	Title       string
	Prefix      string         // two or three letters, no I, L, O
	Zone        *time.Location // the zone the study runs in; String gives its name
	FirstGlueUp time.Time      // zero when the plan does not say
	Seed        uint64

	Wood       Wood
	Specimen   SpecimenPlan
	Adhesives  []Adhesive  // in the order of the file
	Treatments []Treatment // in the order of the file
	Intervals  []schedule.Interval
	Rigs       []Rig
	Rule       Rule
	Shop       []ShopHours

	Text []byte // the plan file, byte for byte
}

// Wood is the stock the blanks are cut from.
type Wood struct {
	Species string
	Kerf    quantity.Length
	Spare   quantity.Share // extra blanks, as a share of those needed
	Boards  []Board        // empty: the design is not blocked
}

// A Board is one block of the design.
type Board struct {
	Name     string
	Size     Box
	Moisture quantity.Share // zero when not given
}

// A Box is a piece of wood: along the grain, across it, and its thickness.
type Box struct{ Length, Width, Thickness quantity.Length }

// SpecimenPlan is the planned geometry and gluing of every specimen.
type SpecimenPlan struct {
	Blank                 Box // zero when not given
	BondLength, BondWidth quantity.Length
	Spread                quantity.Spread   // zero when not given
	Pressure              quantity.Pressure // zero when not given
	Contact               bool              // pressure = "contact"
	Clamps                int               // zero when not given
	TimePerBreak          time.Duration
}

// An Adhesive is known by its key for life; its name may change.
type Adhesive struct {
	Key, Name    string
	Bath         string // empty when the plan names none
	Spread       quantity.Spread
	Pressure     quantity.Pressure
	Contact      bool
	PotLife      time.Duration
	CuresInWater bool
	SolidWood    bool // no bond at all: the wood's own strength, as a yardstick
	Replicates   int  // overrides the treatment's when not zero
	Intervals    []schedule.Interval
}

// A Treatment is what is done to a specimen between cure and break.
type Treatment struct {
	Key        string
	Control    bool // not soaked, compared against
	Replicates int
	Water      string // as written, "20 C +/- 5 C"; empty when not given
	State      string // state at break: "wet", "dry", "re-dried", ...
	Soaked     bool   // immersion and lift-out are among its stages
	Age        schedule.Planned
	Intervals  []schedule.Interval
	ByAdhesive map[string]int // replicates by adhesive key, where they differ
}

// A Rig is a press with its gauge and everything that carries the load.
type Rig struct {
	Name    string
	Load    string        // direction of load, in words
	RamArea quantity.Area // zero when the gauge reads force
	Gauge   Gauge
	Parts   []Part
}

// A Gauge is what the reading is taken from.
type Gauge struct {
	ReadsForce          bool
	SpanPressure        quantity.Pressure
	SpanForce           quantity.Force
	DivisionPressure    quantity.Pressure
	DivisionForce       quantity.Force
	Class               quantity.Share // of span; zero when not given
	Friction, AreaError quantity.Share
}

// A Part carries the load of a rig; a zero limit is not known.
type Part struct {
	Name         string
	WorkingLimit quantity.Force
}

// Rule holds the limits that decide what a number means.
type Rule struct {
	WoodLimitedAt quantity.Share // 0.8 unless the plan says otherwise
	Blind         bool           // break by code, adhesive not shown; true unless the plan says otherwise
	PlainScale    bool           // fit on the plain scale instead of the log scale
}

// ShopHours is when somebody is there on one day of the week, in minutes after
// midnight.
type ShopHours struct {
	Day         time.Weekday
	Opens, Ends int
}

// A Specimen is one bonded thing that gets broken.
type Specimen struct {
	Code                  labels.Code // without a half
	Name                  string      // the person's own mark, where it has one
	Adhesive, Treatment   string      // the plan's keys
	Board                 string      // empty when the design is not blocked
	BondedBlock           string      // several specimens sawn from one glue-up share it
	Bath                  string
	Order                 int             // place in the glue-up order dealt, from 1
	BondLength, BondWidth quantity.Length // zero: the plan's nominal bond
}
