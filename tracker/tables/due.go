package tables

import (
	"math"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/strength"
)

// Due is what is to be done as other programs read it, due/1, soonest first.
type Due struct {
	Items  []DueItem `json:"items"`
	Danger []Danger  `json:"in_danger"`
}

// A DueItem is the next thing to happen to one specimen, or a dummy to break: of
// that code, name, bath, adhesive and treatment are null, of a specimen rig is. Of
// a bath whose water is to be changed only bath is not null.
type DueItem struct {
	Code      strength.Text `json:"code"`
	Name      strength.Text `json:"name"`
	Bath      strength.Text `json:"bath"`
	Adhesive  strength.Text `json:"adhesive"`
	Treatment strength.Text `json:"treatment"`
	Interval  string        `json:"interval"`
	Stage     string        `json:"stage"` // with its pass
	Opens     strength.Text `json:"opens"`
	At        strength.Text `json:"at"`
	Closes    strength.Text `json:"closes"`
	State     string        `json:"state"`
	OverH     float64       `json:"over_h"`
	Sure      bool          `json:"sure"`
	Rig       strength.Text `json:"rig"`
}

// NewDue takes over what is due and what is in danger, with times in a zone.
func NewDue(items []tracker.Due, dangers []strength.Danger, zone *time.Location) Due {
	doc := Due{Items: []DueItem{}, Danger: newDangers(dangers)}
	for _, d := range items {
		item := DueItem{
			Name: strength.Text(d.Specimen.Name), Bath: strength.Text(d.Bath),
			Adhesive: strength.Text(d.Specimen.Adhesive), Treatment: strength.Text(d.Specimen.Treatment), Rig: strength.Text(d.Rig),
			Interval: d.Interval, Stage: string(d.Named()),
			Opens: localTime(d.Window.Opens, zone), At: localTime(d.Window.At, zone), Closes: localTime(d.Window.Closes, zone),
			State: d.State.String(), OverH: roundHours(d.Over), Sure: d.Sure,
		}
		if d.Rig == "" && d.Stage != tracker.WaterChange {
			item.Code = strength.Text(d.Specimen.Code.String())
		}
		doc.Items = append(doc.Items, item)
	}
	return doc
}

// localTime writes an instant in a zone; the zero one is null.
func localTime(t time.Time, zone *time.Location) strength.Text {
	if t.IsZero() {
		return ""
	}
	return strength.Text(t.In(zone).Format(time.RFC3339))
}

// roundHours is a length to the millionth of an hour.
func roundHours(d time.Duration) float64 { return math.Round(d.Hours()*1e6) / 1e6 }
