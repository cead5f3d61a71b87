package plan

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"soaktag/schedule"
	"soaktag/tracker"
)

// builtIn gives the ends of the intervals that every plan may name. Where a
// treatment is not soaked, cure has no end and does not apply; where there is
// no clamp stage, what begins at clamp removal begins at glue-up. Both depend
// on the specimen, so tracker.Study.IntervalsOf sees to them.
func builtIn() []schedule.Interval {
	return []schedule.Interval{
		{Name: schedule.SurfaceAge, From: schedule.Planing, To: schedule.GlueUp},
		{Name: schedule.Clamp, From: schedule.GlueUp, To: schedule.ClampRemoval},
		{Name: schedule.Cure, From: schedule.ClampRemoval, To: schedule.Immersion},
		{Name: schedule.Soak, From: schedule.Immersion, To: schedule.LiftOut},
		{Name: schedule.WetHold, From: schedule.LiftOut, To: schedule.Break},
		{Name: schedule.Age, From: schedule.ClampRemoval, To: schedule.Break},
	}
}

// find returns the interval of a name, and whether list has it.
func find(list []schedule.Interval, name string) (schedule.Interval, bool) {
	i := slices.IndexFunc(list, func(iv schedule.Interval) bool { return iv.Name == name })
	if i < 0 {
		return schedule.Interval{}, false
	}
	return list[i], true
}

func names(list []schedule.Interval) []string {
	all := make([]string, len(list))
	for i, iv := range list {
		all[i] = iv.Name
	}
	return all
}

// readIntervals reads an [interval] table in file order. Names are the
// built-in ones, those of base (the study's own, for an override), or new ones
// that give their ends.
func readIntervals(t table, base []schedule.Interval) []schedule.Interval {
	known := append(builtIn(), base...)
	var list []schedule.Interval
	for _, name := range t.keys() {
		t.ask(name)
		iv, ok := find(known, name)
		switch t.values[name].(type) {
		case map[string]any:
			iv, ok = readOwnInterval(t.sub(name), name, iv, ok), true
		default:
			if !ok {
				t.atKey(name, noEnds(name, known))
				continue
			}
			iv.Planned = readPlanned(t, name)
		}
		list = append(list, iv)
	}
	return list
}

// noEnds is for a name that is none of the known ones and gives no ends: a
// slip, or an interval of one's own that has yet to say where it lies.
func noEnds(name string, known []schedule.Interval) note {
	hint := `give it ends: { from = "glue-up", to = "clamp on", planned = "at most 10 min" }`
	if near := nearest(name, names(known)); near != "" {
		hint = fmt.Sprintf("did you mean %q?", near)
	}
	return note{Error, "interval-ends", fmt.Sprintf("the interval %.40q is not a known one and names no ends", name), hint}
}

// readOwnInterval reads { from, to, planned }. A known interval may be written
// so too, but keeps its ends.
func readOwnInterval(t table, name string, known schedule.Interval, isKnown bool) schedule.Interval {
	iv := schedule.Interval{Name: name, From: known.From, To: known.To}
	from, to := readStage(t, "from"), readStage(t, "to")
	if isKnown {
		checkEnds(t, known, from, to)
	} else {
		iv.From, iv.To = from, to
		needEnds(t)
		checkOrder(t, iv)
	}
	if !t.has("planned") {
		t.here("planned", note{Error, "missing", t.title() + " has no planned length", `add planned = "at most 10 min"`})
	}
	iv.Planned = readPlanned(t, "planned")
	return iv
}

func needEnds(t table) {
	for _, key := range []string{"from", "to"} {
		if !t.has(key) {
			t.here(key, note{Error, "missing", fmt.Sprintf("%s has no %s", t.title(), key), fmt.Sprintf("add %s = \"glue-up\" or another stage", key)})
		}
	}
}

func checkEnds(t table, known schedule.Interval, from, to schedule.Stage) {
	if from != "" && from != known.From || to != "" && to != known.To {
		t.here("", note{Error, "interval-fixed-ends", fmt.Sprintf("the interval %q runs from %s to %s; its ends cannot be changed", known.Name, known.From, known.To), "choose another name for an interval of your own"})
	}
}

