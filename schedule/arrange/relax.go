package arrange

import (
	"fmt"
	"slices"
	"time"

	"soaktag/schedule"
)

const (
	otherDays = 14               // days that the start is moved by at most
	widest    = 2 * schedule.Day // that an interval is widened by at most
)

// A Relaxation is the one change that makes a calendar possible.
type Relaxation struct {
	Text     string  // "with 8 clamps instead of 6"
	Problem  Problem // the problem so changed
	calendar Calendar
}

// relax tries changes from cheap to dear, each by itself, and returns the
// first that makes a calendar:
//
//  1. another start: the soonest of the next 14 days
//  2. more clamps: as few as will do
//  3. a wider interval: the one that needs least, by at most 2 d; of those that
//     need as much the one named first, later rather than earlier
//  4. somebody there on one more day of the week, Monday first, for the longest
//     hours that are kept on any
//
// It is nil when none of them does.
func relax(p Problem) *Relaxation {
	for _, try := range []func(Problem) *Relaxation{relaxStart, relaxClamps, relaxInterval, relaxDay} {
		if r := try(p); r != nil {
			r.calendar = solve(r.Problem).Calendar
			return r
		}
	}
	return nil
}

// works reports whether a problem has a calendar, as far as a few looks tell.
func works(p Problem) bool {
	found, _ := newModel(p, 4).feasible(fewLooks)
	return found != nil
}

func relaxStart(p Problem) *Relaxation {
	year, month, day := p.Start.In(p.Zone).Date()
	for d := 1; d <= otherDays; d++ {
		q := p
		q.Start = time.Date(year, month, day+d, 0, 0, 0, 0, p.Zone)
		if works(q) {
			return &Relaxation{Text: "starting " + q.Start.Format("Monday 2 January"), Problem: q}
		}
	}
	return nil
}

func relaxClamps(p Problem) *Relaxation {
	bonds := 0
	for _, g := range p.Groups {
		bonds += g.Bonds
	}
	if p.Clamps == 0 || p.Clamps >= bonds {
		return nil
	}
	with := func(more int) Problem { q := p; q.Clamps += more; return q }
	more := least(1, bonds-p.Clamps, func(n int) bool { return works(with(n)) })
	if more == 0 {
		return nil
	}
	return &Relaxation{Text: fmt.Sprintf("with %d clamps instead of %d", p.Clamps+more, p.Clamps), Problem: with(more)}
}

// least is the smallest number from lo to hi that does, if what a number does
// every larger one does too; 0 when even hi does not.
func least(lo, hi int, does func(int) bool) int {
	if lo > hi || !does(hi) {
		return 0
	}
	for lo < hi {
		if mid := (lo + hi) / 2; does(mid) {
			hi = mid
		} else {
			lo = mid + 1
		}
	}
	return hi
}

// relaxInterval widens one interval at a time, to the minute.
func relaxInterval(p Problem) *Relaxation {
	var best *Relaxation
	need := int(widest/time.Minute) + 1
	for _, name := range intervalNames(p) {
		for _, late := range []bool{true, false} {
			by := least(1, need-1, func(n int) bool { return works(widen(p, name, late, n)) })
			if by > 0 {
				need = by
				best = &Relaxation{Text: widened(p, name, late, by), Problem: widen(p, name, late, by)}
			}
		}
	}
	return best
}

func intervalNames(p Problem) []string {
	var names []string
	for _, g := range p.Groups {
		for _, iv := range g.Intervals {
			counts := iv.Planned.Kind != schedule.None && g.step(iv.From) >= 0 && g.step(iv.To) >= 0
			if counts && !slices.Contains(names, iv.Name) {
				names = append(names, iv.Name)
			}
		}
	}
	return names
}

// widen lets an interval of every group end some minutes later, or earlier.
func widen(p Problem, name string, late bool, minutes int) Problem {
	by := time.Duration(minutes) * time.Minute
	p.Groups = slices.Clone(p.Groups)
	for i := range p.Groups {
		p.Groups[i].Intervals = slices.Clone(p.Groups[i].Intervals)
		for j := range p.Groups[i].Intervals {
			if iv := &p.Groups[i].Intervals[j]; iv.Name == name {
				iv.Planned = wider(iv.Planned, late, by)
			}
		}
	}
	return p
}

// wider widens a planned length. One whose tolerance depends on each partner
// stays as it is.
func wider(p schedule.Planned, late bool, by time.Duration) schedule.Planned {
	switch {
	case p.Kind == schedule.AsPartner && p.Assumed:
	case p.Kind == schedule.AtMost && late:
		p.Length += by
	case p.Kind == schedule.AtLeast && !late:
		p.Length = max(0, p.Length-by)
	case p.Kind == schedule.Target && !late:
		p.Early = min(p.Length, p.Early+by)
	case p.Kind == schedule.AsPartner && !late:
		p.Early += by
	case p.Kind == schedule.Target || p.Kind == schedule.AsPartner:
		p.Late += by
	}
	return p
}

// widened says it for people, by the kind that the first group gives it.
func widened(p Problem, name string, late bool, minutes int) string {
	by := schedule.Short(time.Duration(minutes) * time.Minute)
	kind := schedule.None
	for _, g := range p.Groups {
		for _, iv := range g.Intervals {
			if iv.Name == name && kind == schedule.None {
				kind = iv.Planned.Kind
			}
		}
	}
	switch {
	case kind == schedule.AtMost:
		return fmt.Sprintf("if the %s may last %s longer", name, by)
	case late:
		return fmt.Sprintf("if the %s may end %s later", name, by)
	}
	return fmt.Sprintf("if the %s may end %s earlier", name, by)
}

func relaxDay(p Problem) *Relaxation {
	if len(p.Hours) == 0 {
		return nil
	}
	longest := slices.MaxFunc(p.Hours, func(a, b Hours) int { return (a.Ends - a.Opens) - (b.Ends - b.Opens) })
	for day := time.Monday; day <= time.Saturday+1; day++ {
		h := Hours{day % 7, longest.Opens, longest.Ends}
		if slices.ContainsFunc(p.Hours, func(other Hours) bool { return other.Day == h.Day }) {
			continue
		}
		q := p
		q.Hours = append(slices.Clone(p.Hours), h)
		if works(q) {
			return &Relaxation{Text: fmt.Sprintf("if somebody is there on %ss from %s to %s", h.Day, clock(h.Opens), clock(h.Ends)), Problem: q}
		}
	}
	return nil
}

func clock(minute int) string { return fmt.Sprintf("%02d:%02d", minute/60, minute%60) }
