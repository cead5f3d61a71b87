package tracker

import (
	"cmp"
	"slices"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker/quantity"
)

// A fact is an event placed in a life: at its corrected time.
type fact struct {
	*Event
	at schedule.Span
	on time.Time // the instant it is ordered by
}

// Life returns all that is known of one specimen; nil when no such specimen
// was dealt. The caller must not change it.
func (r *Record) Life(c labels.Code) *Life {
	i, ok := r.byCode[c.Whole()]
	if !ok {
		return nil
	}
	return r.whole(i)
}

// Lives returns the lives of all specimens in the order they were dealt.
func (r *Record) Lives() []*Life {
	all := make([]*Life, len(r.specimens))
	for i := range all {
		all[i] = r.whole(i)
	}
	return all
}

// whole is a life with what depends on other lives added to it.
func (r *Record) whole(i int) *Life {
	life := *r.alone(i)
	life.Lapses = slices.Clone(life.Lapses)
	life.Marks = slices.Clone(life.Marks)
	r.remarkLapses(&life)
	r.compare(&life)
	return &life
}

// alone is a life as far as its own events tell it, without the marks on its
// intervals: what is due does not need them, and their texts take time.
func (r *Record) alone(i int) *Life {
	if r.lives[i] == nil {
		r.lives[i], r.told = r.fold(i), true
	}
	t := r.lives[i]
	if t.told == nil {
		t.told = t.folder.tell()
	}
	return t.told
}

// A telling is a life so far: what comes later in it can be added, without
// telling the life again from its beginning.
type telling struct {
	folder folder
	last   fact
	told   *Life // nil: to be told again
}

func (t *telling) add(x fact) {
	t.folder.take(x)
	t.last, t.told = x, nil
}

// extend adds e to the life it belongs to, if it comes last in it and changes
// nothing before it; else it reports false.
func (r *Record) extend(e *Event) bool {
	i, ok := r.index(e.Code)
	if !ok || e.Target != "" || r.sways(e) || r.Amended() && e.Stage == schedule.GlueUp || len(r.exchanges) > 0 || r.lives[i] == nil {
		return false
	}
	x := r.factOf(e)
	if t := r.lives[i]; t.last.Event != nil && inLifeOrder(t.last, x) < 0 && !t.folder.outdone(x) {
		t.add(x)
		return true
	}
	return false
}

// facts collects the events that truly are about specimen i, in the order of
// its life.
func (r *Record) facts(i int) []fact {
	facts := make([]fact, 0, len(r.own[i]))
	take := func(events []*Event) {
		for _, e := range events {
			x := r.factOf(e)
			j, ok := i, true // its own, unless labels were exchanged
			if len(r.exchanges) > 0 {
				j, ok = r.meaning(e.Code, x.on)
			}
			if ok && j == i && r.visible(e) {
				facts = append(facts, x)
			}
		}
	}
	take(r.own[i])
	if r.mixedUp(i) { // one exchange upon another leads anywhere among them
		for _, s := range r.exchanges {
			r.takeOther(s.Code, take)
			r.takeOther(s.Other, take)
		}
	}
	slices.SortFunc(facts, inLifeOrder)
	return slices.CompactFunc(facts, func(a, b fact) bool { return a.ID == b.ID })
}

// factOf places an event in time.
func (r *Record) factOf(e *Event) fact {
	at := r.corrected(e)
	on := at.Mid()
	if on.IsZero() {
		on = e.Recorded
	}
	return fact{e, at, on}
}

func (r *Record) takeOther(code string, take func([]*Event)) {
	if j, ok := r.index(code); ok {
		take(r.own[j])
		return
	}
	take(r.stray[code])
}

// inLifeOrder orders a life: by corrected time, then device, then that
// device's own counter, then when it was written down. What has none of these
// to go by, such as two entries of a notebook for one minute, follows the
// order of the stages, and last the id: the order of arrival never decides.
func inLifeOrder(a, b fact) int {
	if c := a.on.Compare(b.on); c != 0 {
		return c // nearly always
	}
	return cmp.Or(cmp.Compare(a.Device, b.Device), cmp.Compare(a.Count, b.Count),
		a.Recorded.Compare(b.Recorded), cmp.Compare(rank(a.Event), rank(b.Event)), cmp.Compare(a.ID, b.ID))
}

// rank is the usual order of what happens to one specimen within a minute.
func rank(e *Event) int {
	stages := schedule.Stages()
	switch e.Kind {
	case Staged:
		return 2 * (1 + slices.Index(stages, e.Stage))
	case Measured, Moved:
		return 2*len(stages) - 1
	case Tried:
		return 2 * len(stages)
	case FacesRead:
		return 2*len(stages) + 1
	case Ended:
		if e.End != Found {
			return 2*len(stages) + 1
		}
	}
	return 2*len(stages) + 2
}

// fold lives one life from its facts.
func (r *Record) fold(i int) *telling {
	s := r.specimens[i]
	life := &Life{Specimen: s, State: "dry", code: r.codes[i]}
	life.BondLength, life.BondWidth, life.Nominal = r.study.bond(s)
	facts := r.facts(i)
	t := &telling{folder: folder{record: r, way: r.wayFor(s, facts), life: life}}
	t.folder.way.prepare(r.study.Treatment(s.Treatment))
	life.path, life.passes = t.folder.path, t.folder.passes
	r.added(life)
	t.folder.broke = t.folder.settled(facts)
	life.Steps = make([]Step, 0, min(len(facts), len(t.folder.path)))
	for _, x := range facts {
		t.add(x)
	}
	return t
}

