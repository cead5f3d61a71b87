package store

import (
	"fmt"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// words is an event as a line of log.jsonl. Names only grow.
type words struct {
	Seq        int64        `json:"seq"`
	ID         string       `json:"id"`
	Kind       string       `json:"kind"`
	AtFrom     string       `json:"at_from,omitempty"`
	AtTo       string       `json:"at_to,omitempty"`
	DeviceTime bool         `json:"device_time,omitempty"`
	RecordedAt string       `json:"recorded_at,omitempty"`
	By         string       `json:"by,omitempty"`
	Device     string       `json:"device,omitempty"`
	Count      int64        `json:"count,omitempty"`
	Via        string       `json:"via,omitempty"`
	Code       string       `json:"code,omitempty"`
	Half       int          `json:"half,omitempty"`
	Stage      string       `json:"stage,omitempty"`
	Bath       string       `json:"bath,omitempty"`
	Note       string       `json:"note,omitempty"`
	Reason     string       `json:"reason,omitempty"`
	Measured   []valueWords `json:"measured,omitempty"`
	Try        *tryWords    `json:"try,omitempty"`
	Faces      *facesWords  `json:"faces,omitempty"`
	Ended      string       `json:"ended,omitempty"`
	Target     string       `json:"target,omitempty"`
	Rule       string       `json:"rule,omitempty"`
	Other      string       `json:"other,omitempty"`
	UntilFrom  string       `json:"until_from,omitempty"`
	UntilTo    string       `json:"until_to,omitempty"`
	Shown      string       `json:"shown,omitempty"`
	Issue      int          `json:"issue,omitempty"`
	Plan       string       `json:"plan,omitempty"`
	Specimens  []dealtWords `json:"specimens,omitempty"`
	DealtBy    string       `json:"dealt_by,omitempty"`
	Doubt      string       `json:"doubt,omitempty"`
	Photo      string       `json:"photo,omitempty"`
	PhotoType  string       `json:"photo_type,omitempty"`
	Notebook   string       `json:"notebook,omitempty"`
	Hash       string       `json:"hash"`
}

type valueWords struct {
	Name string `json:"name"`
	Text string `json:"text"`
}

type tryWords struct {
	Rig            string   `json:"rig,omitempty"`
	Reading        string   `json:"reading,omitempty"`
	Ended          string   `json:"ended,omitempty"`
	WoodFailurePct *float64 `json:"wood_failure_pct,omitempty"`
	FailureMode    string   `json:"failure_mode,omitempty"`
	State          string   `json:"state,omitempty"`
}

type facesWords struct {
	WoodFailurePct float64 `json:"wood_failure_pct"`
	FailureMode    string  `json:"failure_mode,omitempty"`
	Shallow        bool    `json:"shallow,omitempty"`
}

type dealtWords struct {
	Prefix      string  `json:"prefix,omitempty"`
	Serial      int     `json:"serial,omitempty"`
	Half        int     `json:"half,omitempty"`
	Name        string  `json:"name,omitempty"`
	Adhesive    string  `json:"adhesive,omitempty"`
	Treatment   string  `json:"treatment,omitempty"`
	Board       string  `json:"board,omitempty"`
	BondedBlock string  `json:"bonded_block,omitempty"`
	Bath        string  `json:"bath,omitempty"`
	Order       int     `json:"order,omitempty"`
	BondLengthM float64 `json:"bond_length_m,omitempty"`
	BondWidthM  float64 `json:"bond_width_m,omitempty"`
	Parent      string  `json:"parent,omitempty"`
}

const timeLayout = "2006-01-02T15:04:05.000Z07:00"

func timeWords(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format(timeLayout)
}

func inWords(e tracker.Event) words {
	w := words{
		ID: e.ID, Kind: e.Kind.String(), AtFrom: timeWords(e.At.From), AtTo: timeWords(e.At.To), DeviceTime: e.DeviceTime,
		RecordedAt: timeWords(e.Recorded), By: e.By, Device: e.Device, Count: e.Count, Via: e.Via,
		Code: e.Code, Half: e.Half, Stage: string(e.Stage), Bath: e.Bath, Note: e.Note, Reason: e.Reason,
		Ended: string(e.End), Target: e.Target, Rule: string(e.Rule), Other: e.Other,
		UntilFrom: timeWords(e.Until.From), UntilTo: timeWords(e.Until.To), Shown: timeWords(e.Shown),
		Issue: e.Issue, Plan: string(e.Plan), DealtBy: e.DealtBy, Doubt: e.Doubt,
		Photo: e.Photo, PhotoType: e.PhotoType, Notebook: e.Notebook,
	}
	for _, v := range e.Values {
		w.Measured = append(w.Measured, valueWords(v))
	}
	if t := e.Try; t != nil {
		w.Try = &tryWords{t.Rig, t.Reading, string(t.How), t.WoodFailure, t.Mode, t.State}
	}
	if f := e.Faces; f != nil {
		w.Faces = &facesWords{f.WoodFailure, f.Mode, f.Shallow}
	}
	for _, s := range e.Dealt {
		w.Specimens = append(w.Specimens, dealtWords{s.Code.Prefix, s.Code.Serial, s.Code.Half, s.Name, s.Adhesive, s.Treatment,
			s.Board, s.BondedBlock, s.Bath, s.Order, float64(s.BondLength), float64(s.BondWidth), s.Parent})
	}
	return w
}

// event is the reverse of inWords.
func (w words) event() (tracker.Event, error) {
	kind, ok := tracker.ParseKind(w.Kind)
	if !ok {
		return tracker.Event{}, fmt.Errorf("unknown kind of event %q", w.Kind)
	}
	e := tracker.Event{
		ID: w.ID, Kind: kind, DeviceTime: w.DeviceTime, By: w.By, Device: w.Device, Count: w.Count, Via: w.Via,
		Code: w.Code, Half: w.Half, Stage: schedule.Stage(w.Stage), Bath: w.Bath, Note: w.Note, Reason: w.Reason,
		End: tracker.Ending(w.Ended), Target: w.Target, Rule: tracker.Rule(w.Rule), Other: w.Other, Issue: w.Issue, Plan: []byte(w.Plan), DealtBy: w.DealtBy,
		Doubt: w.Doubt, Photo: w.Photo, PhotoType: w.PhotoType, Notebook: w.Notebook,
	}
	w.parts(&e)
	return e, w.times(&e)
}

// parts sets what an event holds in pieces of its own.
func (w words) parts(e *tracker.Event) {
	for _, v := range w.Measured {
		e.Values = append(e.Values, tracker.Value(v))
	}
	if t := w.Try; t != nil {
		e.Try = &tracker.Try{Rig: t.Rig, Reading: t.Reading, How: tracker.How(t.Ended), WoodFailure: t.WoodFailurePct,
			Mode: t.FailureMode, State: t.State}
	}
	if f := w.Faces; f != nil {
		e.Faces = &tracker.Faces{WoodFailure: f.WoodFailurePct, Mode: f.FailureMode, Shallow: f.Shallow}
	}
	for _, d := range w.Specimens {
		e.Dealt = append(e.Dealt, tracker.Specimen{
			Code: labels.Code{Prefix: d.Prefix, Serial: d.Serial, Half: d.Half}, Name: d.Name, Adhesive: d.Adhesive,
			Treatment: d.Treatment, Board: d.Board, BondedBlock: d.BondedBlock, Bath: d.Bath, Order: d.Order,
			BondLength: quantity.Length(d.BondLengthM), BondWidth: quantity.Length(d.BondWidthM), Parent: d.Parent})
	}
}

func (w words) times(e *tracker.Event) error {
	for _, f := range []struct {
		name, text string
		to         *time.Time
	}{
		{"at_from", w.AtFrom, &e.At.From}, {"at_to", w.AtTo, &e.At.To}, {"recorded_at", w.RecordedAt, &e.Recorded},
		{"until_from", w.UntilFrom, &e.Until.From}, {"until_to", w.UntilTo, &e.Until.To}, {"shown", w.Shown, &e.Shown},
	} {
		if f.text == "" {
			continue
		}
		t, err := time.Parse(time.RFC3339, f.text)
		if err != nil {
			return fmt.Errorf("%s: %q is not a time like 2026-03-10T10:10:00.000Z", f.name, f.text)
		}
		*f.to = t
	}
	return nil
}
