package plan

import (
	"fmt"
	"regexp"
	"strings"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// most is the largest count of specimens in one study: four digits of serial.
const most = 9999

// readAdhesives reads every [adhesive.KEY], in file order.
func readAdhesives(t table, s *tracker.Study) {
	for _, key := range t.keys() {
		checkKey(t, key)
		sub := t.sub(key)
		if sub.absent {
			continue
		}
		a := readAdhesive(sub, key, s.Intervals)
		checkNames(sub, a, s.Adhesives)
		s.Adhesives = append(s.Adhesives, a)
	}
	if len(t.values) == 0 && !t.absent {
		t.here("", note{Error, "missing", "the plan has no adhesive", "add a table [adhesive.KEY] for each"})
	}
}

func readAdhesive(t table, key string, base []schedule.Interval) tracker.Adhesive {
	a := tracker.Adhesive{Key: key, Name: key}
	if name, ok := t.someText("name"); ok {
		a.Name = name
	}
	a.Bath = readBath(t)
	a.Spread = positive(t, "spread", "spread", quantity.ParseSpread)
	a.Pressure, a.Contact = readPressure(t)
	a.PotLife = positive(t, "pot_life", "duration", schedule.ParseDuration)
	a.OpenTime = positive(t, "open_time", "duration", schedule.ParseDuration)
	a.ClosedTime = positive(t, "closed_time", "duration", schedule.ParseDuration)
	if a.ClosedTime > 0 && a.OpenTime > a.ClosedTime {
		t.at("open_time", note{Warning, "open-over-closed", fmt.Sprintf("the open time, %s, is longer than the closed time, %s", schedule.Short(a.OpenTime), schedule.Short(a.ClosedTime)),
			"an adhesive dries faster in the open: are the two the other way round?"})
	}
	a.Mix, _ = parsed(t, "mix", "mix", quantity.ParseRatio)
	a.CuresInWater, _ = get[bool](t, "cures_in_water")
	a.SolidWood, _ = get[bool](t, "solid_wood")
	a.Replicates = t.count("replicates", most)
	a.Intervals = readIntervals(t.sub("interval"), base)
	return a
}

// checkKey keeps keys short and plain: they stand in tables, on screens and in
// what people type.
func checkKey(t table, key string) {
	if len(key) > 20 || !bareKey().MatchString(key) {
		t.atKey(key, note{Error, "key-form", fmt.Sprintf("the key %.40q cannot be used", key), "use up to 20 letters, digits, - and _; the name can be anything"})
	}
	for _, other := range t.keys() {
		if other == key {
			break
		}
		if strings.EqualFold(other, key) {
			t.atKey(key, note{Error, "keys-alike", fmt.Sprintf("the keys %q and %q differ in letter case only", other, key), "choose keys that nobody can confuse"})
		}
	}
}

// checkNames warns about what two adhesives share: a name, which makes them one
// on every screen, or a bath, where one may feed or poison the other (EN 84
// keeps products in vessels of their own).
func checkNames(t table, a tracker.Adhesive, before []tracker.Adhesive) {
	for _, other := range before {
		if strings.EqualFold(other.Name, a.Name) {
			t.at("name", note{Warning, "duplicate-name", fmt.Sprintf("%s and %s have the same name %q", other.Key, a.Key, a.Name), "say what tells them apart, such as the lot"})
		}
		if other.Bath == a.Bath && a.Bath != "" {
			t.at("bath", note{Warning, "shared-bath", fmt.Sprintf("%s and %s share the bath %s", other.Key, a.Key, a.Bath), "what leaches from one may change the other: give each a bath of its own"})
		}
	}
}

// readBath reads a bath's name, which is printed on its tag as a symbol of
// capitals and digits.
func readBath(t table) string {
	name, ok := t.someText("bath")
	if ok && !regexp.MustCompile(`^[A-Za-z0-9-]{1,8}$`).MatchString(name) {
		t.at("bath", note{Error, "bath-form", fmt.Sprintf("the bath %.40q cannot be printed on a tag", name), "use up to 8 letters, digits and -"})
	}
	return name
}
