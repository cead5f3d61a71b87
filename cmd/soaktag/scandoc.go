package main

import (
	"strings"

	"soaktag/labels"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/tables"
)

// A scanDoc is scan/1: one for every line that is not empty, and for a bath
// one for every specimen of it.
type scanDoc struct {
	Line     int                 `json:"line"`
	Text     string              `json:"text"` // as read
	Code     *string             `json:"code"`
	Half     *int                `json:"half"`
	Stage    *string             `json:"stage"`
	At       *string             `json:"at"` // null when only a range is known
	Recorded bool                `json:"recorded"`
	Event    *string             `json:"event"`
	Card     *string             `json:"card"`
	Trial    *string             `json:"trial,omitempty"` // a trial label; code is then null
	Problem  *string             `json:"problem"`         // why it was not recorded
	Marks    []tables.RecordMark `json:"marks"`
	Next     *scanNext           `json:"next"`
}

type scanNext struct {
	Stage  string  `json:"stage"`
	Opens  *string `json:"opens"`
	At     *string `json:"at"`
	Closes *string `json:"closes"`
}

func (sc *scanning) docOf(line string, v tracker.Verdict) scanDoc {
	doc := scanDoc{Line: sc.line, Text: line, Code: orNull(v.Event.Code), Stage: orNull(string(v.Event.Stage)),
		Recorded: true, Event: orNull(v.Event.ID)}
	if code, err := labels.Parse(v.Event.Code); err != nil && v.Specimen != nil {
		doc.Code = orNull(v.Specimen.Code.Whole().String())
	} else if err == nil {
		doc.Code = orNull(code.Whole().String())
	}
	if t, ok := tracker.TrialOf(v.Event.Code); ok {
		doc.Code, doc.Trial = nil, orNull(t.String()) // it is no specimen
	}
	if v.Event.Half != 0 {
		doc.Half = &v.Event.Half
	}
	if v.Event.At.Exact() {
		doc.At = timeOrNull(v.Event.At.From, sc.zone())
	}
	for _, m := range v.Marks {
		doc.Marks = append(doc.Marks, tables.NewRecordMark(m))
	}
	if n := v.Next; n != nil {
		doc.Next = &scanNext{string(n.Named()), timeOrNull(n.Window.Opens, sc.zone()),
			timeOrNull(n.Window.At, sc.zone()), timeOrNull(n.Window.Closes, sc.zone())}
	}
	return doc
}

// emitNote writes the object for a line that was refused, or for a card.
func (sc *scanning) emitNote(line string, n intake.Note) error {
	doc := scanDoc{Line: sc.line, Text: line}
	switch n := n.(type) {
	case intake.NotRecorded:
		doc.Stage, doc.Problem = orNull(string(n.Stage)), orNull(n.Why)
	case intake.CardTaken:
		doc.Stage, doc.Card = orNull(string(n.Stage)), orNull(n.Card.Title())
	default:
		return nil
	}
	return sc.emit(doc)
}

// emit writes one object for a script; stdout is not buffered.
func (sc *scanning) emit(doc scanDoc) error {
	if !sc.json {
		return nil
	}
	if doc.Marks == nil {
		doc.Marks = []tables.RecordMark{}
	}
	doc.Text = strings.ToValidUTF8(doc.Text, "�")
	return sc.session.json(nil, "scan/1", doc)
}
