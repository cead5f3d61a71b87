package tracker

import (
	"slices"
	"time"

	"soaktag/schedule"
)

// A DueGroup is what one person does in one go: the same stage for the same
// bath, or for the same adhesive and treatment where no bath is in play, in one
// window. In a blind study a break is not told apart by adhesive, nor named by
// more than codes.
type DueGroup struct {
	DueKey
	Blind  bool
	Window schedule.Window // in which all of them may be done
	Part   bool            // others of the same key have windows of their own
	Items  []Due           // soonest first
}

// Water reports whether the group is baths whose water is to be changed.
func (g DueGroup) Water() bool { return g.Stage == WaterChange }

// Whole is the group as one thing to be done.
func (g DueGroup) Whole() Due {
	d := g.Items[0]
	d.Window = g.Window
	return d
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
	case d.Bath != "" && (d.Stage.Wet() || d.Stage == WaterChange):
		key.Bath, key.Treatment = d.Bath, ""
	case !blind:
		key.Adhesive = d.Specimen.Adhesive
	}
	return key
}

// placeOf is all that work at one time has in common: the stage, and the bath.
func placeOf(d Due, _ bool) DueKey {
	key := DueKey{Rig: d.Rig, Stage: d.Named(), State: d.State}
	if d.Stage.Wet() {
		key.Bath = d.Bath
	}
	return key
}

// Blind reports whether whoever does a stage next is not to know the adhesive.
func (s *Study) Blind(next schedule.Stage) bool { return s.Rule.Blind && next == schedule.Break }

// GroupDue groups what is due. A group stands where its soonest does.
func (s *Study) GroupDue(items []Due) []DueGroup { return s.grouped(items, keyOf) }

// DueLots groups what is due by stage, bath and window alone, whatever the
// adhesive and the treatment.
func (s *Study) DueLots(items []Due) []DueGroup { return s.grouped(items, placeOf) }

func (s *Study) grouped(items []Due, keyOf func(d Due, blind bool) DueKey) []DueGroup {
	var keys []DueGroup
	at := map[DueKey]int{}
	for _, d := range items {
		hide := s.Blind(d.Stage)
		key := keyOf(d, hide)
		i, ok := at[key]
		if !ok {
			i = len(keys)
			at[key] = i
			keys = append(keys, DueGroup{DueKey: key, Blind: hide})
		}
		keys[i].Items = append(keys[i].Items, d)
	}
	var groups []DueGroup
	for _, g := range keys {
		groups = append(groups, s.lots(g)...)
	}
	slices.SortStableFunc(groups, func(a, b DueGroup) int { return sooner(a.Items[0], b.Items[0]) })
	return groups
}

// A DueBlock is groups that one person can do in one go: the same stage, at
// much the same time; or the lots of one bath or adhesive, each in its own.
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

// near reports whether o is the same work as g within the hour, or another lot
// of the same. A window open
// at one end is near none that is closed there, and no rig is near another.
func (g DueGroup) near(o DueGroup) bool {
	a, b := g.Window, o.Window
	return g.Rig == "" && g.DueKey == o.DueKey || g.Rig == "" && g.Stage == o.Stage && g.State == o.State &&
		a.Opens.Sub(b.Opens).Abs() <= oneGo && a.Closes.Sub(b.Closes).Abs() <= oneGo
}

// Items are those of all groups of a block.
func (b DueBlock) Items() (all []Due) {
	for _, g := range b {
		all = append(all, g.Items...)
	}
	return all
}

// fewNames is how many specimens are named by their codes; more have numbers.
const fewNames = 6

// Few reports whether a group is small enough to name its specimens by code.
func (g DueGroup) Few() bool { return len(g.Items) <= fewNames }

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
