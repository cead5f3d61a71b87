package tables

import (
	"time"

	"soaktag/labels"
	"soaktag/tracker"
	"soaktag/tracker/strength"
)

// A Scan is what became of a line of scans, as other programs read it, scan/1:
// one for every line that is not empty, and for a bath one for every specimen.
type Scan struct {
	Line     int           `json:"line"`
	Text     string        `json:"text"` // as read
	Code     strength.Text `json:"code"`
	Half     *int          `json:"half"`
	Stage    strength.Text `json:"stage"`
	At       strength.Text `json:"at"` // null when only a range is known
	Recorded bool          `json:"recorded"`
	Event    strength.Text `json:"event"`
	Card     strength.Text `json:"card"`
	Trial    strength.Text `json:"trial,omitempty"` // a trial label; code is then null
	Problem  strength.Text `json:"problem"`         // why it was not recorded
	Waits    strength.Text `json:"waits,omitempty"` // what is to follow the code, at the break: reading
	Heard    strength.Text `json:"heard,omitempty"` // an answer about the code, still to be recorded
	Marks    []RecordMark  `json:"marks"`
	Next     *ScanNext     `json:"next"`
}

// A ScanNext is what comes next for the specimen.
type ScanNext struct {
	Stage  string        `json:"stage"`
	Opens  strength.Text `json:"opens"`
	At     strength.Text `json:"at"`
	Closes strength.Text `json:"closes"`
}

// NewScan takes over what was recorded of a line, with times in a zone.
func NewScan(v tracker.Verdict, zone *time.Location) Scan {
	doc := Scan{Code: strength.Text(v.Event.Code), Stage: strength.Text(v.Event.Stage),
		Recorded: true, Event: strength.Text(v.Event.ID), Marks: []RecordMark{}}
	if code, err := labels.Parse(v.Event.Code); err != nil && v.Specimen != nil {
		doc.Code = strength.Text(v.Specimen.Code.Whole().String())
	} else if err == nil {
		doc.Code = strength.Text(code.Whole().String())
	}
	if t, ok := tracker.TrialOf(v.Event.Code); ok {
		doc.Code, doc.Trial = "", strength.Text(t.String()) // it is no specimen
	}
	if v.Event.Half != 0 {
		doc.Half = &v.Event.Half
	}
	if v.Event.At.Exact() {
		doc.At = localTime(v.Event.At.From, zone)
	}
	for _, m := range v.Marks {
		doc.Marks = append(doc.Marks, NewRecordMark(m))
	}
	if n := v.Next; n != nil {
		doc.Next = &ScanNext{string(n.Named()), localTime(n.Window.Opens, zone),
			localTime(n.Window.At, zone), localTime(n.Window.Closes, zone)}
	}
	return doc
}
