package wording

import (
	"fmt"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// Next says what is to be done next, and when.
func Next(d tracker.Due, zone *time.Location) string {
	opens, closes := d.Window.Opens, d.Window.Closes
	text := string(d.Named())
	switch {
	case !opens.IsZero() && !closes.IsZero():
		text += " between " + Time(opens, zone) + " and " + Time(closes, zone)
	case !opens.IsZero():
		text += " not before " + Time(opens, zone)
	case !closes.IsZero():
		text += " by " + Time(closes, zone)
	}
	if d.State == schedule.Overdue {
		text += ", overdue by " + schedule.Short(d.Over)
	}
	return text
}

// Window says when something should happen, and how much it is over already.
func Window(d tracker.Due, zone *time.Location) string {
	w := d.Window
	switch {
	case d.State == schedule.Overdue:
		return "over by " + schedule.Short(d.Over) + ": should have been by " + Time(w.Closes, zone)
	case w.Closes.IsZero() && w.Opens.IsZero():
		return "any time"
	case w.Closes.IsZero():
		return "from " + Time(w.Opens, zone)
	case w.Opens.IsZero():
		return "by " + Time(w.Closes, zone)
	}
	return "from " + Time(w.Opens, zone) + " to " + Time(w.Closes, zone)
}

// Name is a code with the person's own name behind it.
func Name(sp tracker.Specimen) string {
	if sp.Name == "" {
		return sp.Code.String()
	}
	return sp.Code.String() + " " + sp.Name
}

// DueCounts says how much is overdue and soon, "2 overdue, 1 soon"; empty where
// nothing is.
func DueCounts(items []tracker.Due) string {
	counts := tracker.States(items)
	over, soon := counts[schedule.Overdue], counts[schedule.Soon]
	if over+soon == 0 {
		return ""
	}
	return fmt.Sprintf("%d overdue, %d soon", over, soon)
}

// Waits names what a specimen waits for, or how its life ended.
func Waits(life *tracker.Life) string {
	if life.End != "" {
		return string(life.End)
	}
	return string(life.NextNamed())
}
