package report

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/wording"
)

// bonds says what was glued, soaked and broken, and on what.
func (s *source) bonds() (out []sentence) {
	say := func(lead, text string) {
		if text != "" {
			out = append(out, sentence{lead, text})
		}
	}
	say("Bonds", s.bondText())
	say("Treatments", s.treatmentsText())
	say("Broken on", s.rigsText())
	return out
}

// bondText is the planned bond, and how it was glued.
func (s *source) bondText() string {
	u, sp := s.units(), s.study.Specimen
	var parts []string
	if sp.BondLength > 0 && sp.BondWidth > 0 {
		parts = append(parts, fmt.Sprintf("%s × %s as planned", u.Measure(sp.BondLength), u.Measure(sp.BondWidth)))
	}
	if sp.Spread > 0 {
		parts = append(parts, "spread "+u.Spread(sp.Spread))
	}
	parts = append(parts, pressed(u, sp.Contact, tracker.Adhesive{Pressure: sp.Pressure})...)
	text := strings.Join(parts, ", ")
	for _, a := range s.study.Adhesives {
		own := pressed(u, a.Contact, a)
		if a.Spread > 0 {
			own = append([]string{"spread " + u.Spread(a.Spread)}, own...)
		}
		if len(own) > 0 {
			text += "; " + a.Key + ": " + strings.Join(own, ", ")
		}
	}
	return ended(text)
}

// pressed says at what pressure a bond was closed, where the plan does.
func pressed(u units, contact bool, a tracker.Adhesive) []string {
	switch {
	case contact:
		return []string{"clamped lightly"}
	case a.Pressure > 0:
		return []string{"pressed at " + u.Pressure(a.Pressure)}
	}
	return nil
}

func ended(text string) string {
	if text == "" {
		return ""
	}
	return strings.TrimPrefix(text, "; ") + "."
}

// treatmentsText is the water of every treatment, and how long the soak was.
func (s *source) treatmentsText() string {
	var all []string
	for _, t := range s.study.Treatments {
		var parts []string
		if t.Water != "" {
			parts = append(parts, "water of "+strings.NewReplacer("+/-", "±", " C", " °C", " F", " °F").Replace(t.Water))
		}
		if soak := s.soakText(t.Key); soak != "" {
			parts = append(parts, soak)
		}
		if t.State != "" {
			parts = append(parts, t.State+" at the break")
		}
		if len(parts) > 0 {
			all = append(all, t.Key+": "+strings.Join(parts, ", "))
		}
	}
	return ended(strings.Join(all, "; "))
}

// soakText is the soak of a treatment: as planned, the median of those that have
// ended, and those that it hides. Empty where nothing soaked.
func (s *source) soakText(treatment string) string {
	for _, d := range s.drift {
		if d.Interval != schedule.Soak {
			continue
		}
		var planned []string
		var lasted []time.Duration
		var alone []tracker.SpecimenDrift
		for _, sp := range d.Specimens {
			if sp.Of.Treatment != treatment {
				continue
			}
			if text := plannedText(sp.Planned); !slices.Contains(planned, text) {
				planned = append(planned, text)
			}
			if sp.Done {
				lasted = append(lasted, middle(sp.Lo, sp.Hi))
			}
			if d.Straggles(sp) {
				alone = append(alone, sp)
			}
		}
		return soaked(planned, lasted, wording.LengthsOfStragglers(alone))
	}
	return ""
}

func soaked(planned []string, lasted []time.Duration, alone string) string {
	if len(planned) == 0 {
		return ""
	}
	text := "soak planned " + strings.Join(planned, " or ")
	if n := len(lasted); n > 0 {
		slices.Sort(lasted)
		median := lasted[n/2]
		if n%2 == 0 {
			median = lasted[n/2-1] + (median-lasted[n/2-1])/2
		}
		what := "median"
		if n == 1 {
			what = "actual"
		}
		text += ", " + what + " " + schedule.Short(median)
	}
	if alone != "" {
		text += ", but " + alone
	}
	return text
}

// rigsText is every rig: how it loads, its ram and its gauge.
func (s *source) rigsText() string {
	var all []string
	for _, r := range s.study.Rigs {
		var parts []string
		if r.Load != "" {
			parts = append(parts, r.Load)
		}
		if r.RamArea > 0 {
			parts = append(parts, "ram "+s.units().Area(r.RamArea))
		}
		parts = append(parts, gaugeText(r.Gauge)...)
		all = append(all, strings.TrimSuffix(r.Name+": "+strings.Join(parts, ", "), ": "))
	}
	return ended(strings.Join(all, "; "))
}

// gaugeText gives the gauge in the unit on its dial.
func gaugeText(g tracker.Gauge) (parts []string) {
	if g.SpanPressure > 0 || g.SpanForce > 0 {
		parts = append(parts, "gauge to "+g.Span.String())
	}
	if g.DivisionPressure > 0 || g.DivisionForce > 0 {
		parts = append(parts, "divided by "+g.Division.String())
	}
	if g.Class > 0 {
		parts = append(parts, "class "+shortest(g.Class.Percent(), 2)+" % of its span")
	}
	return parts
}

// amendedPlan is where a life should have gone by the plan that the study
// began with, for the intervals in which that was another.
func amendedPlan(life *tracker.Life) (first []bar) {
	planned := map[schedule.Stage]time.Duration{schedule.GlueUp: 0}
	for _, l := range life.Lapses {
		start, ok := planned[l.Interval.From]
		if !ok || sumsUp(life, l) || l.Original.Kind != schedule.Target && l.Original.Kind != schedule.AtLeast {
			continue
		}
		planned[l.Interval.To] = start + l.Original.Length
		if firstText(l.Interval.Planned, l.Original) != "" {
			first = append(first, bar{from: start, to: start + l.Original.Length})
		}
	}
	return first
}
