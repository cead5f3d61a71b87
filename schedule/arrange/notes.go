package arrange

import (
	"fmt"
	"time"

	"soaktag/schedule"
)

// notes says how the work must be divided, and why.
func notes(p Problem) []string { return append(potNotes(p), holds(p)...) }

// potNotes says so where a pot does not last for all bonds of a group.
func potNotes(p Problem) []string {
	var list []string
	for _, g := range p.Groups {
		each := g.Steps[0].Hands
		if g.PotLife == 0 || each == 0 || g.PotLife < each || time.Duration(g.Bonds)*each <= g.PotLife {
			continue
		}
		list = append(list, fmt.Sprintf("%s: %s take %s to glue, pot life %s: at most %s a pot", g.Key, count(g.Bonds, "bond"),
			schedule.Short(time.Duration(g.Bonds)*each), schedule.Short(g.PotLife), word(int(g.PotLife/each))))
	}
	return list
}

// A hold is a wait that bonds must not be left in: what was done to them, the
// limit, and the hands for each before and after it.
type hold struct {
	stage                schedule.Stage
	limit, first, second time.Duration
}

// holds says where bonds must be taken in lots, for all that are treated
// alike would wait too long if they were taken together.
func holds(p Problem) []string {
	var order []hold
	bonds := map[hold]int{}
	for _, g := range p.Groups {
		for i := range g.Steps {
			limit, bound := g.bound(i)
			if !bound {
				continue
			}
			h := hold{g.Steps[i-1].Stage, limit, g.Steps[i-1].Hands, g.Steps[i].Hands}
			if bonds[h] == 0 {
				order = append(order, h)
			}
			bonds[h] += g.Bonds
		}
	}
	var notes []string
	for _, h := range order {
		if lot := together(h.limit, h.first, h.second); lot > 0 && lot < bonds[h] {
			notes = append(notes, h.say(bonds[h], lot))
		}
	}
	return notes
}

// say says it: "nine lifted together wait 54 min, limit 30 min: lift in lots
// of five".
func (h hold) say(bonds, lot int) string {
	n := time.Duration(bonds)
	wait := max(n*h.second, (n-1)*h.first+h.second)
	did, do := "taken", "take"
	if h.stage == schedule.LiftOut {
		did, do = "lifted", "lift"
	}
	how := do + " one at a time"
	if lot > 1 {
		how = fmt.Sprintf("%s in lots of %s", do, word(lot))
	}
	return fmt.Sprintf("%s %s together wait %s, limit %s: %s", word(bonds), did, schedule.Short(wait), schedule.Short(h.limit), how)
}

// word writes small numbers out.
func word(n int) string {
	words := [...]string{"none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}
	if n < len(words) {
		return words[n]
	}
	return fmt.Sprint(n)
}

func count(n int, noun string) string {
	if n != 1 {
		noun += "s"
	}
	return fmt.Sprintf("%d %s", n, noun)
}
