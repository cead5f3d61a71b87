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
	Page        string // of sheets to print: "a4" or "letter"; empty when not given
	Stock       string // what labels are printed on, as labels.ParseStock reads it; empty when not given
	By          string // who records unless another is named; empty when not given

	Wood       Wood
	Specimen   SpecimenPlan
	Adhesives  []Adhesive  // in the order of the file
	Treatments []Treatment // in the order of the file
	Intervals  []schedule.Interval
	Rigs       []Rig
	Rule       Limits
	Shop       []ShopHours
	Away       []Absence     // in the order of the file
	Scale      quantity.Mass // one division of the shop's scale; zero when not given
	People     int           // hands that work side by side; zero when not given

	// Units are those that people are shown, as the plan gives the bond in them.
	// What other programs read is always metric.
	Units quantity.System

	Text []byte // the plan file, byte for byte
}

// Wood is the stock the blanks are cut from.
type Wood struct {
	Species string
	Kerf    quantity.Length
	Spare   quantity.Share // extra blanks, as a share of those needed
	Boards  []Board        // empty: the design is not blocked

	Dry, Wet GivenShear       // the person's own values of the wood's strength
	Density  quantity.Density // of the blanks as they are soaked; zero when not given
}

// A GivenShear is a shear strength that a person gives instead of the table's,
// with where it comes from. Zero when not given.
type GivenShear struct {
	Shear  quantity.Pressure
	Source string
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
	TimePerBond           time.Duration   // to spread and close one; zero when not given
	ClampForce            quantity.Force  // the most that one clamp can give; zero when not known
	MeasuredWithin        quantity.Length // half-width of a measured side of the bond; zero when not given
	Caliper               quantity.Length // half-width of the caliper itself; zero when not given
}

// An Adhesive is known by its key for life; its name may change.
type Adhesive struct {
	Key, Name    string
	Bath         string // empty when the plan names none
	Spread       quantity.Spread
	Pressure     quantity.Pressure
	Contact      bool
	PotLife      time.Duration
	OpenTime     time.Duration  // open assembly time: from spreading to closing; zero when not given
	ClosedTime   time.Duration  // closed assembly time: from closing to pressing; zero when not given
	Mix          quantity.Ratio // parts by mass; empty for one part, or when not given
	CuresInWater bool
	SolidWood    bool // no bond at all: the wood's own strength, as a yardstick
	Replicates   int  // overrides the treatment's when not zero
	Intervals    []schedule.Interval
}

// A Treatment is what is done to a specimen between cure and break.
type Treatment struct {
	Key         string
	Control     bool // not soaked, compared against
	Replicates  int
	Water       string           // as written, "20 C +/- 5 C"; empty when not given
	WaterChange schedule.Planned // from one change of the bath's water to the next; None where the plan does not say
	State       string           // state at break: "wet", "dry", "re-dried", ...
	Soaked      bool             // immersion and lift-out are among its stages
	Age         schedule.Planned
	Intervals   []schedule.Interval
	ByAdhesive  map[string]int // replicates by adhesive key, where they differ
	Expected    GivenShear     // strength expected of its bonds

	// Protocol is the published schedule that it follows, open steps filled in,
	// to be shown with its source and standing; its Name is empty without one.
	// Intervals hold it.
	Protocol schedule.Protocol
}

// A Rig is a press with its gauge and everything that carries the load.
type Rig struct {
	Name    string
	Load    string        // direction of load, in words
	RamArea quantity.Area // zero when the gauge reads force
	Gauge   Gauge
	Parts   []Part

	Stroke quantity.Volume // oil that one stroke of the pump moves; zero when not given
	Give   quantity.Length // how far it all gives up to a break; zero when not measured
	Rate   quantity.Speed  // the travel wanted; zero when not given
}

// A Gauge is what the reading is taken from.
type Gauge struct {
	ReadsForce          bool
	Span, Division      quantity.Reading // in the dial's own unit; zero when not given
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

// Limits decide what a number means.
type Limits struct {
	WoodLimitedAt quantity.Share // 0.8 unless the plan says otherwise
	Blind         bool           // break by code, adhesive not shown; true unless the plan says otherwise
	CountProbable bool           // a code only matched in a photograph counts before it is confirmed
	PlainScale    bool           // fit on the plain scale instead of the log scale
}

// ShopHours is when somebody is there on one day of the week, in minutes after
// midnight.
type ShopHours struct {
	Day         time.Weekday
	Opens, Ends int
}

// An Absence is a time when nobody is in the shop, whatever its hours: from the
// beginning of a day until the beginning of the day after the last.
type Absence struct{ From, Until time.Time }

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
	Parent                string          // re-glued from its halves: the printed code of the earlier specimen
}
