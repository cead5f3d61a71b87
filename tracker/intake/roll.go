package intake

import (
	"fmt"
	"maps"
	"slices"

	"soaktag/schedule"
	"soaktag/tracker"
)

// A Given is what somebody says of all photographs of a roll.
type Given struct {
	Stage   schedule.Stage // in force from the start until there is a card; empty: none
	Correct bool           // what was read in them before is put right, by Stage or by the entry's time
	Any     bool           // QR codes that are none of ours were looked for too
	At      string         // the entry's time, as it was typed
	Words   []string       // the photographs and folders, as they were named
}

// A Roll is photographs that come in together. They are taken in the order of
// their time, and at the end it is said once what became of all of them.
type Roll struct {
	Given
	Photographs []*Photograph // Order sorts them by their time

	desk *Desk
	sums
	back     wayBack
	unstaged map[string]string // by event without a stage: its photograph
	told     map[string]bool   // marks: the same words are said once a roll
}

// Roll puts photographs together, and the stage given in force.
func (d *Desk) Roll(g Given, photographs ...*Photograph) *Roll {
	r := &Roll{Given: g, Photographs: photographs, desk: d, back: wayBack{aside: map[string]string{}},
		sums:     sums{fresh: map[string]bool{}, right: map[string]bool{}},
		unstaged: map[string]string{}, told: map[string]bool{}}
	for _, p := range photographs {
		p.roll = r
	}
	if g.Stage != "" {
		d.stage, d.stays = g.Stage, true
	}
	return r
}

// sums is what a roll added to the record.
type sums struct {
	fresh  map[string]bool // events that it recorded and did not take back
	right  map[string]bool // corrections by which it put entries right
	before int             // labels that were recorded before
	taken  int             // photographs
	kept   bool            // something was recorded
}

// count remembers what a roll recorded, and what it only put right.
func (s *sums) count(e tracker.Event) {
	if e.Target == "" {
		s.fresh[e.ID] = true
	} else {
		s.right[e.ID] = true
	}
}

// forget leaves out what a card took back.
func (r *Roll) forget(events []tracker.Event) {
	for _, e := range events {
		delete(r.fresh, e.ID)
		delete(r.right, e.ID)
	}
	r.back.forget(events)
}

// A wayBack is which photographs were read before so that they may want to be
// put right.
type wayBack struct {
	aside  map[string]string // by an entry: photographs of which nothing stands
	others []string          // photographs that were read at another stage
}

func (w *wayBack) forget(events []tracker.Event) {
	for _, e := range events {
		delete(w.aside, e.ID)
	}
}

// noteWayBack remembers a photograph with a stage in force that changes nothing
// of what was read in it before.
func (rd *reading) noteWayBack(verdicts []tracker.Verdict) {
	d, w := rd.desk, &rd.roll.back
	staged := slices.DeleteFunc(eventsIn(verdicts), func(e tracker.Event) bool { return e.Kind != tracker.Staged || isTrialEvent(e) })
	switch {
	case d.stage == "" || len(staged) == 0:
	case !slices.ContainsFunc(staged, func(e tracker.Event) bool { return !d.rec.Voided(e.ID) }):
		w.aside[staged[0].ID] = rd.Name
	case rd.roll.Stage == d.stage && slices.ContainsFunc(staged, rd.otherStage):
		w.others = append(w.others, rd.Name)
	}
}

// Close says at the end what became of the photographs, what they left open and
// how those that were read before are put right. One that a card of this roll
// took back needs no word.
func (r *Roll) Close() (out Outcome) {
	if len(r.back.others) > 0 {
		out.add(LeftAtStage{r.Given, r.back.others})
	}
	if len(r.back.aside) > 0 {
		out.add(LeftAside{r.Given, slices.Sorted(maps.Values(r.back.aside))})
	}
	if len(r.Photographs) == 1 && r.Photographs[0].Err != nil {
		return out
	}
	out.add(RollTaken{Labels: len(r.fresh), Before: r.before, Right: len(r.right), Photographs: len(r.Photographs), Untaken: r.untaken()})
	if len(r.desk.tally.open) > 0 {
		out.add(r.left())
	}
	return out
}

func (r *Roll) untaken() (n int) {
	for _, p := range r.Photographs {
		if p.Err != nil {
			n++
		}
	}
	return n
}

// Interrupted says what of a roll that was not taken to its end is on record.
func (r *Roll) Interrupted() Note {
	return RollInterrupted{Labels: len(r.fresh), Taken: r.taken, Photographs: len(r.Photographs), Nothing: !r.kept}
}

// left is what the roll left open: what has no stage gets it from its
// photographs.
func (r *Roll) left() RollAsks {
	asks := RollAsks{Given: r.Given}
	met := map[string]bool{}
	for _, key := range slices.Sorted(maps.Keys(r.desk.tally.open)) {
		m := r.desk.tally.open[key]
		if !met[saidOf(m)] {
			met[saidOf(m)] = true
			asks.Marks = append(asks.Marks, m)
		}
		name, ok := r.unstaged[m.Event]
		if m.Rule != tracker.RuleNoStage || !ok {
			asks.Others = true
		} else if !slices.Contains(asks.Unstaged, name) {
			asks.Unstaged = append(asks.Unstaged, name)
		}
	}
	slices.Sort(asks.Unstaged)
	return asks
}

// saidOf is the same for marks that say the same in the same words.
func saidOf(m tracker.Mark) string {
	return fmt.Sprintf("%s|%s|%t|%T%v|%v", m.Rule, m.Code, m.Open(), m.About, m.About, m.Remedy)
}
