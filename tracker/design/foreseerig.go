package design

import (
	"errors"
	"fmt"
	"strings"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// An asker looks at the loads of one rig, which are not empty.
type asker func(rig string, u quantity.System, loads []Load) []Warning

// rigWarnings asks of every rig, in the order of the plan. What cannot be known
// of a load is told by unforeseen.
func rigWarnings(s *tracker.Study, askers ...asker) []Warning {
	loads, _ := Loads(s)
	var w []Warning
	for len(loads) > 0 {
		n := 1
		for n < len(loads) && loads[n].Rig == loads[0].Rig {
			n++
		}
		for _, ask := range askers {
			w = append(w, ask(rigName(s, loads[0].Rig), s.Units, loads[:n])...)
		}
		loads = loads[n:]
	}
	return w
}

// rigName is how to speak of a rig: by its name where there are several.
func rigName(s *tracker.Study, name string) string {
	if len(s.Rigs) < 2 {
		return "the rig"
	}
	return fmt.Sprintf("rig %q", shorten(name, 16))
}

// tooWeak compares the worst load with the weakest part.
func tooWeak(rig string, u quantity.System, loads []Load) []Warning {
	var worst Load
	times := 1.0
	for _, l := range loads {
		if n, ok := l.Times(); ok && n > times {
			worst, times = l, n
		}
	}
	if worst.WorkingLimit == nil {
		return nil
	}
	text := fmt.Sprintf("%s is %s too weak: the %s carries %s, %s needs %s", rig, manyTimes(times),
		shorten(worst.Weakest, 20), u.AboutForce(*worst.WorkingLimit), worst.Treatment, u.AboutForce(worst.Needed))
	hint := fmt.Sprintf("a bond of %s would suit it; sound joints break at about %s (%s), and that may be %.0f %% of a working limit at most",
		u.Square(worst.Suits), u.AboutForce(worst.Expected), worst.Strength.Source, 100*WorkingShare)
	return []Warning{warning("rig-too-weak", "rig.parts", text, hint)}
}

// manyTimes writes by how much something is too weak.
func manyTimes(n float64) string {
	if n < 1.1 {
		return "a little"
	}
	return quantity.Figures(n, 2) + " times"
}

// unknownLimits is silent where no limit at all is known: package plan says so.
func unknownLimits(rig string, u quantity.System, loads []Load) []Warning {
	if len(loads[0].Unknown) == 0 || loads[0].WorkingLimit == nil {
		return nil
	}
	var most quantity.Force
	for _, l := range loads {
		most = max(most, l.Needed)
	}
	names := make([]string, len(loads[0].Unknown))
	for i, name := range loads[0].Unknown {
		names[i] = shorten(name, 20)
	}
	text := fmt.Sprintf("%s has no working limit for the %s, which carries the break too", rig, few(names))
	hint := fmt.Sprintf("find the rated load: %s is needed; a breaking strength is not a limit", u.AboutForce(most))
	return []Warning{warning("limit-unknown", "rig.parts", text, hint)}
}

// pastTheEnd goes without saying of a rig whose weakest part is its gauge.
func pastTheEnd(rig string, u quantity.System, loads []Load) []Warning {
	if len(tooWeak(rig, u, loads)) > 0 {
		return nil
	}
	return gaugeEnd(loads, BandBeyond, "gauge-beyond", rig+" would be read past the end of its gauge", "take a gauge with a longer span, or a smaller bond")
}

func tooHigh(rig string, _ quantity.System, loads []Load) []Warning {
	return gaugeEnd(loads, BandHigh, "gauge-high", rig+" would be read over 85 % of its gauge", "take a gauge with a longer span, or a smaller bond")
}

func tooLow(rig string, _ quantity.System, loads []Load) []Warning {
	return gaugeEnd(loads, BandLow, "gauge-low", rig+" would be read under 15 % of its gauge", "take a gauge with a shorter span, or a larger bond")
}

// gaugeEnd warns of the treatments whose reading falls in one band.
func gaugeEnd(loads []Load, b Band, rule, text, hint string) []Warning {
	var where []string
	for _, l := range loads {
		if l.Band() == b {
			where = append(where, fmt.Sprintf("%s at %s %%", l.Treatment, quantity.Figures(100**l.GaugeShare, 3)))
		}
	}
	if len(where) == 0 {
		return nil
	}
	return []Warning{warning(rule, "rig.gauge", text+": "+few(where), hint+"; 25 to 75 % is best")}
}

// unforeseen says for which reasons the load of a break is not known.
func unforeseen(s *tracker.Study) []Warning {
	if len(s.Rigs) == 0 {
		return nil
	}
	_, reasons := expectedStrengths(s)
	var w []Warning
	for _, err := range reasons {
		var unknown *UnknownWood
		if errors.As(err, &unknown) {
			text := fmt.Sprintf("the wood %q is not in the table, so it cannot be told whether the rig is strong enough", shorten(unknown.Name, 20))
			w = append(w, note("wood-unknown", "wood.species", text, fmt.Sprintf("name one of it, %s; or %s", strings.Join(unknown.Near, ", "), giveShear)))
			continue
		}
		w = append(w, note("load-unknown", "wood.shear", "it cannot be told whether the rig is strong enough", err.Error()))
	}
	return w
}
