package tracker

import (
	"time"

	"soaktag/schedule"
)

// A Kind says what an Event records. The numbers are stored and never change.
type Kind uint8

const (
	Begun        Kind = 1  // the study began: plan and specimens
	PlanAmended  Kind = 2  // a new plan text, with a reason
	Issued       Kind = 3  // labels were printed
	Staged       Kind = 4  // a specimen went through a stage
	Measured     Kind = 5  // something was measured
	Tried        Kind = 6  // one try at a break
	FacesRead    Kind = 7  // fracture faces were read
	Photographed Kind = 8  // a photograph was kept
	Ended        Kind = 9  // lost, found, damaged, withdrawn
	Moved        Kind = 10 // into another bath
	Noted        Kind = 11 // a remark
	ClockSeen    Kind = 12 // what a device's clock showed at a known instant
	Accepted     Kind = 13 // a mark no longer asks
	Voided       Kind = 14 // the target never counted
	Exchanged    Kind = 15 // two labels sat on each other's specimen
	Relabelled   Kind = 16 // a label was printed again, or an unknown code explained
)

var kindNames = [...]string{"", "begun", "plan amended", "issued", "stage", "measured", "tried", "faces", "photo",
	"ended", "moved", "noted", "clock", "accepted", "voided", "exchanged", "relabelled"}

func (k Kind) String() string {
	if int(k) < len(kindNames) {
		return kindNames[k]
	}
	return "unknown"
}

// ParseKind is the reverse of Kind.String.
func ParseKind(s string) (Kind, bool) {
	for k, name := range kindNames {
		if name == s && k > 0 {
			return Kind(k), true
		}
	}
	return 0, false
}

// An Event is one raw fact, as somebody read or did it. Nothing computable is
// in it. Fields that a kind does not use are zero. Times are kept to the
// millisecond, in UTC.
type Event struct {
	Seq  int64  // place in this file's log, from 1; given by the store
	ID   string // made by the client, unique; the same id again is the same event
	Kind Kind

	At         schedule.Span // when it happened; the device's own reading if DeviceTime
	DeviceTime bool          // At has yet to be corrected by the device's clock facts
	Doubt      string        // what is doubtful about the time (exists twice, does not exist) or, led by ProbableCode, about the code; asks
	Recorded   time.Time     // when it was written down
	By         string        // who
	Device     string        // on which device
	Count      int64         // that device's own counter
	Via        string        // "scan", "typed", "bath", "import", "photo", "salvage"
	Notebook   string        // the other copy of the study that it was written in, by its file; empty: this one

	Code  string         // as read: "HBR-017-J", a name of the person's own, or text nobody knows
	Half  int            // 1, 2, or 0 when not read
	Stage schedule.Stage // Staged
	Bath  string         // Moved; Staged, Measured and Noted about a whole bath

	Note   string
	Reason string

	Values  []Value       // Measured: what was measured
	Try     *Try          // Tried
	Faces   *Faces        // FacesRead
	End     Ending        // Ended
	Target  string        // Voided, Accepted: the event meant; elsewhere: the event this one replaces
	Rule    Rule          // Accepted: the rule of the mark
	Other   string        // Exchanged: the other code; Relabelled: the unknown code that meant Code; PlanAmended: the event of the plan it was made from
	Until   schedule.Span // Exchanged, Relabelled: until when; zero for ever. From is At.
	Shown   time.Time     // ClockSeen: what the device showed at At
	Issue   int           // Issued, Relabelled: issue number of the label
	Plan    []byte        // Begun, PlanAmended: the plan file
	Dealt   []Specimen    // Begun: the specimens in serial order
	DealtBy string        // Begun: "seed 20260221" or the file they came from

	Photo     string // Photographed: SHA-256 of the photograph's bytes, 64 hexadecimal digits
	PhotoType string // Photographed: "image/jpeg", "image/png" or "image/webp"
}

// A Value is one measured quantity, in the words of who measured it.
type Value struct {
	Name string // "bond_length", "bond_width", "mass_before", "mass_after", "moisture", "water", "room", "state"
	Text string // "40.1 mm"
}

// A Try is one attempt to break a specimen.
type Try struct {
	Rig         string
	Reading     string   // a typed quantity as read, "1310 psi"; empty when there was none
	How         How      // how it ended
	WoodFailure *float64 // percent; nil when not judged
	Mode        string   // failure mode, "SF", "mixed", ...; empty when not judged
	State       string   // state at break, where somebody said so: "wet", "part-dried", "re-dried"
}

// Faces is a reading of the fracture faces of one half.
type Faces struct {
	WoodFailure float64 // percent
	Mode        string
	Shallow     bool // wood failure of a few fibres only
}

// An Ending takes a specimen out of the count, or back into it.
type Ending string

const (
	Lost      Ending = "lost"
	Found     Ending = "found"
	Damaged   Ending = "damaged"
	Withdrawn Ending = "withdrawn"
)

// Known reports whether e is one of those.
func (e Ending) Known() bool {
	return e == Lost || e == Found || e == Damaged || e == Withdrawn
}
