package station

import (
	"slices"

	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

// A specimenView is one specimen: its life, what it waits for, its pictures, its
// labels; or, where none is named, all of them, to be searched by typing.
type specimenView struct {
	All []memberView
	wording.LifeTold
	Code   string
	Hidden bool                // what tells its adhesive is not shown
	Due    []toDoView          // at most one
	Stands string              // how it stands
	Newest []wording.LifeEvent // what happened to it, the last first
	Prints []wording.LifeEvent // of its labels, the last first
	Bath   string
	Photos []photoView
	Issues string
	Stock  string // to print labels on
	Became []string
	Gauges []gaugeView // what may be measured of it
}

// A photoView is a photograph that the study keeps, with what it shows.
type photoView struct{ SHA, What string }

func showSpecimen(l look) (any, error) {
	dues := bySpecimen(l.rec.Due(l.now))
	if l.asked.Get("code") == "" {
		return specimenView{All: l.members(l.rec.Lives(), dues)}, nil
	}
	sp, _, err := l.rec.Resolve(l.asked.Get("code"))
	if err != nil {
		return nil, absent{err}
	}
	life := l.rec.Life(sp.Code)
	hidden := l.study().Blind(life.Next)
	view := specimenView{LifeTold: wording.LifeOf(l.rec, sp, hidden), Code: sp.Code.String(), Hidden: hidden,
		Issues: wording.LabelIssues(life), Stock: l.rec.SuggestedStock(), Became: intake.Became(life), Stands: wording.Stands(life)}
	view.Newest, view.Prints = newestFirst(view.Events)
	if !hidden {
		view.Bath = sp.Bath
	}
	view.Gauges = gaugesOf(view.Code, intake.GaugedOf(l.rec, life))
	if due := dues[sp.Code]; due != nil {
		view.Due = []toDoView{toDo(wording.OneDue(l.study(), *due))}
	}
	view.Photos = photosOf(view.Events)
	return view, nil
}

// newestFirst turns a life around, halves of one moment in their order, and takes out
// what is about labels alone.
func newestFirst(events []wording.LifeEvent) (happened, prints []wording.LifeEvent) {
	for _, e := range events {
		all := &happened
		if e.Label {
			all = &prints
		}
		i := 0
		for i < len(*all) && e.Half > (*all)[i].Half && (*all)[i].Half > 0 && e.When == (*all)[i].When {
			i++
		}
		*all = slices.Insert(*all, i, e)
	}
	return happened, prints
}

// photosOf are the photographs of a life, each once.
func photosOf(events []wording.LifeEvent) (all []photoView) {
	for _, e := range events {
		known := slices.ContainsFunc(all, func(p photoView) bool { return p.SHA == e.Photo })
		if e.Photo != "" && !known {
			all = append(all, photoView{e.Photo, e.When + ", " + e.What})
		}
	}
	return all
}

// A driftView is how far every interval is off the plan.
type driftView struct {
	Nothing   string
	Intervals []intervalView
}

type intervalView struct {
	wording.DriftSaid
	Table grid
}

func showDrift(l look) (any, error) {
	var view driftView
	for _, iv := range l.rec.Drift(l.now) {
		said := wording.Drifted(iv)
		view.Intervals = append(view.Intervals, intervalView{said, gridOf(said.Head, wording.DriftHeadings, said.Rows)})
	}
	if len(view.Intervals) == 0 {
		view.Nothing = wording.NoDrift(l.now, l.zone())
	}
	return view, nil
}
