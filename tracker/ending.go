package tracker

import (
	"fmt"
	"slices"
	"strings"

	"soaktag/tracker/quantity"
)

// How says how a try at a break ended, in the trade's words. Names are stored
// in logs: never rename one.
type How string

// The ways for a try to end. What each means is said once, in endings.
const (
	Separated   How = "separated"
	Stopped     How = "stopped"
	FixtureGave How = "fixture gave way"
	Slipped     How = "slipped"
	PressLimit  How = "press limit"
	BottomedOut How = "bottomed out"
	FellApart   How = "fell apart"
)

// A need says whether a try has a reading.
type need int

const (
	unread need = iota // it has none
	free               // it may have one
	wanted             // it must have one
)

// An ending is what one way for a try to end means.
type ending struct {
	how     How
	reading need
	parts   bool   // the bond is in two pieces after it
	outlast bool   // the bond outlasted its reading, which is a lower bound
	outcome string // what results call it; empty where it decides nothing
	means   string // in a few words, for somebody who stands at the press
}

// endings is every way for a try to end, in the order in which they are
// offered. A new one needs its name above and a row here.
var endings = []ending{
	{how: Separated, reading: wanted, parts: true, outcome: "broke", means: "it came apart under load"},
	{how: Stopped, reading: wanted, outlast: true, outcome: "stopped", means: "by hand, the bond is whole"},
	{how: FixtureGave, reading: wanted, outlast: true, outcome: "fixture failure", means: "grip, bolt or frame; the bond is whole"},
	{how: Slipped, reading: free, outlast: true, outcome: "slipped", means: "out of the grips, the bond is whole"},
	{how: PressLimit, reading: wanted, outlast: true, outcome: "press limit", means: "gauge or press at its end, the bond held"},
	{how: BottomedOut, reading: unread, means: "the ram ran out of stroke: no reading"},
	{how: FellApart, reading: unread, parts: true, outcome: "fell apart", means: "by itself, before any load: no reading"},
}

// Endings lists every way for a try to end, in the order in which they are
// offered to a person.
func Endings() (all []How) {
	for _, e := range endings {
		all = append(all, e.how)
	}
	return all
}

// EndingNames lists the names of all endings with commas between.
func EndingNames() string {
	var names []string
	for _, e := range endings {
		names = append(names, string(e.how))
	}
	return strings.Join(names, ", ")
}

// meaning is the row of h. A way that is not known may have a reading, and
// decides nothing.
func (h How) meaning() ending {
	i := slices.IndexFunc(endings, func(e ending) bool { return e.how == h })
	if i < 0 {
		return ending{how: h, reading: free}
	}
	return endings[i]
}

// Loads reports whether a try that ended so can have a reading.
func (h How) Loads() bool { return h.meaning().reading != unread }

// NeedsReading reports whether a try that ended so must have a reading. A grip
// that slipped may have shown one or not.
func (h How) NeedsReading() bool { return h.meaning().reading == wanted }

// A Fit says whether a reading goes with the way a try ended.
type Fit int

const (
	Fits           Fit = iota
	NothingToRead      // there was no load to read, and a reading is given
	ReadingMissing     // there was a load, and no reading is given
	NoLoad             // the bond came apart, and the reading is no load
)

// Fit says whether a reading goes with a try that ended so; nil for none.
func (h How) Fit(reading *quantity.Reading) Fit {
	switch {
	case reading == nil && h.NeedsReading():
		return ReadingMissing
	case reading == nil:
		return Fits
	case !h.Loads():
		return NothingToRead
	case h == Separated && !(reading.Value > 0):
		return NoLoad
	}
	return Fits
}

// Parts reports whether the bond is in two pieces after a try that ended so:
// there are faces to look at, and the life is over.
func (h How) Parts() bool { return h.meaning().parts }

// Outlasts reports whether the bond outlasted a try that ended so: the reading
// is a lower bound of its strength.
func (h How) Outlasts() bool { return h.meaning().outlast }

// Outcome is what results call a bond whose strength a try that ended so
// decided, "fixture failure"; empty where it decides nothing. A bond that broke
// may turn out to be limited by the wood.
func (h How) Outcome() string { return h.meaning().outcome }

// Means says in a few words what a try that ended so was; empty where the name says all.
func (h How) Means() string { return h.meaning().means }

// ParseHow reads how a try ended as a person types it: the whole name, or so
// much of it that only one begins so, in any case and with hyphens or
// underscores for spaces; also "fixture failure", as results say. The error
// names all ways there are.
func ParseHow(text string) (How, error) {
	word := PlainWord(text)
	var begin []How
	for _, e := range endings {
		switch name := PlainWord(string(e.how)); {
		case name == word:
			return e.how, nil
		case word != "" && strings.HasPrefix(name, word):
			begin = append(begin, e.how)
		}
	}
	if word == PlainWord(FixtureGave.Outcome()) {
		return FixtureGave, nil
	}
	if len(begin) == 1 {
		return begin[0], nil
	}
	return "", fmt.Errorf("%q is no way for a try to end; ways are %s", text, EndingNames())
}

// HowNamed reads how a try ended as a table has it: the whole name, in any
// case and with any spaces between its words. A file is not guessed at.
func HowNamed(text string) (How, error) {
	how := How(strings.ToLower(strings.Join(strings.Fields(text), " ")))
	if slices.Contains(Endings(), how) {
		return how, nil
	}
	names := EndingNames()
	last := strings.LastIndex(names, ", ")
	return "", fmt.Errorf("%q: write %s or %s", how, names[:last], names[last+2:])
}
