package intake

import (
	"slices"

	"soaktag/schedule"
	"soaktag/tracker"
)

// before says once a desk that specimens are about to go under water with
// labels that were never tried there, or are lifted out for a rig that was never
// tried. It must be asked before the events are recorded.
func (d *Desk) before(out *Outcome, events []tracker.Event) {
	d.beforeLift(out, events)
	if d.wet || !slices.ContainsFunc(events, immerses) {
		return
	}
	d.wet = true
	if stock, open := untried(d.rec); open {
		out.add(UntriedLabels{stock, d.rec.Trials()})
	}
}

// untried reports, when the first specimens of a study go under water, a stock
// of which no label was ever read wet; empty where the stock is not known.
func untried(rec *tracker.Record) (stock string, open bool) {
	if rec.Immersed() {
		return "", false
	}
	stocks, printed := rec.Stocks()
	trials := rec.Trials()
	tried := func(stock string) bool {
		return slices.ContainsFunc(trials, func(t tracker.LabelTrial) bool { return t.Stock == stock && t.ReadWet() })
	}
	left := slices.DeleteFunc(stocks, tried)
	if !printed || len(left) == 0 && (len(stocks) > 0 || slices.ContainsFunc(trials, tracker.LabelTrial.ReadWet)) {
		return "", false
	}
	return append(left, "")[0], true
}

// immerses reports whether an event puts a specimen under water.
func immerses(e tracker.Event) bool {
	return e.Kind == tracker.Staged && e.Stage == schedule.Immersion && !isTrialEvent(e)
}

// beforeLift says once a desk that specimens are lifted out for a rig on which
// nothing was ever broken. What is written up days later is past that.
func (d *Desk) beforeLift(out *Outcome, events []tracker.Event) {
	if d.lifted || !slices.ContainsFunc(events, liftsNow) {
		return
	}
	d.lifted = true
	dummies := d.rec.Dummies(d.now())
	if len(dummies) == 0 || dummies[0].State == schedule.Ongoing && d.rec.Study().MostPasses() > 1 {
		return // this is no lift-out that a break follows
	}
	var rigs []string
	for _, due := range dummies {
		rigs = append(rigs, due.Rig)
	}
	out.add(UntriedRigs{rigs})
}

// liftsNow reports whether an event lifts a specimen out, and is recorded on
// the day.
func liftsNow(e tracker.Event) bool {
	stage, _ := schedule.PassOf(e.Stage)
	late := !e.At.IsZero() && e.Recorded.Sub(e.At.Mid()) > schedule.Day
	return e.Kind == tracker.Staged && stage == schedule.LiftOut && !isTrialEvent(e) && !late
}
