package arrange

import (
	"fmt"
	"slices"
	"time"

	"soaktag/schedule"
)

const (
	usualSpread = 14 * schedule.Day
	usualGrid   = 5 * time.Minute
	longestPlan = 1100 * schedule.Day // beyond it no calendar is looked for
	mostSlots   = 500000              // instants at which a step can begin
	most        = 9999                // bonds in a group: four digits of serial
)

// check fills in what was left to custom and refuses what means nothing.
func check(p *Problem) error {
	if p.Spread == 0 {
		p.Spread = usualSpread
	}
	if p.Grid == 0 {
		p.Grid = usualGrid
	}
	switch {
	case p.Zone == nil:
		return fmt.Errorf("arrange: the problem has no zone")
	case p.Start.IsZero():
		return fmt.Errorf("arrange: the problem has no start; give study.first_glue_up")
	case p.Grid < time.Minute || p.Grid > schedule.Day || p.Grid%time.Second != 0:
		return fmt.Errorf("arrange: the grid %s is not from 1 min to 24 h", p.Grid)
	case p.Spread < 0 || p.Spread > longestPlan:
		return fmt.Errorf("arrange: the glue-up cannot be spread over %s", schedule.Short(p.Spread))
	case p.Clamps < 0:
		return fmt.Errorf("arrange: %d clamps are fewer than none", p.Clamps)
	case len(p.Groups) == 0:
		return fmt.Errorf("arrange: there is nothing to glue")
	}
	return firstError(checkHours(p), checkGroups(p), checkFollows(p))
}

func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

func checkHours(p *Problem) error {
	for _, h := range p.Hours {
		if h.Day < time.Sunday || h.Day > time.Saturday || h.Opens < 0 || h.Opens >= h.Ends || h.Ends > 24*60 {
			return fmt.Errorf("arrange: the hours of %s, minute %d to %d, do not end later on the same day", h.Day, h.Opens, h.Ends)
		}
	}
	return nil
}

func checkGroups(p *Problem) error {
	seen := map[string]bool{}
	for _, g := range p.Groups {
		if seen[g.Key] {
			return fmt.Errorf("arrange: the group %q is there twice", g.Key)
		}
		seen[g.Key] = true
		if err := checkGroup(g); err != nil {
			return fmt.Errorf("arrange: group %q: %w", g.Key, err)
		}
	}
	return nil
}

func checkGroup(g Group) error {
	switch {
	case g.Bonds < 1 || g.Bonds > most:
		return fmt.Errorf("%d bonds are not from 1 to %d", g.Bonds, most)
	case g.PotLife < 0:
		return fmt.Errorf("the pot life is shorter than nothing")
	case len(g.Steps) == 0:
		return fmt.Errorf("it has no steps")
	}
	for i, step := range g.Steps {
		if step.Hands < 0 || step.Hands > schedule.Day {
			return fmt.Errorf("the %s cannot take %s a bond", step.Stage, step.Hands)
		}
		if slices.ContainsFunc(g.Steps[:i], func(s Step) bool { return s.Stage == step.Stage }) {
			return fmt.Errorf("the %s is there twice", step.Stage)
		}
	}
	return checkIntervals(g)
}

func checkIntervals(g Group) error {
	for _, iv := range g.Intervals {
		from, to := g.step(iv.From), g.step(iv.To)
		long := max(iv.Planned.Length, iv.Planned.Late, iv.Planned.Early)
		switch {
		case iv.Planned.Kind == schedule.None || from < 0 || to < 0 || from == to:
		case from > to:
			return fmt.Errorf("the interval %q does not end after it begins", iv.Name)
		case min(iv.Planned.Length, iv.Planned.Late, iv.Planned.Early) < 0 || long > longestPlan:
			return fmt.Errorf("the interval %q is not from nothing to %s", iv.Name, schedule.Short(longestPlan))
		case iv.Planned.Kind == schedule.AsPartner && g.Follows == "":
			return fmt.Errorf("the interval %q is as long as a partner's, but the group follows none", iv.Name)
		}
	}
	return nil
}

// checkFollows sees that who is followed is there and follows nobody itself.
func checkFollows(p *Problem) error {
	for _, g := range p.Groups {
		if g.Follows == "" {
			continue
		}
		i := slices.IndexFunc(p.Groups, func(other Group) bool { return other.Key == g.Follows })
		if i < 0 {
			return fmt.Errorf("arrange: group %q follows %q, which is not there", g.Key, g.Follows)
		}
		if p.Groups[i].Follows != "" {
			return fmt.Errorf("arrange: group %q follows %q, which follows another itself", g.Key, g.Follows)
		}
		for _, iv := range g.Intervals {
			if iv.Planned.Kind == schedule.AsPartner && (p.Groups[i].step(iv.From) < 0 || p.Groups[i].step(iv.To) < 0) {
				return fmt.Errorf("arrange: group %q has no %q to follow", g.Follows, iv.Name)
			}
		}
	}
	return nil
}

// step is stepOf for the end of an interval: what begins at clamp removal
// begins at the glue-up where there is no clamp.
func (g Group) step(stage schedule.Stage) int {
	if i := g.stepOf(stage); i >= 0 || stage != schedule.ClampRemoval {
		return i
	}
	return g.stepOf(schedule.GlueUp)
}

// stepOf is the place of a stage among the steps, -1 when it has none.
func (g Group) stepOf(stage schedule.Stage) int {
	return slices.IndexFunc(g.Steps, func(s Step) bool { return s.Stage == stage })
}

// clamped reports whether bonds are under pressure between two steps.
func (g Group) clamped() bool {
	return g.stepOf(schedule.GlueUp) == 0 && g.stepOf(schedule.ClampRemoval) > 0
}
