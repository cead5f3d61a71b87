package design

import (
	"slices"
	"time"

	"soaktag/schedule"
	"soaktag/schedule/arrange"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// A Sitting is what is glued in one go, at most one filling of the clamps: who,
// in which order, in which clamps, and what to mix. Days of the calendar, pages
// of the worksheet and warnings of pots and clamps all go by it.
type Sitting struct {
	Number   int       // from 1, in the order of work
	From, To time.Time // zero where there is no calendar
	Bonds    []Glued   // in the order to glue: as dealt, without boards pot by pot
	Batches  []Batch   // in the order to mix
	Planing  Planing
}

// A Glued is a specimen with its place in a sitting.
type Glued struct {
	tracker.Specimen
	Clamps []int // their numbers; none without a clamp, or where the plan does not count them
}

// A Batch is one mixing of an adhesive: of neighbours in a sitting as many as it
// lasts for.
type Batch struct {
	Adhesive    string
	First, Last int            // of the sitting's bonds, from 1
	Mix         quantity.Mass  // waste included; zero when no spread is given
	Ratio       quantity.Ratio // of its parts; empty for one part, or when not given
	Life        time.Duration  // how long it can be spread; zero when not given
}

// Bonds is how many bonds a batch is for.
func (b Batch) Bonds() int { return b.Last - b.First + 1 }

// Parts are the masses of the parts of a batch, mix x part / sum of the ratio;
// none for one part, or where the mass is not known.
func (b Batch) Parts() (parts []quantity.Mass) {
	sum := 0.0
	for _, x := range b.Ratio {
		sum += x
	}
	for _, x := range b.Ratio {
		if b.Mix > 0 {
			parts = append(parts, b.Mix*quantity.Mass(x/sum))
		}
	}
	return parts
}

// Dated reports whether a calendar gives the sitting its time.
func (s Sitting) Dated() bool { return !s.From.IsZero() }

// InClamps reports whether its clamps have numbers.
func (s Sitting) InClamps() bool {
	return slices.ContainsFunc(s.Bonds, func(b Glued) bool { return len(b.Clamps) > 0 })
}

// sittings divides the glue-up of the bonds, which are in the order dealt.
func sittings(s *tracker.Study, c Calendar, bonds []tracker.Specimen) []Sitting {
	list := c.dated(s)
	if !c.Fits() {
		list = undated(s, bonds)
	}
	for i := range list {
		list[i].Number = i + 1
		list[i].Batches = batches(s, list[i].Bonds)
	}
	plane(s, list)
	return list
}

// A press is a bond with the time for which it is in its clamps.
type press struct {
	tracker.Specimen
	from, until time.Time
}

// undated are the fillings of the clamps, each of which begins with all of them free.
func undated(s *tracker.Study, bonds []tracker.Specimen) (list []Sitting) {
	for _, filling := range fillings(s, bonds) {
		var all []press
		for _, sp := range filling {
			all = append(all, press{Specimen: sp, until: time.Time{}.Add(1)})
		}
		list = append(list, newRack(s).sitting(all))
	}
	return list
}

// dated are the sittings of a calendar: the glue-ups of one day, as far as the
// clamps hold them together.
func (c Calendar) dated(s *tracker.Study) (list []Sitting) {
	clamps, space := newRack(s), roomOf(s)
	clamps.hold(c.held)
	date := func(t time.Time) string { return t.In(s.Zone).Format(time.DateOnly) }
	var now []press
	var to time.Time
	sit := func() {
		if len(now) > 0 {
			sitting := clamps.sitting(now)
			sitting.From, sitting.To = now[0].from, to
			list = append(list, sitting)
		}
		now = nil
	}
	for _, r := range c.runs() {
		if len(now) > 0 && (date(now[0].from) != date(r.task.From) || !space.holds(s, specimensIn(now), specimensIn(r.bonds))) {
			sit()
		}
		now, to = append(now, r.bonds...), r.task.To
	}
	sit()
	return list
}

// A run is one glue-up of the calendar with its bonds.
type run struct {
	task  arrange.Task
	bonds []press
}

// runs are the glue-ups of a calendar that fits, soonest first. Of a part that is
// glued in several the bonds come as they were dealt.
func (c Calendar) runs() (list []run) {
	if !c.Fits() {
		return nil
	}
	left, until := map[string][]tracker.Specimen{}, map[int]time.Time{}
	for _, p := range c.parts {
		left[p.key] = p.bonds
	}
	for _, t := range c.Calendar.Tasks {
		if t.Stage == schedule.ClampRemoval {
			until[t.Sitting] = t.To
		}
	}
	for _, t := range c.Calendar.Tasks {
		if t.Stage != schedule.GlueUp {
			continue
		}
		r := run{task: t}
		for _, sp := range left[t.Group][:t.Bonds] {
			r.bonds = append(r.bonds, press{sp, t.From, until[t.Sitting]})
		}
		left[t.Group], list = left[t.Group][t.Bonds:], append(list, r)
	}
	return list
}

func specimensIn(bonds []press) (list []tracker.Specimen) {
	for _, b := range bonds {
		list = append(list, b.Specimen)
	}
	return list
}

// batches divides the bonds of a sitting into mixings, neighbours of one adhesive
// evenly into as few as last.
func batches(s *tracker.Study, bonds []Glued) (list []Batch) {
	for from, to := 0, 0; from < len(bonds); from = to {
		key := bonds[from].Adhesive
		for to = from; to < len(bonds) && bonds[to].Adhesive == key; to++ {
		}
		n := to - from
		pots := (n + lasts(s, key, n) - 1) / max(1, lasts(s, key, n))
		for i := range pots {
			list = append(list, batch(s, key, from+i*n/pots+1, from+(i+1)*n/pots))
		}
	}
	return list
}

func batch(s *tracker.Study, adhesive string, first, last int) Batch {
	a := s.Adhesive(adhesive)
	b := Batch{Adhesive: adhesive, First: first, Last: last, Ratio: a.Mix, Life: a.PotLife}
	_, b.Mix = Glue(quantity.Rectangle(s.Specimen.BondLength, s.Specimen.BondWidth), spreadOf(s, *a), 1, b.Bonds(), Waste)
	return b
}

// lasts is for how many of n bonds a pot of an adhesive lasts, when people spread
// side by side: at least one, and all of them where the plan does not say.
func lasts(s *tracker.Study, adhesive string, n int) int {
	life := s.Adhesive(adhesive).PotLife
	if life <= 0 {
		return max(1, n)
	}
	return min(max(1, n), max(1, max(1, s.People)*BondsAPot(life, s.Hands(schedule.GlueUp))))
}
