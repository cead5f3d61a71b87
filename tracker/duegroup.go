package tracker

import (
	"slices"
	"time"

	"soaktag/schedule"
)

// A DueGroup is what one person does in one go: the same stage for the same
// bath, or for the same adhesive and treatment where no bath is in play. In a
// blind study a break is not told apart by adhesive, nor named by more than
// codes.
type DueGroup struct {
	DueKey
	Blind bool
	Items []Due // soonest first
}

// A DueKey is what the items of a group have in common; what they need not have
// in common is empty.
type DueKey struct {
	Rig                       string // of a dummy
	Bath, Adhesive, Treatment string
	Stage                     schedule.Stage // with its pass
	State                     schedule.State
}

func keyOf(d Due, blind bool) DueKey {
	key := DueKey{Rig: d.Rig, Stage: d.Named(), State: d.State, Treatment: d.Specimen.Treatment}
	switch {
	case d.Bath != "" && d.Stage.Wet():
		key.Bath, key.Treatment = d.Bath, ""
	case !blind:
		key.Adhesive = d.Specimen.Adhesive
	}
	return key
}

// GroupDue keeps the order of the items: a group stands where its soonest does.
func GroupDue(items []Due, blind bool) []DueGroup {
	var groups []DueGroup
	at := map[DueKey]int{}
	for _, d := range items {
		hide := blind && d.Stage == schedule.Break
		key := keyOf(d, hide)
		i, ok := at[key]
		if !ok {
			i = len(groups)
			at[key] = i
			groups = append(groups, DueGroup{DueKey: key, Blind: hide})
		}
		groups[i].Items = append(groups[i].Items, d)
	}
	return groups
}

// A DueBlock is groups that one person can do in one go: the same stage, at
// much the same time.
type DueBlock []DueGroup

// oneGo is how far the windows of groups in one block may lie apart.
const oneGo = time.Hour

// DueBlocks keeps the order of the groups: a block stands where its first does.
func DueBlocks(groups []DueGroup) []DueBlock {
	var blocks []DueBlock
	for _, g := range groups {
		i := slices.IndexFunc(blocks, func(b DueBlock) bool { return b[0].near(g) })
		if i < 0 {
			blocks = append(blocks, DueBlock{g})
		} else {
			blocks[i] = append(blocks[i], g)
		}
	}
	return blocks
}

// near reports whether o is the same work as g within the hour. A window open
// at one end is near none that is closed there, and no rig is near another.
func (g DueGroup) near(o DueGroup) bool {
	a, b := g.Items[0].Window, o.Items[0].Window
	return g.Rig == "" && g.Stage == o.Stage && g.State == o.State &&
		a.Opens.Sub(b.Opens).Abs() <= oneGo && a.Closes.Sub(b.Closes).Abs() <= oneGo
}

// Items are those of all groups of a block.
func (b DueBlock) Items() (all []Due) {
	for _, g := range b {
		all = append(all, g.Items...)
	}
	return all
}

// fewNames is how many specimens are named one by one; of a larger group only
// those that stray from it are.
const fewNames = 6

// Few reports whether a group is small enough to name its specimens.
func (g DueGroup) Few() bool { return len(g.Items) <= fewNames }

// Strays are the items of a group whose time lies a good way from its middle.
func (g DueGroup) Strays() []Due {
	middle := medianTime(g.Items)
	return slices.DeleteFunc(slices.Clone(g.Items), func(d Due) bool { return d.Window.At.Sub(middle).Abs() < goodWay(d.Window) })
}

// goodWay is a quarter of a window, and at least an hour.
func goodWay(w schedule.Window) time.Duration {
	if w.Opens.IsZero() || w.Closes.IsZero() {
		return time.Hour
	}
	return max(time.Hour, w.Closes.Sub(w.Opens)/4)
}

func medianTime(items []Due) time.Time {
	times := make([]time.Time, len(items))
	for i, d := range items {
		times[i] = d.Window.At
	}
	slices.SortFunc(times, time.Time.Compare)
	return times[len(times)/2]
}

// Rest finds what the plan lets a specimen do after a lift-out before it goes to
// the press: to dry, say. False where it is broken at once.
func (s *Study) Rest(of Specimen, lifted schedule.Stage) (schedule.Interval, bool) {
	for _, iv := range s.IntervalsOf(of) {
		rests := iv.Planned.Kind == schedule.Target || iv.Planned.Kind == schedule.AtLeast
		if iv.From == lifted && iv.Name != schedule.WetHold && rests {
			return iv, true
		}
	}
	return schedule.Interval{}, false
}

// States counts items by how they stand.
func States(items []Due) map[schedule.State]int {
	counts := map[schedule.State]int{}
	for _, d := range items {
		counts[d.State]++
	}
	return counts
}
