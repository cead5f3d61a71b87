package tables

import (
	"cmp"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// History is the life of one specimen as other programs read it, history/1; of
// dummies, which are no specimens, Specimen is null.
type History struct {
	Code     string         `json:"code"`
	Specimen *LifeSoFar     `json:"specimen"`
	Events   []HistoryEvent `json:"events"`
	Marks    []RecordMark   `json:"marks"`
}

// LifeSoFar is what is known of a specimen, millimetres.
type LifeSoFar struct {
	Name         strength.Text `json:"name"`
	Adhesive     string        `json:"adhesive"`
	Treatment    string        `json:"treatment"`
	Board        strength.Text `json:"board"`
	BondedBlock  strength.Text `json:"bonded_block"`
	Bath         strength.Text `json:"bath"`
	State        strength.Text `json:"state"`
	Next         strength.Text `json:"next"`
	BondLengthMM float64       `json:"bond_length_mm"`
	BondWidthMM  float64       `json:"bond_width_mm"`
	Nominal      bool          `json:"nominal"`
	Parent       strength.Text `json:"parent"`   // re-glued from its halves
	Children     []string      `json:"children"` // re-glued from this one's
	Issue        [2]int        `json:"issue"`
}

// A HistoryEvent is one entry about a specimen.
type HistoryEvent struct {
	Event        string        `json:"event"`
	Kind         string        `json:"kind"`
	Stage        strength.Text `json:"stage"`
	At           strength.Text `json:"at"`
	From         strength.Text `json:"from"`
	To           strength.Text `json:"to"`
	PlusMinusMin *float64      `json:"plus_minus_min"`
	ReadAt       strength.Text `json:"read_at"`
	RecordedAt   strength.Text `json:"recorded_at"`
	By           strength.Text `json:"by"`
	Device       strength.Text `json:"device"`
	CodeRead     strength.Text `json:"code_read"`
	Half         *int          `json:"half"`  // null where none was named
	Photo        strength.Text `json:"photo"` // SHA-256 of the photograph kept, or that the entry was read in
	Note         strength.Text `json:"note"`
	Reason       strength.Text `json:"reason"`
	Says         string        `json:"says"`
	Notebook     strength.Text `json:"notebook"` // the other notebook it was written in; null for this one
	Voided       bool          `json:"voided"`
	Aside        bool          `json:"aside"` // a try that says it parted the bond, where another is the break
}

// A RecordMark is a mark of the record.
type RecordMark struct {
	Rule     string        `json:"rule"`
	Text     string        `json:"text"`
	Code     strength.Text `json:"code"`
	Event    string        `json:"event"`
	Asks     bool          `json:"asks"`
	Accepted strength.Text `json:"accepted"`
}

// NewRecordMark takes over a mark, in words.
func NewRecordMark(m tracker.Mark) RecordMark {
	return RecordMark{Rule: string(m.Rule), Text: wording.MarkText(m), Code: strength.Text(m.Code), Event: m.Event,
		Asks: m.Open(), Accepted: strength.Text(m.Accepted)}
}

// NewHistory takes over the life of a specimen of the record, with times in the
// zone of the study.
func NewHistory(rec *tracker.Record, sp tracker.Specimen) History {
	life, zone := rec.Life(sp.Code), rec.Study().Zone
	doc := History{Code: sp.Code.Whole().String(), Specimen: soFar(sp, life), Events: []HistoryEvent{}, Marks: []RecordMark{}}
	for _, child := range rec.Children(sp.Code) {
		doc.Specimen.Children = append(doc.Specimen.Children, child.Code.String())
	}
	passes, photoOf := life.PassNames(), rec.PhotoOf()
	for _, entry := range rec.History(sp.Code) {
		told := newHistoryEvent(entry, zone)
		told.Photo = strength.Text(photoOf(entry.Event))
		told.Says = cmp.Or(string(passes[entry.Event.ID]), told.Says)
		doc.Events = append(doc.Events, told)
	}
	for _, m := range life.Marks {
		doc.Marks = append(doc.Marks, NewRecordMark(m))
	}
	return doc
}

// NewDummyHistory takes over what happened to dummies.
func NewDummyHistory(rec *tracker.Record) History {
	doc := History{Code: tracker.DummyCode, Events: []HistoryEvent{}, Marks: []RecordMark{}}
	for _, entry := range rec.DummyTries() {
		doc.Events = append(doc.Events, newHistoryEvent(entry, rec.Study().Zone))
	}
	return doc
}

func soFar(sp tracker.Specimen, life *tracker.Life) *LifeSoFar {
	return &LifeSoFar{
		Name: strength.Text(sp.Name), Adhesive: sp.Adhesive, Treatment: sp.Treatment,
		Board: strength.Text(sp.Board), BondedBlock: strength.Text(sp.BondedBlock), Bath: strength.Text(sp.Bath),
		State: strength.Text(life.State), Next: strength.Text(life.NextNamed()),
		BondLengthMM: life.BondLength.MM(), BondWidthMM: life.BondWidth.MM(), Nominal: life.Nominal, Issue: life.Issue,
		Parent: strength.Text(sp.Parent), Children: []string{},
	}
}

func newHistoryEvent(entry tracker.Entry, zone *time.Location) HistoryEvent {
	e := entry.Event
	out := HistoryEvent{
		Event: e.ID, Kind: e.Kind.String(), Stage: strength.Text(e.Stage),
		At: localTime(entry.Span.Mid(), zone), PlusMinusMin: plusMinus(entry.Span),
		RecordedAt: localTime(e.Recorded, zone), By: strength.Text(e.By), Device: strength.Text(e.Device),
		CodeRead: strength.Text(e.Code), Note: strength.Text(e.Note), Reason: strength.Text(e.Reason),
		Says: wording.Says(e), Notebook: strength.Text(e.Notebook), Voided: entry.Voided, Aside: entry.Aside,
	}
	if e.Half != 0 {
		out.Half = &e.Half
	}
	if !entry.Span.Exact() {
		out.From, out.To = localTime(entry.Span.From, zone), localTime(entry.Span.To, zone)
	}
	if e.DeviceTime {
		out.ReadAt = localTime(e.At.Mid(), zone)
	}
	return out
}

// plusMinus is half a span in minutes; nil when an end is open.
func plusMinus(span schedule.Span) *float64 {
	if span.From.IsZero() || span.To.IsZero() {
		return nil
	}
	half := span.To.Sub(span.From).Minutes() / 2
	return &half
}
