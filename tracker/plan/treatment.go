package plan

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// readTreatments reads every [treatment.KEY], in file order.
func readTreatments(t table, s *tracker.Study) {
	for _, key := range t.keys() {
		checkKey(t, key)
		if sub := t.sub(key); !sub.absent {
			s.Treatments = append(s.Treatments, readTreatment(sub, key, s))
		}
	}
	if len(t.values) == 0 && !t.absent {
		t.here("", note{Error, "missing", "the plan has no treatment", "add [treatment.dry] with control = true, and [treatment.soaked]"})
	}
}

func readTreatment(t table, key string, s *tracker.Study) tracker.Treatment {
	tr := tracker.Treatment{Key: key}
	tr.Control, _ = get[bool](t, "control")
	readReplicates(t, &tr, s)
	tr.Water = readWater(t)
	tr.WaterChange = readWaterChange(t)
	readExpected(t, &tr)
	readSteps(t, &tr, s)
	tr.State = readState(t, tr)
	readAge(t, &tr, s)
	checkTreatment(t, tr)
	return tr
}

// readExpected reads what a person expects of the bonds of one treatment:
// { shear = "6 MPa", source = "..." }.
func readExpected(t table, tr *tracker.Treatment) {
	own := t.sub("expected")
	if own.absent {
		return
	}
	tr.Expected = givenShear(own, "shear", readSource(own))
	if !own.has("shear") {
		own.here("shear", note{Error, "missing", own.title() + " has no shear", "add shear = " + t.r.units.Choose(`"6 MPa"`, `"870 psi"`)})
	}
}

// isSoaked: a treatment is soaked unless it is a control or has no soak, be it
// as a whole or in passes.
func isSoaked(tr tracker.Treatment, base []schedule.Interval) bool {
	for _, list := range [][]schedule.Interval{tr.Intervals, base} {
		if soak, ok := find(list, schedule.Soak); ok {
			return !tr.Control && soak.Planned.Kind != schedule.None
		}
	}
	all := append(slices.Clone(tr.Intervals), base...)
	return !tr.Control && slices.ContainsFunc(all, func(iv schedule.Interval) bool {
		stage, _ := schedule.PassOf(iv.From)
		return stage == schedule.Immersion && iv.Planned.Kind != schedule.None
	})
}

// readReplicates reads one number for all adhesives, or a table of numbers by
// adhesive. Without either each adhesive gets one specimen a board.
func readReplicates(t table, tr *tracker.Treatment, s *tracker.Study) {
	tr.Replicates = max(1, len(s.Wood.Boards))
	if t.has("replicates") {
		tr.Replicates = unreadable(s)
	}
	if _, split := t.values["replicates"].(map[string]any); split {
		tr.Replicates = max(1, len(s.Wood.Boards))
		tr.ByAdhesive = readByAdhesive(t.sub("replicates"), s)
		return
	}
	if n := t.count("replicates", most); n > 0 {
		tr.Replicates = n
	} else if !t.has("replicates") {
		t.here("replicates", note{Hint, "assumed-replicates", fmt.Sprintf("%s gives no replicates; assumed are %d", t.title(), tr.Replicates), fmt.Sprintf("add replicates = %d", tr.Replicates)})
	}
}

// readByAdhesive reads { CAS = 4, EPX = 6 }; 0 leaves an adhesive out of the
// treatment, one that is not named gets its own number or the usual one.
func readByAdhesive(t table, s *tracker.Study) map[string]int {
	counts := map[string]int{}
	for _, key := range t.keys() {
		if !slices.Contains(adhesiveKeys(s), key) {
			t.ask(key)
			t.atKey(key, note{Error, "unknown-adhesive", fmt.Sprintf("there is no adhesive %.40q", key), hintFor(key, adhesiveKeys(s))})
			continue
		}
		if n, ok := t.values[key].(int64); ok && n == 0 {
			t.ask(key)
			counts[key] = 0
		} else if counts[key] = t.count(key, most); counts[key] == 0 {
			counts[key] = unreadable(s)
		}
	}
	return counts
}

// unreadable stands for a number of replicates that was refused: one about
// which there is nothing more to say.
func unreadable(s *tracker.Study) int { return max(2, len(s.Wood.Boards)) }

func adhesiveKeys(s *tracker.Study) []string {
	var keys []string
	for _, a := range s.Adhesives {
		keys = append(keys, a.Key)
	}
	return keys
}

// readWater checks a temperature with its tolerance; water in words, "sea
// water of the harbour", is kept as it stands.
func readWater(t table) string {
	text, ok := t.someText("water")
	if !ok || !strings.ContainsAny(text[:1], "+-.0123456789") {
		return text
	}
	for _, part := range strings.SplitN(strings.ReplaceAll(text, "±", "+/-"), "+/-", 2) {
		if _, err := quantity.ParseTemperature(strings.TrimSpace(part)); err != nil {
			t.at("water", badValue("temperature", err))
			break
		}
	}
	return text
}