// A kind of specimen shares one way.
type kind struct{ adhesive, treatment string }

// A way is what the plan holds for one adhesive and treatment.
type way struct {
	path      []schedule.Stage
	intervals []schedule.Interval
	editions  [][]schedule.Interval // by plan that was in force, where there was more than one
	passes    int                   // how often it goes through the bath; 0: neither this nor legs is worked out
	legs      []schedule.Interval   // the steps of a published schedule, in its order
}

// wayOf works out the way of a specimen once for all of its kind.
func (r *Record) wayOf(s Specimen) *way {
	key := kind{s.Adhesive, s.Treatment}
	if r.ways[key] == nil {
		r.ways[key] = &way{path: r.study.Path(s), intervals: r.study.IntervalsOf(s)}
	}
	return r.ways[key]
}

// bond gives the bond of s before anybody measured it: as it came, or nominal.
func (s *Study) bond(of Specimen) (length, width quantity.Length, nominal bool) {
	length, width, nominal = s.Specimen.BondLength, s.Specimen.BondWidth, true
	if of.BondLength > 0 {
		length, nominal = of.BondLength, false
	}
	if of.BondWidth > 0 {
		width, nominal = of.BondWidth, false
	}
	return length, width, nominal
}

// Path lists the stages that a specimen goes through, in order.
func (s *Study) Path(of Specimen) []schedule.Stage {
	soaked := false
	if t := s.Treatment(of.Treatment); t != nil {
		soaked = t.Soaked
	}
	var path []schedule.Stage
	for _, stage := range schedule.Stages() {
		if stage.Wet() && !soaked || stage == schedule.ClampRemoval && s.unclamped(of) || stage.Bonds() && s.solid(of) {
			continue
		}
		path = append(path, stage)
	}
	return path
}

// solid reports whether a specimen is one piece of wood, without a bond.
func (s *Study) solid(of Specimen) bool {
	a := s.Adhesive(of.Adhesive)
	return a != nil && a.SolidWood
}

// unclamped reports whether the plan leaves the clamp out for a specimen.
func (s *Study) unclamped(of Specimen) bool {
	clamp, ok := s.planned(of, schedule.Clamp)
	return ok && clamp.Planned.Kind == schedule.None
}

// planned finds an interval by name as it holds for a specimen: the
// treatment's own, else the adhesive's own, else the study's.
func (s *Study) planned(of Specimen, name string) (schedule.Interval, bool) {
	for _, list := range s.layers(of) {
		for _, iv := range list {
			if iv.Name == name {
				return iv, true
			}
		}
	}
	return schedule.Interval{}, false
}

// layers lists the sets of intervals that hold for a specimen, the strongest first.
func (s *Study) layers(of Specimen) [][]schedule.Interval {
	var layers [][]schedule.Interval
	if t := s.Treatment(of.Treatment); t != nil {
		layers = append(layers, t.Intervals)
	}
	if a := s.Adhesive(of.Adhesive); a != nil {
		layers = append(layers, a.Intervals)
	}
	return append(layers, s.Intervals)
}

// IntervalsOf lists the intervals that a specimen has, in the order of the
// plan, with the lengths that hold for it. Where the plan has no clamp stage,
// what would begin at clamp removal begins at glue-up.
func (s *Study) IntervalsOf(of Specimen) []schedule.Interval { return s.intervalsAlong(of, s.Path(of)) }

// intervalsAlong is IntervalsOf for a specimen that goes another path than the
// plan has for it now.
func (s *Study) intervalsAlong(of Specimen, path []schedule.Stage) []schedule.Interval {
	var list []schedule.Interval
	for _, name := range s.names(of) {
		iv, _ := s.planned(of, name)
		if iv.From == schedule.ClampRemoval && !slices.Contains(path, iv.From) {
			iv.From = schedule.GlueUp
		}
		if iv.Planned.Kind != schedule.None && reachable(path, iv.From) && reachable(path, iv.To) {
			list = append(list, iv)
		}
	}
	if t := s.Treatment(of.Treatment); t != nil && t.Age.Kind != schedule.None && !s.solid(of) {
		from := schedule.ClampRemoval
		if !slices.Contains(path, from) {
			from = schedule.GlueUp
		}
		list = append(list, schedule.Interval{Name: schedule.Age, From: from, To: schedule.Break, Planned: t.Age})
	}
	return inPasses(list)
}

// names lists the names of all intervals that may hold for a specimen.
func (s *Study) names(of Specimen) []string {
	var names []string
	layers := s.layers(of)
	slices.Reverse(layers) // the study's own order first
	for _, list := range layers {
		for _, iv := range list {
			if !slices.Contains(names, iv.Name) {
				names = append(names, iv.Name)
			}
		}
	}
	return names
}

// reachable reports whether a specimen meets a stage: one on its path, in any
// pass, or one that only the plan knows.
func reachable(path []schedule.Stage, stage schedule.Stage) bool {
	standard, _ := schedule.PassOf(stage)
	return slices.Contains(path, standard) || !slices.Contains(schedule.Stages(), standard)
}
