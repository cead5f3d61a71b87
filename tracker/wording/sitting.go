package wording

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/quantity"
)

// sittingForeseen says what is foreseen of the sittings of a glue-up.
func sittingForeseen(what any, zone *time.Location) (text, hint, more string) {
	switch x := what.(type) {
	case design.FewClamps:
		return fmt.Sprintf("%s %d of %s", Counted(x.Clamps, "clamp holds", "clamps hold"), min(x.Clamps, x.Bonds), Plural(x.Bonds, "bond")), "glue in " + GlueUp(x.Sittings, zone), ""
	case design.AnOldSurface:
		return fmt.Sprintf("a planed surface may age %s, and the glue-up takes %s", schedule.Short(x.Within), GlueUp(x.Sittings, zone)),
			"plane again before each sitting, or take fewer: " + Plural(x.Planings, "planing") + " in all", ""
	case design.Tied:
		return tied(x, zone), "glue each on two days: more clamps, longer hours or more boards", ""
	}
	return "", "", ""
}

// tied says what is glued on one day only.
func tied(x design.Tied, zone *time.Location) string {
	first, from := x.Groups[0], "the adhesive"
	name := cutOff(first.Adhesive, 20)
	if first.Treatment != "" {
		name, from = cutOff(first.Adhesive+" "+first.Treatment, 20), "the treatment"
	}
	text := fmt.Sprintf("%s only in sitting %d", name, first.Sitting.Number)
	if first.Sitting.Dated() {
		text = name + " only on " + day(first.Sitting.From, zone)
	}
	if n := len(x.Groups) - 1; n > 0 {
		text += fmt.Sprintf(", %d more likewise", n)
	}
	return text + ": what the day did cannot be told from " + from
}

// day writes a day as in "Sat 17 Oct".
func day(t time.Time, zone *time.Location) string { return t.In(zone).Format("Mon 2 Jan") }

// GlueUp says in how many sittings everything is glued, and where there is a
// calendar on how many days: "9 sittings on 9 days".
func GlueUp(sittings []design.Sitting, zone *time.Location) string {
	text, days := Plural(len(sittings), "sitting"), map[string]bool{}
	for _, s := range sittings {
		if s.Dated() {
			days[s.From.In(zone).Format(time.DateOnly)] = true
		}
	}
	if len(days) > 0 {
		text += " on " + Plural(len(days), "day")
	}
	return text
}

// SittingTime is when a sitting is, "Sat 17 Oct 18:00 to 18:30"; empty without a
// calendar.
func SittingTime(s design.Sitting, zone *time.Location) string {
	if !s.Dated() {
		return ""
	}
	return day(s.From, zone) + " " + onWall(s.From, zone) + " to " + onWall(s.To, zone)
}

func onWall(t time.Time, zone *time.Location) string { return t.In(zone).Format("15:04") }

// SittingWho lists the serials of a sitting by adhesive, in the order to glue:
// "EPX 12 3, CAS 7 1".
func SittingWho(s design.Sitting) string {
	var parts []string
	for i, b := range s.Bonds {
		if i == 0 || b.Adhesive != s.Bonds[i-1].Adhesive {
			parts = append(parts, b.Adhesive)
		}
		parts[len(parts)-1] += fmt.Sprintf(" %d", b.Code.Serial)
	}
	return strings.Join(parts, ", ")
}

// Planing says when the faces of a sitting are planed; empty where the plan sets
// no limit to their age.
func Planing(s design.Sitting, zone *time.Location) string {
	p := s.Planing
	within := schedule.Short(p.Within)
	switch {
	case p.Within == 0:
		return ""
	case !s.Dated():
		return "within " + within + " before the last bond is closed"
	case !s.Anew():
		return fmt.Sprintf("done with those of sitting %d", p.For)
	case p.NotBefore.In(zone).YearDay() == p.Before.In(zone).YearDay():
		return fmt.Sprintf("%s, after %s and before %s", day(p.Before, zone), onWall(p.NotBefore, zone), onWall(p.Before, zone))
	}
	return fmt.Sprintf("before %s of %s, not before %s of %s", onWall(p.Before, zone), day(p.Before, zone), onWall(p.NotBefore, zone), day(p.NotBefore, zone))
}

// Mix says what to weigh for a batch: "3.0 g: 2.5 g + 0.5 g".
func Mix(b design.Batch, u quantity.System) string {
	if b.Mix == 0 {
		return "no spread given"
	}
	text := u.Dose(b.Mix)
	var parts []string
	for _, m := range b.Parts() {
		parts = append(parts, partMass(m))
	}
	if len(parts) > 1 {
		text += ": " + strings.Join(parts, " + ")
	}
	return text
}

// partMass writes the mass of a part of a mix to 0.01 g: a tenth is too coarse for
// a hardener.
func partMass(m quantity.Mass) string { return fmt.Sprintf("%.2f g", m.G()) }

// Lasts says how long a batch can be spread; empty where the plan does not.
func Lasts(b design.Batch) string {
	if b.Life == 0 {
		return ""
	}
	return schedule.Short(b.Life)
}

// PressedTo says to what pressures the clamps of a sitting bring the bonds.
func PressedTo(study *tracker.Study, s design.Sitting) string {
	all := alike{}
	for _, c := range design.Clampings(study) {
		in := func(b design.Glued) bool { return b.Adhesive == c.Adhesive }
		if slices.ContainsFunc(s.Bonds, in) && c.Pressure > 0 {
			all.add("Press to "+Clamping(c, study.Units)+" (%s)", c.Adhesive)
		}
	}
	if text := all.text("adhesive", "; "); text != "" {
		return text + "."
	}
	return ""
}

// Assembly says for the adhesives of a sitting how long a spread bond may lie open,
// and closed before it is pressed, as far as the plan gives these times.
func Assembly(study *tracker.Study, s design.Sitting) string {
	all := alike{}
	for _, a := range study.Adhesives {
		in := func(b design.Glued) bool { return b.Adhesive == a.Key }
		var times []string
		if a.OpenTime > 0 {
			times = append(times, "open "+schedule.Short(a.OpenTime)+" at most")
		}
		if a.ClosedTime > 0 {
			times = append(times, "closed "+schedule.Short(a.ClosedTime)+" at most")
		}
		if len(times) > 0 && slices.ContainsFunc(s.Bonds, in) {
			all.add("%s "+strings.Join(times, ", "), a.Key)
		}
	}
	if text := all.text("adhesive", "; "); text != "" {
		return "Assembly time: " + text + "."
	}
	return ""
}

// sittings says in a few words how everything is glued; empty where that is done
// in one go.
func sittings(c design.Calendar, zone *time.Location) string {
	list, most := c.Sittings, 0
	if len(list) < 2 || !list[0].Dated() {
		return ""
	}
	for _, s := range list {
		most = max(most, len(s.Bonds))
	}
	text := fmt.Sprintf("glue-up in %s of up to %s, %s to %s", GlueUp(list, zone), Plural(most, "bond"), day(list[0].From, zone), day(list[len(list)-1].From, zone))
	if list[1].Anew() {
		text += ", planed before each"
	}
	return text
}
