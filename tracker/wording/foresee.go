package wording

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"soaktag/tracker/design"
	"soaktag/tracker/quantity"
)

// mostLine is the longest that is said of something foreseen, in characters.
const mostLine = 99

// Foreseen says in one line what will go wrong, what to do about it, and what else
// there is to say of that, if anything. Names in
// a plan can have any length; a line is cut off before it fills more than one,
// unless it says why there is no calendar.
func Foreseen(f design.Foreseen, u quantity.System, zone *time.Location) (text, hint, more string) {
	switch x := f.What.(type) {
	case design.NoCalendar:
		return noCalendar(x.Calendar)
	case design.Closed:
		return closed(x, zone)
	case design.TooWeak, design.UnknownLimit, design.OffGauge, design.UnknownLoad:
		text, hint, more = rigForeseen(x, u)
	case design.Ageless:
		text, hint = ageless(x)
	case design.ShortBoard, design.ThickSolid, design.WeakClamps:
		text, hint, more = benchForeseen(x, u)
	case design.FewClamps, design.AnOldSurface, design.Tied:
		text, hint, more = sittingForeseen(x, zone)
	case design.ShortPot, design.CoarseScale:
		text, hint, more = potForeseen(x)
	case design.Floats, design.OpenTub, design.LongSoak:
		text, hint, more = bathForeseen(x, u)
	}
	return cutOff(text, mostLine), hint, more
}

// rigForeseen says what is foreseen of a rig.
func rigForeseen(what any, u quantity.System) (text, hint, more string) {
	switch x := what.(type) {
	case design.TooWeak:
		w := x.Worst
		return fmt.Sprintf("%s is %s too weak: the %s carries %s, %s needs %s", rigName(x.Rig), manyTimes(x.Times),
				cutOff(w.Weakest, 20), u.AboutForce(*w.WorkingLimit), w.Treatment, u.AboutForce(w.Needed)),
			fmt.Sprintf("a bond of %s would suit it", u.Square(w.Suits)),
			fmt.Sprintf("sound joints break at about %s (%s), and that may be %.0f %% of a working limit at most", u.AboutForce(w.Expected), w.Strength.Source, 100*design.WorkingShare)
	case design.UnknownLimit:
		return fmt.Sprintf("%s has no working limit for the %s, which carries the break too", rigName(x.Rig), fewNames(allCutOff(x.Parts, 20))),
			fmt.Sprintf("find the rated load: %s is needed", u.AboutForce(x.Needed)), "a breaking strength is not a limit"
	case design.OffGauge:
		return offGauge(x)
	case design.UnknownLoad:
		return unknownLoad(x.Why)
	}
	return "", "", ""
}

// rigName is how to speak of a rig: by its name where there are several.
func rigName(name string) string {
	if name == "" {
		return "the rig"
	}
	return fmt.Sprintf("rig %q", cutOff(name, 16))
}

// manyTimes writes by how much something is too weak.
func manyTimes(n float64) string {
	if n < 1.1 {
		return "a little"
	}
	return quantity.Figures(n, 2) + " times"
}

// offGauge says at which end of its gauge a rig would be read, and in what breaks.
func offGauge(x design.OffGauge) (text, hint, more string) {
	text, hint = " would be read past the end of its gauge", "take a gauge with a longer span, or a smaller bond"
	switch x.Band {
	case design.BandHigh:
		text = " would be read over 85 % of its gauge"
	case design.BandLow:
		text, hint = " would be read under 15 % of its gauge", "take a gauge with a shorter span, or a larger bond"
	}
	var where []string
	for _, l := range x.Loads {
		where = append(where, fmt.Sprintf("%s at %s %%", l.Treatment, quantity.Figures(100**l.GaugeShare, 3)))
	}
	return rigName(x.Rig) + text + ": " + fewNames(where), hint, "25 to 75 % is best"
}

