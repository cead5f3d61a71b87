package tracker

import (
	"slices"
	"time"

	"soaktag/schedule"
)

// WaterChange is what people and a Due call the changing of a bath's water. It
// is done to the bath: no specimen goes through it.
const WaterChange schedule.Stage = "water change"

// WaterChanged is under which name the changing of a bath's water is measured.
const WaterChanged = "water_change"

// FreshWater are the values that say that all of a bath's water was changed.
func FreshWater() []Value { return []Value{{Name: WaterChanged, Text: "all"}} }

// changesWater reports whether an event says that a bath's water was changed.
func (e *Event) changesWater() bool {
	return e.Kind == Measured && e.Bath != "" && slices.ContainsFunc(e.Values, func(v Value) bool { return v.Name == WaterChanged })
}

// ChangesWater reports whether a plan says when a bath's water is changed.
func (s *Study) ChangesWater() bool {
	return slices.ContainsFunc(s.Treatments, func(t Treatment) bool { return t.WaterChange.Kind != schedule.None })
}

// A waterline is a bath with what lies in it.
type waterline struct {
	planned schedule.Planned // the shortest of those that lie there
	in      schedule.Span    // when the first of them went in
	lift    time.Time        // when the last of them is lifted out as planned; zero where that is not known
	never   bool             // of one of them it is not known
}

// dueWater lists the changes of water that are next, one a bath in which
// something lies that the plan wants them for: counted from the last change, or
// from when the first of what lies there went in. A change that would come no
// earlier than the last planned lift-out is left out.
func (r *Record) dueWater(now time.Time) (all []Due) {
	if !r.study.ChangesWater() {
		return nil
	}
	baths := r.waterlines(now)
	changed := r.lastChanges()
	for bath, w := range baths {
		from := w.in
		if last, ok := changed[bath]; ok && last.Mid().After(from.Mid()) {
			from = last
		}
		window := w.planned.Window(from)
		if !w.never && !window.At.Before(w.lift) {
			continue
		}
		all = append(all, Due{Bath: bath, Stage: WaterChange, From: from.Mid(), Window: window,
			State: window.State(w.planned.Length, now), Over: window.Over(now), Sure: from.Exact()})
	}
	return all
}

// waterlines finds the baths in which something lies whose water is to be changed.
func (r *Record) waterlines(now time.Time) map[string]*waterline {
	ahead, baths := r.outlook(now), map[string]*waterline{}
	for i := range r.specimens {
		life := r.alone(i)
		t := r.study.Treatment(life.Specimen.Treatment)
		if !life.InWater() || life.Next == "" || t == nil || t.WaterChange.Kind == schedule.None {
			continue
		}
		w := baths[life.Specimen.Bath]
		if w == nil {
			w = &waterline{planned: t.WaterChange, in: life.Spells[len(life.Spells)-1].In}
			baths[life.Specimen.Bath] = w
		}
		w.add(life, t.WaterChange, ahead.dueOf(life))
	}
	return baths
}

func (w *waterline) add(life *Life, planned schedule.Planned, lift *Due) {
	if planned.Length < w.planned.Length {
		w.planned = planned
	}
	if in := life.Spells[len(life.Spells)-1].In; in.Mid().Before(w.in.Mid()) {
		w.in = in
	}
	if lift == nil || lift.Window.At.IsZero() {
		w.never = true
		return
	}
	w.lift = later(w.lift, lift.Window.At)
}

// lastChanges says of every bath when its water was changed last.
func (r *Record) lastChanges() map[string]schedule.Span {
	last := map[string]schedule.Span{}
	for _, e := range r.log {
		if !e.changesWater() || r.Voided(e.ID) || !r.visible(e) {
			continue
		}
		if at := r.corrected(e); at.Mid().After(last[e.Bath].Mid()) {
			last[e.Bath] = at
		}
	}
	return last
}