// checkOrder refuses an interval that can only end before it begins. Of stages
// that only this plan knows the order is not known.
func checkOrder(t table, iv schedule.Interval) {
	from, to := placeOf(iv.From), placeOf(iv.To)
	if iv.From != "" && iv.From == iv.To || from >= 0 && to >= 0 && from > to {
		t.at("to", note{Error, "interval-order", fmt.Sprintf("the interval %q ends at %s, which does not come after %s", iv.Name, iv.To, iv.From), "the stages in order: " + stageList()})
	}
}

// placeOf is where a stage stands in the order of a life, its passes through the
// bath included; -1 for a stage of the plan's own.
func placeOf(s schedule.Stage) int {
	stage, pass := schedule.PassOf(s)
	at := slices.Index(schedule.Stages(), stage)
	switch {
	case at < 0 || pass > 1 && !stage.Wet():
		return -1
	case at > slices.Index(schedule.Stages(), schedule.LiftOut):
		return at + 2*mostPasses
	}
	return at + 2*(pass-1)
}

// mostPasses is how often specimens can go through the bath.
const mostPasses = 50

func stageList() string {
	all := make([]string, 0, 7)
	for _, stage := range schedule.Stages() {
		all = append(all, string(stage))
	}
	return strings.Join(all, ", ")
}

// readStage reads a stage's name. A standard stage spelled another way would
// silently be a stage of the plan's own that nobody ever records.
func readStage(t table, key string) schedule.Stage {
	text, ok := t.someText(key)
	if !ok {
		return ""
	}
	for _, stage := range schedule.Stages() {
		if text != string(stage) && tracker.PlainWord(text) == tracker.PlainWord(string(stage)) {
			t.at(key, note{Error, "stage-spelling", fmt.Sprintf("the stage %.40q is spelled another way here", text), fmt.Sprintf("write %q", stage)})
			return stage
		}
	}
	return readPass(t, key, text)
}

// readPass reads "immersion 2", the second pass of a planned cycle. Another
// spelling of it would be a stage of the plan's own too.
func readPass(t table, key, text string) schedule.Stage {
	word := strings.TrimRight(text, "0123456789")
	n, err := strconv.Atoi(text[len(word):])
	for _, stage := range schedule.Stages() {
		pass := schedule.Pass(stage, n)
		switch {
		case word == text || !stage.Wet() || tracker.PlainWord(strings.TrimSpace(word)) != tracker.PlainWord(string(stage)):
		case err != nil || n > mostPasses:
			t.at(key, note{Error, "passes", fmt.Sprintf("the stage %.40q is one pass too many", text), fmt.Sprintf("a plan may go through the bath up to %d times", mostPasses)})
			return stage
		case text != string(pass):
			t.at(key, note{Error, "stage-spelling", fmt.Sprintf("the stage %.40q is spelled another way here", text), fmt.Sprintf("write %q", pass)})
			return pass
		}
	}
	return schedule.Stage(text)
}

// readPlanned reads a planned length and says so where a tolerance had to be
// assumed. A length that cannot be read still stands for one: that nothing is
// soaked, say, does not follow from a slip in the soak.
func readPlanned(t table, key string) schedule.Planned {
	p, ok := parsed(t, key, "interval", schedule.ParsePlanned)
	if !ok {
		return schedule.Planned{Kind: schedule.AtLeast}
	}
	if !p.Assumed {
		return p
	}
	text := fmt.Sprintf("%s gives no tolerance; assumed is the larger of 10 min and 5 %%", t.child(key))
	hint := `write "as soaked +/- 1 d" to say otherwise`
	if p.Kind == schedule.Target {
		text = fmt.Sprintf("%s gives no tolerance; assumed is +/- %s, the larger of 10 min and 5 %%", t.child(key), schedule.Exact(p.Late))
		hint = fmt.Sprintf("write %q to say so yourself", schedule.Exact(p.Length)+" +/- "+schedule.Exact(p.Late))
	}
	t.at(key, note{Hint, "assumed-tolerance", text, hint})
	return p
}
