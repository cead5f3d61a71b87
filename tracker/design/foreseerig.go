package design

import (
	"errors"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// What is foreseen of rigs. Rig is empty where the plan has only one.
type (
	// A TooWeak rig has a part that cannot carry what a break needs.
	TooWeak struct {
		Rig   string
		Times float64 // what the worst load needs, over the working limit of the weakest part
		Worst Load
	}

	// An UnknownLimit is a rig with parts whose working limit the plan does not give.
	UnknownLimit struct {
		Rig    string
		Parts  []string
		Needed quantity.Force // the most of any break
	}

	// An OffGauge rig would be read at a bad place of its gauge: in one band, the
	// loads that fall there.
	OffGauge struct {
		Rig   string
		Band  Band
		Loads []Load
	}

	// An UnknownLoad is a break of which nobody can tell what it asks; Why may be
	// an *UnknownWood.
	UnknownLoad struct{ Why error }
)

// An asker looks at the loads of one rig, which are not empty.
type asker func(rig string, loads []Load) []Foreseen

// ofRigs asks of every rig, in the order of the plan. What cannot be known
// of a load is told by unforeseen.
func ofRigs(s *tracker.Study, askers ...asker) []Foreseen {
	loads, _ := Loads(s)
	var w []Foreseen
	for len(loads) > 0 {
		n := 1
		for n < len(loads) && loads[n].Rig == loads[0].Rig {
			n++
		}
		name := ""
		if len(s.Rigs) > 1 {
			name = loads[0].Rig
		}
		for _, ask := range askers {
			w = append(w, ask(name, loads[:n])...)
		}
		loads = loads[n:]
	}
	return w
}

// tooWeak compares the worst load with the weakest part.
func tooWeak(rig string, loads []Load) []Foreseen {
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
	return []Foreseen{warning("rig-too-weak", "rig.parts", TooWeak{rig, times, worst})}
}

// unknownLimits is silent where no limit at all is known: package plan says so.
func unknownLimits(rig string, loads []Load) []Foreseen {
	if len(loads[0].Unknown) == 0 || loads[0].WorkingLimit == nil {
		return nil
	}
	var most quantity.Force
	for _, l := range loads {
		most = max(most, l.Needed)
	}
	return []Foreseen{warning("limit-unknown", "rig.parts", UnknownLimit{rig, loads[0].Unknown, most})}
}

// pastTheEnd goes without saying of a rig whose weakest part is its gauge.
func pastTheEnd(rig string, loads []Load) []Foreseen {
	if len(tooWeak(rig, loads)) > 0 {
		return nil
	}
	return gaugeEnd(rig, loads, BandBeyond, "gauge-beyond")
}

func tooHigh(rig string, loads []Load) []Foreseen {
	return gaugeEnd(rig, loads, BandHigh, "gauge-high")
}

func tooLow(rig string, loads []Load) []Foreseen {
	return gaugeEnd(rig, loads, BandLow, "gauge-low")
}

// gaugeEnd warns of the loads whose reading falls in one band.
func gaugeEnd(rig string, loads []Load, b Band, rule string) []Foreseen {
	var there []Load
	for _, l := range loads {
		if l.Band() == b {
			there = append(there, l)
		}
	}
	if len(there) == 0 {
		return nil
	}
	return []Foreseen{warning(rule, "rig.gauge", OffGauge{rig, b, there})}
}

// unforeseen says for which reasons the load of a break is not known.
func unforeseen(s *tracker.Study) []Foreseen {
	if len(s.Rigs) == 0 {
		return nil
	}
	_, reasons := expectedStrengths(s)
	var w []Foreseen
	for _, err := range reasons {
		rule, key := "load-unknown", "wood.shear"
		if unknown := (*UnknownWood)(nil); errors.As(err, &unknown) {
			rule, key = "wood-unknown", "wood.species"
		}
		w = append(w, note(rule, key, UnknownLoad{err}))
	}
	return w
}
