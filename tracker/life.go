package tracker

import (
	"slices"
	"time"

	"soaktag/schedule"
	"soaktag/tracker/quantity"
)

// A Life is all that is known of one specimen: a fold over its events in the
// order of corrected time.
type Life struct {
	Specimen Specimen
	Steps    []Step         // what happened, in order
	Next     schedule.Stage // the next open stage; empty when the life is over
	Pass     int            // of an immersion or lift-out that is next in planned cycles, from 1; else 0
	Spells   []Spell        // times under water
	Lapses   []Lapse        // every planned interval, begun or not, in plan order
	Tries    []TryAt        // tries at a break, in order; double scans left out
	Halves   [2]*Faces      // fracture faces of half 1 and 2, latest reading
	Photos   []PhotoAt      // photographs kept of it, in the order of time
	End      Ending         // Lost, Damaged or Withdrawn; empty otherwise
	EndNote  string
	State    string // state at break or now: "dry", "wet", "part-dried", "re-dried"

	BondLength, BondWidth quantity.Length // measured, else as dealt, else nominal
	Nominal               bool            // neither length nor width was measured
	MassBefore, MassAfter quantity.Mass   // zero when not weighed

	Issue [2]int // issue number of the label on half 1 and 2
	Marks []Mark // what looks wrong, oldest first

	code string           // the specimen's, as it is printed
	path []schedule.Stage // the stages it goes through

	passes int // how often it goes through the bath as planned
}

// A Step is a stage that a specimen went through.
type Step struct {
	Stage schedule.Stage
	At    schedule.Span // corrected
	Event string        // id
	Pass  int           // of an immersion or lift-out in planned cycles, from 1; else 0
}

// GluedUp is when a specimen was glued up; false when it was not yet.
func (l *Life) GluedUp() (schedule.Span, bool) {
	i := slices.IndexFunc(l.Steps, func(s Step) bool { return s.Stage == schedule.GlueUp })
	if i < 0 {
		return schedule.Span{}, false
	}
	return l.Steps[i].At, true
}

// A Spell is a time under water. A zero Out means it still lies there.
type Spell struct{ In, Out schedule.Span }

// A Lapse is one planned interval of one specimen, as it went.
type Lapse struct {
	Interval schedule.Interval // with the plan in force for this specimen when it began
	Original schedule.Planned  // of the plan that the study began with; None where that had no such interval
	From, To schedule.Span     // corrected; zero when not reached
	Begun    bool
	Done     bool
	Lo, Hi   time.Duration    // length once done; for a soak the sum of its spells
	Verdict  schedule.Verdict // Running until done
	Closed   string           // id of the event that ended it

	edition int // the plan it goes by: 0 is the original, 1 the first amendment that counts
}

// A TryAt is a try with its corrected time.
type TryAt struct {
	Try
	At    schedule.Span
	Event string
	Aside bool // it parted the bond, but another try is the break
}

// A PhotoAt is a photograph of a specimen. Its bytes are in the study, under
// the hash.
type PhotoAt struct {
	Event string // id
	Half  int    // 1, 2, or 0 when not said
	At    schedule.Span
	SHA   string // SHA-256 of the bytes, 64 hexadecimal digits
	Type  string // "image/jpeg", "image/png" or "image/webp"
	Note  string
}

// A Verdict is what the record says of a new event.
type Verdict struct {
	Event    Event
	Specimen *Specimen // nil when the code is not known
	Marks    []Mark    // marks that the event brings
	Next     *Due      // what comes next for the specimen; nil when nothing does
}

// A Due is the next thing to happen to a specimen, a dummy to be broken on a
// rig, or the water of a bath to be changed (Stage is WaterChange then).
type Due struct {
	Specimen Specimen
	Rig      string // of a dummy, which is no specimen; else empty
	Bath     string
	Interval string         // the interval that ends with Stage
	Stage    schedule.Stage // what is to be done
	Pass     int            // of an immersion or lift-out in planned cycles, from 1; else 0
	From     time.Time      // when that interval began; its middle, where that is a range; zero where it is not known
	Window   schedule.Window
	State    schedule.State
	Over     time.Duration // past the end of the window; zero when not overdue
	Sure     bool          // false when the window follows from a time known only as a range, or from a forecast
}

// PlanReader turns the text of a plan file into the Study it means. Package
// plan has it; tracker must not know TOML.
type PlanReader func(text []byte) (Study, error)