// leastWaterChange is the least time that anybody leaves water in a bath: common
// practice, no published source.
const leastWaterChange = time.Hour

// readWaterChange reads how long the water of a bath stays: "2 d +/- 12 h", or "at
// most 2 d". A length alone may be off by a quarter: common practice, no published
// source.
func readWaterChange(t table) schedule.Planned {
	p, ok := parsed(t, "water_change", "interval", schedule.ParsePlanned)
	if ok && (p.Kind == schedule.AsPartner || p.Kind == schedule.AtLeast || p.Kind != schedule.None && p.Length <= 0) {
		t.at("water_change", note{Error, "water-change", t.child("water_change") + " is no time by which water is changed again", `write "2 d", "2 d +/- 12 h" or "at most 2 d"`})
		return schedule.Planned{}
	}
	if ok && p.Kind != schedule.None && p.Length > 0 && p.Length < leastWaterChange {
		t.at("water_change", note{Warning, "water-change-often", "the water would be changed every " + schedule.Exact(p.Length), `a slip of the unit? write "2 d", "2 d +/- 12 h" or "at most 2 d"`})
	}
	if p.Assumed {
		p.Early, p.Late, p.Assumed = p.Length/4, p.Length/4, false
	}
	return p
}

// readState reads the state at break: that of the published schedule, else wet
// after a soak and dry without one, unless the plan says otherwise.
func readState(t table, tr tracker.Treatment) string {
	state, ok := t.someText("state")
	switch {
	case ok && !slices.Contains(states(), state):
		t.at("state", note{Error, "state", fmt.Sprintf("the state %.40q is not known", state), hintFor(state, states())})
	case ok:
		return state
	case tr.Protocol.Name != "":
		return tr.Protocol.State()
	case tr.Soaked:
		return "wet"
	}
	return "dry"
}

func states() []string { return []string{"dry", "wet", "part-dried", "re-dried"} }

// readAge reads a treatment's own age. It governs instead of an age of
// [interval], or of an adhesive, which is switched off for the treatment so
// that the two do not stand side by side.
func readAge(t table, tr *tracker.Treatment, s *tracker.Study) {
	own, inTable := find(tr.Intervals, schedule.Age)
	switch {
	case t.has("age"):
		if inTable {
			t.at("age", ageTwice(t, tr.Protocol, own))
		}
		tr.Age = readPlanned(t, "age")
	case inTable:
		tr.Age = own.Planned
	default:
		return
	}
	tr.Intervals = without(tr.Intervals, "age")
	if off, _ := find(builtIn(), schedule.Age); agesElsewhere(s) {
		tr.Intervals = append(tr.Intervals, off)
	}
}

func ageTwice(t table, p schedule.Protocol, own schedule.Interval) note {
	if p.Name != "" {
		return protocolHas(p, own)
	}
	return note{Error, "age-twice", t.title() + " gives its age twice", "keep age or interval.age"}
}

func agesElsewhere(s *tracker.Study) bool {
	_, some := find(s.Intervals, schedule.Age)
	for _, a := range s.Adhesives {
		_, own := find(a.Intervals, schedule.Age)
		some = some || own
	}
	return some
}

func without(list []schedule.Interval, name string) []schedule.Interval {
	var rest []schedule.Interval
	for _, iv := range list {
		if iv.Name != name {
			rest = append(rest, iv)
		}
	}
	return rest
}

// checkTreatment looks at what a treatment says of itself.
func checkTreatment(t table, tr tracker.Treatment) {
	switch soak, _ := find(tr.Intervals, schedule.Soak); {
	case soak.Planned.Kind == schedule.None || !tr.Control:
	case tr.Protocol.Name != "":
		t.at("protocol", note{Error, "control-soaked", fmt.Sprintf("the control %q follows a schedule that soaks it", tr.Key), "leave out control = true, or take a dry schedule"})
	default:
		t.enter("interval").at("soak", note{Error, "control-soaked", fmt.Sprintf("the control %q has a soak of its own", tr.Key), "leave out control = true or the soak"})
	}
	if tr.Water != "" && !tr.Soaked {
		t.at("water", note{Warning, "water-without-soak", fmt.Sprintf("the treatment %q has water but is not soaked", tr.Key), `give it a soak: [interval] soak = "7 d +/- 4 h"`})
	}
	if tr.WaterChange.Kind != schedule.None && !tr.Soaked {
		t.at("water_change", note{Warning, "water-without-soak", fmt.Sprintf("the treatment %q changes water but is not soaked", tr.Key), `give it a soak: [interval] soak = "7 d +/- 4 h"`})
	}
	if tr.Age.Kind == schedule.AsPartner && tr.Soaked {
		t.at("age", note{Error, "age-of-soaked", fmt.Sprintf("the treatment %q is soaked itself, and its age cannot follow the soaked partner's", tr.Key), `write "as soaked" in the dry control`})
	}
}
