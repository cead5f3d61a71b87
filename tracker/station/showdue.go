package station

import (
	"soaktag/labels"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// A dueView is what is to be done.
type dueView struct {
	wording.DueList
	ToDo, Later []toDoView
	All         bool   // what still runs is told as well
	Ask         string // how many marks ask; empty for none
}

// A toDoView is one thing to be done, with what a tap on it records.
type toDoView struct {
	wording.DueSaid
	Tags []tagView // of baths whose water is changed
	How  string    // of a dummy: what to do with the page
}

func showDue(l look) (any, error) {
	all := l.asked.Get("all") != ""
	list := wording.DueListOf(l.rec, l.rec.Due(l.now), strength.InDanger(l.rec, l.now), l.now, all)
	view := dueView{DueList: list, ToDo: toDos(list.Items), Later: toDos(list.After), All: all}
	if n := len(l.rec.OpenMarks()); n > 0 {
		view.Ask = wording.AskCount(n)
	}
	return view, nil
}

func toDos(said []wording.DueSaid) (all []toDoView) {
	for _, d := range said {
		all = append(all, toDo(d))
	}
	return all
}

func toDo(d wording.DueSaid) toDoView {
	view := toDoView{DueSaid: d}
	if d.Rig != "" {
		view.How = wording.DummyOnPhone
	}
	for _, bath := range d.Baths {
		if d.Stage == tracker.WaterChange {
			view.Tags = append(view.Tags, tagView{Tag: tagOf(bath), Stage: string(d.Stage), Says: wording.WaterOfBaths(bath)})
		}
	}
	return view
}

// tagOf is what a bath's tag says to whatever reads it.
func tagOf(bath string) string { return labels.Card{Kind: labels.CardBath, Name: bath}.Text() }

// A bathView is a bath with everything that belongs into it, or, without a name, all
// baths to choose from.
type bathView struct {
	Name   string
	Counts string
	Water  []toDoView // the next change of its water, where one is asked for
	Tags   []tagView
	Gauges []gaugeView // what may be measured of it
	In     []memberView
	ToCome []memberView
	Out    []memberView
	Gone   []memberView
	Others []bathView // every bath
}

// A tagView is what the bath's tag stands for at a stage.
type tagView struct {
	Tag, Stage, Says string   // of a tag's text under a stage: what it would record
	Leaves           []string // for whom it is too early
}

// A memberView is a specimen in a list.
type memberView struct {
	Code, Name, Says string
	Became           []string // what may be said of it; see intake.Became
}

func showBath(l look) (any, error) {
	view, name, others := bathView{}, l.asked.Get("name"), []bathView{}
	due := l.rec.Due(l.now)
	for _, bath := range intake.Baths(l.rec) {
		b := intake.InBath(l.rec, bath, due, l.now)
		if bath == name {
			view = l.bath(b, due)
		}
		others = append(others, bathView{Name: bath, Counts: wording.BathHolds(b)})
	}
	view.Others = others
	return view, nil
}

func (l look) bath(b intake.BathNow, due []tracker.Due) bathView {
	view := bathView{Name: b.Name, Counts: wording.BathHolds(b), Gauges: gaugesOf("bath "+b.Name, []intake.Gauged{intake.GaugedOfBath(l.study().Units)})}
	if b.Water != nil {
		view.Water = []toDoView{toDo(wording.OneDue(l.study(), *b.Water))}
	}
	for _, m := range b.Means {
		view.Tags = append(view.Tags, tagView{tagOf(b.Name), string(m.Stage), wording.TagMeans(b.Name, m), wording.TagLeaves(m, l.zone())})
	}
	dues := bySpecimen(due)
	view.In, view.ToCome = l.members(b.In, dues), l.members(b.ToCome, dues)
	view.Out, view.Gone = l.members(b.Out, dues), l.members(b.Gone, dues)
	return view
}

// bySpecimen is what is due, by the specimen that it is about.
func bySpecimen(due []tracker.Due) map[labels.Code]*tracker.Due {
	dues := map[labels.Code]*tracker.Due{}
	for _, d := range due {
		dues[d.Specimen.Code] = &d
	}
	return dues
}

func (l look) members(lives []*tracker.Life, dues map[labels.Code]*tracker.Due) (all []memberView) {
	for _, life := range lives {
		all = append(all, l.member(life, dues))
	}
	return all
}

// member names a specimen as its owner does, unless that gives away what whoever
// breaks it is not to know.
func (l look) member(life *tracker.Life, dues map[labels.Code]*tracker.Due) memberView {
	sp := life.Specimen
	m := memberView{Code: sp.Code.String(), Name: sp.Name, Says: wording.LeftBath(life), Became: intake.Became(life)}
	if due := dues[sp.Code]; due != nil {
		m.Says = wording.Waits(life) + " " + wording.UsefulTime(*due, l.now, l.zone())
	}
	if l.study().Blind(life.Next) {
		m.Name = ""
	}
	return m
}
