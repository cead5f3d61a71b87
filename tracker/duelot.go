package tracker

import (
	"cmp"
	"slices"
	"time"

	"soaktag/schedule"
)

// Bonds glued on different days are different lots: their windows differ. Those
// of one group whose windows overlap nearly wholly are done together, in the time
// that all of them have in common.

// oneSitting is how far windows that never close may open apart and still be one
// lot: an evening's work. It waits for the last of them, which harms none.
const oneSitting = 3 * time.Hour

// A lot is a group while it is parted, with what a further item has to know of those
// in it.
type lot struct {
	DueGroup
	widest time.Duration // of their windows
	manned bool          // somebody is in the shop in one of these
}

// lots parts a group by windows. Taken as they begin, each item joins the lot
// before it if what they have in common is at least half of each one's window,
// and somebody is there in it if somebody is in each one's own.
func (s *Study) lots(g DueGroup) []DueGroup {
	items := slices.Clone(g.Items)
	slices.SortStableFunc(items, func(a, b Due) int { return cmp.Or(a.begins().Compare(b.begins()), sooner(a, b)) })
	var lots []lot
	for _, d := range items {
		if n := len(lots) - 1; n < 0 || !s.joins(lots[n], d) {
			lots = append(lots, lot{DueGroup: DueGroup{DueKey: g.DueKey, Blind: g.Blind, Window: d.Window}})
		}
		s.take(&lots[len(lots)-1], d)
	}
	groups := make([]DueGroup, len(lots))
	for i, l := range lots {
		groups[i] = l.DueGroup
		groups[i].Part = len(lots) > 1
		slices.SortStableFunc(groups[i].Items, sooner)
	}
	return groups
}

// take adds a due to a lot that it joins.
func (s *Study) take(l *lot, d Due) {
	l.Items, l.Window = append(l.Items, d), l.Window.And(d.Window)
	l.widest, l.manned = max(l.widest, d.width()), l.manned || s.manned(d.Window)
}

// begins is when a due can be done: when its window opens, or at once when the
// interval began.
func (d Due) begins() time.Time {
	if d.Window.Opens.IsZero() {
		return d.From
	}
	return d.Window.Opens
}

// width is how long a window is, from when the due can be done.
func (d Due) width() time.Duration { return d.Window.Closes.Sub(d.begins()) }

// joins reports whether a due may be done with a lot that begins no later.
func (s *Study) joins(l lot, d Due) bool {
	if l.Window.Closes.IsZero() != d.Window.Closes.IsZero() || l.Window.Opens.IsZero() != d.Window.Opens.IsZero() {
		return false
	}
	common := l.Window.And(d.Window)
	if common.Closes.IsZero() {
		return d.begins().Sub(l.Items[0].begins()) <= oneSitting
	}
	room := common.Closes.Sub(d.begins())
	return room >= max(l.widest, d.width())/2 && (s.manned(common) || !l.manned && !s.manned(d.Window))
}

// Lots are the lots of the specimens of which a stage is next as somebody named it,
// as what is due is parted by stage, bath and window, soonest first; how they stand
// does not part them. Those for which the plan gives no time have a window without ends.
func (r *Record) Lots(named schedule.Stage, now time.Time) []DueGroup {
	ahead := r.outlook(now)
	var items []Due
	for _, life := range r.Lives() {
		if !life.IsNext(named) {
			continue
		}
		d := Due{Specimen: life.Specimen, Bath: life.Specimen.Bath, Stage: life.Next, Pass: life.Pass}
		if due := ahead.dueOf(life); due != nil {
			d = *due
		}
		d.State = schedule.Ongoing
		items = append(items, d)
	}
	return r.study.DueLots(items)
}

// Opening is from when the lot of each of lives may go through a stage, which is
// next as somebody named it. Zero where it may now: where nothing says when, or the
// window of one of that lot has begun.
func (r *Record) Opening(lives []*Life, named schedule.Stage, now time.Time) []time.Time {
	ahead, opens := r.outlook(now), make([]time.Time, len(lives))
	var items []Due
	for _, life := range lives {
		if d := ahead.dueOf(life); d != nil && life.IsNext(named) {
			d.State = schedule.Ongoing // how they stand does not part them
			items = append(items, *d)
		}
	}
	for _, lot := range r.study.DueLots(items) {
		if slices.ContainsFunc(lot.Items, func(d Due) bool { return !d.Window.Opens.After(now) }) {
			continue
		}
		for _, d := range lot.Items {
			opens[slices.IndexFunc(lives, func(l *Life) bool { return l.Specimen.Code == d.Specimen.Code })] = lot.Window.Opens
		}
	}
	return opens
}

// manned reports whether somebody is in the shop in a window.
func (s *Study) manned(w schedule.Window) bool { return s.Manned(s.FirstManned(w.Begins(), w.Closes)) }
