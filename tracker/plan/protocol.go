package plan

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"soaktag/schedule"
	"soaktag/tracker"
)

// readSteps reads the intervals of a treatment: its own, or those of the
// published schedule that it follows, whose open steps its own fill in.
func readSteps(t table, tr *tracker.Treatment, s *tracker.Study) {
	preset, ok := readProtocol(t)
	if !ok {
		tr.Intervals = readIntervals(t.sub("interval"), s.Intervals)
		tr.Soaked = isSoaked(*tr, s.Intervals)
		return
	}
	own := readIntervals(t.sub("interval"), append(slices.Clone(s.Intervals), stepsOf(preset)...))
	tr.Protocol = fillOpen(t, preset, own)
	tr.Intervals = append(tr.Protocol.Intervals(), besides(t, preset, own)...)
	tr.Intervals = append(tr.Intervals, off(s, tr.Intervals)...)
	tr.Soaked = !tr.Control && preset.State() != "dry"
	if tr.Water == "" && tr.Soaked {
		tr.Water = preset.Water()
	}
	sayAssumed(t, tr.Protocol)
}

// sayAssumed names the steps for which a schedule gives no tolerance.
func sayAssumed(t table, p schedule.Protocol) {
	var bare []string
	for _, iv := range stepsOf(p) {
		if iv.Planned.Assumed {
			bare = append(bare, fmt.Sprintf("%q %s +/- %s", iv.Name, schedule.Exact(iv.Planned.Length), schedule.Exact(iv.Planned.Late)))
		}
	}
	if len(bare) > 0 {
		t.at("protocol", note{Hint, "protocol-tolerance", fmt.Sprintf("the schedule %s gives no tolerance; assumed: %s, the larger of 10 min and 5 %%", p.Name, strings.Join(bare, ", ")),
			"nothing has to be done"})
		t.r.problems[len(t.r.problems)-1].More = "to say otherwise write the intervals yourself and leave out protocol"
	}
}

// readProtocol finds the published schedule that a treatment names.
func readProtocol(t table) (schedule.Protocol, bool) {
	name, ok := t.someText("protocol")
	if !ok {
		return schedule.Protocol{}, false
	}
	preset, err := schedule.FindProtocol(name)
	var unknown *schedule.UnknownProtocol
	if errors.As(err, &unknown) {
		t.at("protocol", note{Error, "protocol", fmt.Sprintf("there is no schedule %.40q", name), "nearest: " + strings.Join(unknown.Near, ", ")})
	}
	return preset, err == nil
}

// stepsOf is every step of a schedule that takes time, as an interval that a
// plan may give a length.
func stepsOf(p schedule.Protocol) []schedule.Interval {
	var list []schedule.Interval
	for i := range p.Steps {
		if iv, ok := p.IntervalOf(i); ok {
			list = append(list, iv)
		}
	}
	return list
}

// fillOpen gives the steps without a length the one of the interval of that
// name; a step that has none is a problem.
func fillOpen(t table, p schedule.Protocol, own []schedule.Interval) schedule.Protocol {
	for _, step := range p.Open() {
		iv, _ := p.IntervalOf(step)
		length, given := find(own, iv.Name)
		if !given {
			t.at("protocol", note{Error, "open-step", fmt.Sprintf("the schedule %s gives no length for its step %q", p.Name, p.Steps[step].Action), writeBeside(t, iv.Name, p.Steps[step])})
			continue
		}
		filled, err := p.With(step, length.Planned)
		if err != nil {
			t.enter("interval").at(iv.Name, note{Error, "open-step", err.Error(), writeBeside(t, iv.Name, p.Steps[step])})
			continue
		}
		p = filled
	}
	return p
}

// writeBeside says which interval to write for an open step.
func writeBeside(t table, name string, s schedule.Step) string {
	length := "at least 1 h"
	if len(s.Choices) > 0 {
		length = schedule.Exact(s.Choices[min(9, len(s.Choices)-1)].Length)
	}
	hint := fmt.Sprintf("write %q = %q in [%s.interval]", name, length, t.name)
	if s.Length != "" && len(s.Choices) == 0 {
		hint += "; the schedule says " + s.Length
	}
	return hint
}

// besides is what a treatment adds to its schedule: intervals of which the
// schedule says nothing. One that it gives a length has that length.
func besides(t table, p schedule.Protocol, own []schedule.Interval) []schedule.Interval {
	preset := append(p.Intervals(), stepsOf(p)...)
	var list []schedule.Interval
	for _, iv := range own {
		said, ok := find(preset, iv.Name)
		switch {
		case !ok:
			list = append(list, iv)
		case said.Planned.Kind != schedule.None || !slices.Contains(names(stepsOf(p)), iv.Name):
			t.enter("interval").at(iv.Name, protocolHas(p, said))
		}
	}
	return list
}

func protocolHas(p schedule.Protocol, said schedule.Interval) note {
	return note{Error, "protocol-interval", fmt.Sprintf("the schedule %s has %q for %q", p.Name, said.Planned, said.Name),
		"leave it out here, or leave out protocol and write all intervals yourself"}
}

// off switches off what the study or an adhesive plans of further passes
// through the bath, which the schedule has its own of.
func off(s *tracker.Study, own []schedule.Interval) []schedule.Interval {
	base := slices.Clone(s.Intervals)
	for _, a := range s.Adhesives {
		base = append(base, a.Intervals...)
	}
	var list []schedule.Interval
	for _, iv := range base {
		_, from := schedule.PassOf(iv.From)
		_, to := schedule.PassOf(iv.To)
		if _, said := find(append(list, own...), iv.Name); !said && max(from, to) > 1 {
			iv.Planned = schedule.Planned{}
			list = append(list, iv)
		}
	}
	return list
}
