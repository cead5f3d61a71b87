package wording

import (
	"fmt"
	"soaktag/schedule"
	"soaktag/tracker/design"
	"soaktag/tracker/quantity"
)

// Clamping is the force on a bond, and how many clamps that takes.
func Clamping(c design.Clamping, u quantity.System) string {
	switch {
	case c.Contact:
		return "held in contact"
	case !(c.Pressure > 0):
		return "no pressure given"
	case !(c.Force > 0):
		return u.AboutPressure(c.Pressure) + ", no bond area given"
	}
	text := u.AboutForce(c.Force) + " for " + u.AboutPressure(c.Pressure)
	if n := c.Each(); n > 1 {
		text += fmt.Sprintf(", %d clamps", n)
	}
	return text
}

// Batch is how often an adhesive is mixed, how much at once, and how long
// that can be spread.
func Batch(p design.Pot, u quantity.System) (batch, lasts string) {
	batch, lasts = "no spread given", "no pot life given"
	if p.Mix > 0 {
		batch = u.Dose(p.Mix) + " for " + Plural(p.Bonds, "bond")
	}
	if p.Life > 0 {
		lasts = schedule.Short(p.Life)
	}
	return batch, lasts
}
