package tables

import (
	"fmt"
	"strings"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// content is what a row says, whatever its spelling: a spreadsheet that saves a
// file again writes times and numbers its own way. Instants are in UTC,
// quantities in SI with their kind; texts are quoted, so that none can pass for
// two. When it was written down counts only where the row says so.
func content(r row, when string, e, m tracker.Event) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%q %q %d %q %q %q %q %q %q %t", e.Kind, e.Code, e.Half, e.Stage, e.End,
		when, e.By, e.Note, e.Device, e.DeviceTime)
	if r.get("recorded_at") != "" {
		fmt.Fprintf(&b, " recorded %s", inUTC(e.Recorded))
	}
	if e.Kind == tracker.ClockSeen {
		fmt.Fprintf(&b, " showed %s", inUTC(e.Shown))
	}
	if t := e.Try; t != nil {
		fmt.Fprintf(&b, " try %s %q %q %q", quantity.InSI(t.Reading), t.Rig, t.How, t.Mode)
		if t.WoodFailure != nil {
			fmt.Fprintf(&b, " wood %s", digits(*t.WoodFailure))
		}
	}
	if f := e.Faces; f != nil {
		fmt.Fprintf(&b, " faces %s %q %t", digits(f.WoodFailure), f.Mode, f.Shallow)
	}
	for _, v := range m.Values {
		fmt.Fprintf(&b, " %s %s", v.Name, quantity.InSI(v.Text))
	}
	return b.String()
}

func inUTC(t time.Time) string {
	if t.IsZero() {
		return "?"
	}
	return t.UTC().Format("2006-01-02T15:04:05.000Z")
}

// digits leaves out what a change of units alters in the last place.
func digits(x float64) string { return fmt.Sprintf("%.9g", x) }