func unknownLoad(why error) (text, hint, more string) {
	var unknown *design.UnknownWood
	if errors.As(why, &unknown) {
		return fmt.Sprintf("the wood %q is not in the table, so it cannot be told whether the rig is strong enough", cutOff(unknown.Name, 20)),
			"name one of it, " + strings.Join(unknown.Near, ", "), "or " + design.GiveShear
	}
	text = "it cannot be told whether the rig is strong enough"
	var shear *design.UnknownShear
	if errors.As(why, &shear) {
		return text, shear.What, shear.Do
	}
	return text, why.Error(), ""
}

// benchForeseen says what is foreseen of boards and clamps.
func benchForeseen(what any, u quantity.System) (text, hint, more string) {
	switch x := what.(type) {
	case design.ShortBoard:
		return fmt.Sprintf("board %s gives %s, %d are wanted", cutOff(x.Cut.Board, 40), Plural(x.Cut.Fits, "blank"), x.Cut.Blanks),
			"take a longer or wider board, or fewer replicates", ""
	case design.ThickSolid:
		return fmt.Sprintf("%s is one piece of %s: thicker than the boards (%s)", x.Adhesive, u.Length(x.Thick), fewNames(allCutOff(x.Boards, 16))),
			"cut it from thicker stock of the same wood, or give a blank that is half of what the boards allow", ""
	case design.WeakClamps:
		c := x.Asked
		return fmt.Sprintf("%s: a bond at %s takes %s, and a clamp gives %s", fewNames(x.Adhesives), u.AboutPressure(c.Pressure), u.AboutForce(c.Force), u.AboutForce(c.Most)),
			fmt.Sprintf("put %s on a bond, or plan %s, which is what one clamp comes to", Plural(c.Each(), "clamp"), u.AboutPressure(x.Reached)), ""
	}
	return "", "", ""
}

// ageless says that nobody is told when to break what is not soaked.
func ageless(x design.Ageless) (text, hint string) {
	age := "14 d +/- 1 d"
	if x.Partner {
		age = "as soaked +/- 1 d"
	}
	return cutOff(x.Treatment, 40) + " is never due: the plan gives no age at which to break it", fmt.Sprintf("age = %q in its treatment, and due and calendar ask for it", age)
}

// potForeseen says what is foreseen of a pot of adhesive.
func potForeseen(what any) (text, hint, more string) {
	switch x := what.(type) {
	case design.ShortPot:
		text = fmt.Sprintf("%s: %s %s min and its pot lasts %s min", x.Adhesive, Counted(x.Bonds, "bond takes", "bonds take"),
			quantity.Figures(x.Takes.Minutes(), 3), quantity.Figures(x.Life.Minutes(), 3))
		if x.Lasts == 0 {
			return text, "one bond takes longer than the pot lasts: a slower adhesive, or a bond that is closed faster", ""
		}
		return text, fmt.Sprintf("mix %s of up to %s", Plural(design.GlueUps(x.Bonds, x.Lasts), "pot"), Plural(x.Lasts, "bond")), ""
	case design.CoarseScale:
		return fmt.Sprintf("%s: a pot of %s g has %s g of its smaller part; a scale to %s g is off by up to %s %%", x.Adhesive, quantity.Figures(x.Pot.G(), 2),
				quantity.Figures(x.Part.G(), 2), quantity.Figures(x.Division.G(), 3), quantity.Figures(x.Off.Percent(), 2)),
			fmt.Sprintf("mix at least %s g, or weigh on %s g", quantity.Figures(x.LeastBatch.G(), 3), decade(x.LargestDivision)),
			"1 % is the most that a laboratory allows"
	}
	return "", "", ""
}

// decade writes a scale's division that people can buy: the power of ten, in
// grams, not above m.
func decade(m quantity.Mass) string {
	return quantity.Figures(math.Pow(10, math.Floor(math.Log10(m.G())+1e-9)), 1)
}

// bathForeseen says what is foreseen of baths.
func bathForeseen(what any, u quantity.System) (text, hint, more string) {
	switch x := what.(type) {
	case design.Floats:
		return floats(x.Baths, u)
	case design.OpenTub:
		return fmt.Sprintf("no bath is named for %s: one tub is assumed, and they can spoil one another in it", fewNames(x.Adhesives)),
			`give each a bath of its own: bath = "B1"`, ""
	case design.LongSoak:
		return fmt.Sprintf("a soak of %s d wants its water changed %d times", quantity.Figures(x.Soak.Hours()/24, 3), x.Changes),
			`at the end of days 1 and 2, then every 36 h, the same for every bath; with water_change = "36 h" in the treatment due and calendar ask for it`, WhyWater
	}
	return "", "", ""
}

