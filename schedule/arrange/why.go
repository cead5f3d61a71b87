package arrange

import (
	"fmt"
	"slices"

	"soaktag/schedule"
)

// why says what stands in the way of a calendar: what is wrong with one group
// alone, with the first day, or else that they are in each other's way.
func why(p Problem) []string {
	m := newModel(p, 4)
	var reasons []string
	for _, g := range m.groups {
		if reason := g.obstacle(); reason != "" && !slices.Contains(reasons, reason) {
			reasons = append(reasons, reason)
		}
	}
	if len(reasons) > 0 {
		return reasons
	}
	today := m.onFirstDay()
	for _, g := range m.groups {
		if g.possible(today) {
			return []string{m.crowded()}
		}
	}
	day := p.Start.In(p.Zone).Format("Monday 2 January")
	return []string{fmt.Sprintf("glued on %s, %s", day, today.blocked(m.groups[0]))}
}

// obstacle is what is wrong with a group alone, empty when nothing is.
func (g *group) obstacle() string {
	if g.possible(g.m) {
		return ""
	}
	if took := g.Steps[0].Hands; g.PotLife > 0 && took > g.PotLife {
		return fmt.Sprintf("%s: one bond takes %s to glue, the pot life is %s", g.Key, schedule.Short(took), schedule.Short(g.PotLife))
	}
	for _, b := range g.blocks {
		names := g.stages(b)
		if b.turn == 0 {
			return fmt.Sprintf("%s: even one alone waits longer than the limit between %s", g.Key, names)
		}
		if b.each() > g.m.longest {
			return fmt.Sprintf("%s: %s of one bond take %s, and nobody is there for so long", g.Key, names, schedule.Short(seconds(b.each())))
		}
	}
	return fmt.Sprintf("%s: whenever it is glued, %s", g.Key, g.m.blocked(g))
}

// stages names the stages of a block: "lift-out and break".
func (g *group) stages(b block) string {
	var names string
	for j := range b.hands {
		if j > 0 {
			names += " and "
		}
		names += string(g.Steps[b.first+j].Stage)
	}
	return names
}

// blocked names the first block of one bond that finds no place within the hours.
func (m *model) blocked(g *group) string {
	sh := g.shape(1)
	for b := range sh.length {
		head := *sh
		head.length = sh.length[:b+1]
		if m.table(&head, sh.chain, nil).soonest() == never {
			return fmt.Sprintf("no %s falls into the hours when somebody is there", g.stages(g.blocks[b]))
		}
	}
	return "the limits of its intervals contradict each other"
}

// crowded is for groups that each would do alone.
func (m *model) crowded() string {
	bonds := 0
	for _, g := range m.groups {
		bonds += g.Bonds
	}
	text := fmt.Sprintf("%s: each group would fit alone, but not all of them with one pair of hands", count(bonds, "bond"))
	if m.p.Clamps > 0 {
		text += " and " + count(m.p.Clamps, "clamp")
	}
	return text + ", glued within " + schedule.Short(m.p.Spread)
}