// floats says how much steel holds the wood of each bath down.
func floats(baths []design.Bath, u quantity.System) (text, hint, more string) {
	switch {
	case baths[0].Wood == 0:
		return "dry wood floats, and without the blank's size its ballast is not known", "give blank = " + u.Choose(`"48 mm x 45 mm x 20 mm"`, `"2 in x 1 3/4 in x 3/4 in"`) + " in [specimen], and it will be", ""
	case baths[0].Density.Density == 0:
		return "dry wood floats, and without its density its ballast is not known", "weigh a blank and give density = " + u.Choose(`"680 kg/m3"`, `"42 lb/ft3"`) + " in [wood]", ""
	}
	least, most := baths[0].Steel, baths[0].Steel
	for _, b := range baths {
		least, most = min(least, b.Steel), max(most, b.Steel)
	}
	steel := u.Mass(most)
	if u.Mass(least) != steel {
		steel = u.Mass(least) + " to " + steel
	}
	hint, more = steelHint(u, baths, least < most)
	return fmt.Sprintf("dry wood floats: weigh it down with %s of steel in %s", steel, eachOf(len(baths), "bath")), hint, more
}

// steelHint lists the baths where they differ, and says what steel does.
func steelHint(u quantity.System, baths []design.Bath, differ bool) (hint, more string) {
	const lift, stains = "that is twice the lift", "bare steel stains oak and ash, so wrap or paint it"
	if !differ {
		return lift, stains
	}
	each := make([]string, len(baths))
	for i, b := range baths {
		each[i] = cmp.Or(b.Name, "no name") + " " + u.Mass(b.Steel)
	}
	return strings.Join(each, ", "), lift + "; " + stains
}

// eachOf counts what each of some things gets: "the bath", "each of 6 baths".
func eachOf(n int, noun string) string {
	if n == 1 {
		return "the " + noun
	}
	return "each of " + Plural(n, noun)
}

// noCalendar says that no calendar exists, with the least change that makes one,
// or that none was made.
func noCalendar(c design.Calendar) (text, hint, more string) {
	if !c.Tried {
		return "no calendar was made: " + c.WhyNot.Error(), "", ""
	}
	text, hint = "no calendar keeps every limit", "widen a tolerance, or the shop's hours"
	if len(c.Why) > 0 {
		text += ": " + c.Why[0]
	}
	if c.Relaxed != nil {
		hint = "there is one " + c.Relaxed.Text
	}
	return text, hint, ""
}

// closed says which stages would fall outside the shop's hours.
func closed(x design.Closed, zone *time.Location) (text, hint, more string) {
	var stages []string
	for _, d := range x.Stages {
		stages = append(stages, fmt.Sprintf("%s of %s", d.Stage, d.Treatment))
	}
	hint = "move the first glue-up, or make an interval longer or shorter"
	switch {
	case x.Calendar.Fits():
		hint = "within its tolerance it fits the hours: see the days"
	case x.Calendar.WhyNot != nil:
		hint = "use the tolerances to stay inside the hours"
	}
	return fmt.Sprintf("%s would fall on %s, outside the shop's hours", strings.Join(stages, ", "), Time(x.At, zone)), hint, ""
}

// cutOff cuts a text off after n characters.
func cutOff(text string, n int) string {
	runes := []rune(text)
	if len(runes) <= n {
		return text
	}
	return string(runes[:n-3]) + "..."
}

func allCutOff(names []string, n int) []string {
	short := make([]string, len(names))
	for i, name := range names {
		short[i] = cutOff(name, n)
	}
	return short
}

// fewNames lists up to two names, and of more the first and their number.
func fewNames(names []string) string {
	if len(names) <= 2 {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", names[0], len(names)-1)
}
