package schedule

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
)

// protocolTable holds the published schedules, with their provenance in the
// first lines.
//
//go:embed protocols.csv
var protocolTable string

// NotACertificate goes with every Protocol that is shown to a person.
const NotACertificate = "a schedule to follow, not a certificate: a standard asks for more than its times"

// A Standing says how far a schedule, or a step of it, was confirmed.
type Standing uint8

const (
	FromMemory      Standing = iota // the document is named but its figures were not read
	PartlyConfirmed                 // some of it was read, some is from memory
	Confirmed                       // read in the document or a description of it
	HouseDefault                    // no document: ours, where no standard fits
)

func (s Standing) String() string {
	return [...]string{"from memory", "partly confirmed", "confirmed", "house default"}[s]
}

// A Step is one line of a schedule. Texts are as the table has them; a number
// is text too, because schedules give ranges ("49 to 52") and choices ("20 or
// 23").
type Step struct {
	Action, Medium        string
	Temperature, Humidity string // "20 +/- 5 C", "65 or 50 +/- 5 %"; empty when the schedule gives none
	Planned               Planned
	Choices               []Planned // lengths to choose from; Planned is None until one is chosen
	Length                string    // the schedule's own words where Planned is None: "until cold"
	State                 string    // how it is tested after this step, in the schedule's words
	Status, Source        string    // of this step, in words
}

// A Protocol is a published schedule: how specimens are wetted, dried and
// conditioned before the break. Its name is the standard's own designation with
// the number of the sequence. It claims nothing: see NotACertificate.
type Protocol struct {
	Name     string
	Steps    []Step // cycles written out
	Source   string
	Standing Standing
}

// Protocols returns every schedule known, in the order of the table, with
// cycles ("repeat steps 1-3") written out. The caller owns the slice.
func Protocols() []Protocol {
	r := csv.NewReader(strings.NewReader(protocolTable))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil || len(rows) == 0 {
		return nil // a test reads the embedded table; it cannot change afterwards
	}
	var list []Protocol
	for _, row := range rows[1:] {
		if n := len(list); n == 0 || list[n-1].Name != row[0] {
			list = append(list, Protocol{Name: row[0]})
		}
		p := &list[len(list)-1]
		p.Steps = append(p.Steps, readStep(row))
	}
	for i := range list {
		list[i].finish()
	}
	return list
}

func readStep(row []string) Step {
	s := Step{
		Action: row[2], Medium: row[3], Temperature: measure(row[4], row[5], "C"), Humidity: measure(row[6], row[7], "%"),
		State: row[10], Status: row[11], Source: row[12],
	}
	s.Planned, s.Choices = readHours(row[8], row[9])
	if s.Planned.Kind == None {
		s.Length = row[8]
	}
	return s
}

// measure writes a value with its tolerance and unit.
func measure(value, tolerance, unit string) string {
	switch {
	case value == "":
		return ""
	case tolerance != "":
		return value + " +/- " + tolerance + " " + unit
	case strings.ContainsAny(value, "0123456789"):
		return value + " " + unit
	}
	return value
}

// readHours reads the length of a step: "96", "16 to 20", "1 or more", "one of
// 1 2 h or 1 2 weeks"; anything else is a length in words only.
func readHours(text, tolerance string) (Planned, []Planned) {
	if list, ok := strings.CutPrefix(text, "one of "); ok {
		return Planned{}, readChoices(list)
	}
	if from, to, ok := strings.Cut(text, " to "); ok {
		a, b := hours(from), hours(to)
		return Planned{Kind: Target, Length: (a + b) / 2, Early: (b - a) / 2, Late: (b - a) / 2}, nil
	}
	if least, ok := strings.CutSuffix(text, " or more"); ok {
		return Planned{Kind: AtLeast, Length: hours(least)}, nil
	}
	length := hours(text)
	if length == 0 {
		return Planned{}, nil
	}
	if tolerance == "" {
		return assumed(length), nil
	}
	return Planned{Kind: Target, Length: length, Early: hours(tolerance), Late: hours(tolerance)}, nil
}

// assumed is a target for which a schedule gives no tolerance.
func assumed(length time.Duration) Planned {
	d := DefaultTolerance(length)
	return Planned{Kind: Target, Length: length, Early: min(d, length), Late: d, Assumed: true}
}

// readChoices reads "1 2 3 h or 1 2 weeks".
func readChoices(text string) []Planned {
	var list []Planned
	for _, part := range strings.Split(text, " or ") {
		words := strings.Fields(part)
		unit := time.Hour
		if strings.HasPrefix(words[len(words)-1], "week") {
			unit = 7 * Day
		}
		for _, word := range words[:len(words)-1] {
			if n, err := strconv.Atoi(word); err == nil {
				list = append(list, assumed(time.Duration(n)*unit))
			}
		}
	}
	return list
}

// hours reads a number of hours to the minute; 0.167 is 10 min. Words are
// nothing.
func hours(text string) time.Duration {
	h, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return 0
	}
	return time.Duration(math.Round(h*60)) * time.Minute
}

// finish writes cycles out and sums up what is known of the whole.
func (p *Protocol) finish() {
	p.Standing = standing(p.Steps)
	var sources []string
	for _, s := range p.Steps {
		if !slices.Contains(sources, s.Source) {
			sources = append(sources, s.Source)
		}
	}
	p.Source = strings.Join(sources, "; ")
	p.Steps = writeOut(p.Steps)
}

func standing(steps []Step) Standing {
	read, memory, own := 0, 0, 0
	for _, s := range steps {
		if strings.Contains(s.Status, "OWN DEFAULT") {
			own++
			continue
		}
		if strings.Contains(s.Status, "CONFIRMED") {
			read++
		}
		if strings.Contains(s.Status, "FROM MEMORY") {
			memory++
		}
	}
	switch {
	case own > 0:
		return HouseDefault
	case memory == 0:
		return Confirmed
	case read == 0:
		return FromMemory
	}
	return PartlyConfirmed
}

// writeOut replaces "repeat steps 1-3 to three cycles in all" by the steps
// themselves. What follows from the repeating, how it is tested, goes to the
// last of them.
func writeOut(steps []Step) []Step {
	form := regexp.MustCompile(`^repeat steps (\d+)-(\d+) to (\w+) cycles in all$`)
	counts := []string{"no", "one", "two", "three", "four", "five", "six"}
	var all []Step
	for _, s := range steps {
		m := form.FindStringSubmatch(s.Action)
		if m == nil {
			all = append(all, s)
			continue
		}
		from, _ := strconv.Atoi(m[1])
		to, _ := strconv.Atoi(m[2])
		for range slices.Index(counts, m[3]) - 1 {
			all = append(all, steps[from-1:to]...)
		}
		all[len(all)-1].State = s.State
	}
	return all
}

// An UnknownProtocol is a name that no schedule has.
type UnknownProtocol struct {
	Name string
	Near []string // the nearest names, best first
}

func (e *UnknownProtocol) Error() string {
	return fmt.Sprintf("there is no schedule %.40q; nearest: %s", e.Name, strings.Join(e.Near, ", "))
}

// FindProtocol returns the schedule of a name, whatever its case, spaces and
// hyphens: "EN 314-1 24h" is en314-1-24h. A part of a name is never guessed; the
// error is an *UnknownProtocol with the names that come nearest.
func FindProtocol(name string) (Protocol, error) {
	list := Protocols()
	for _, p := range list {
		if plainName(p.Name) == plainName(name) {
			return p, nil
		}
	}
	return Protocol{}, &UnknownProtocol{Name: name, Near: nearProtocols(name, list)}
}

// plainName leaves only letters and digits, in lower case.
func plainName(name string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, name)
}

// nearProtocols names the four schedules that share most with a name.
func nearProtocols(name string, list []Protocol) []string {
	slices.SortStableFunc(list, func(a, b Protocol) int {
		return int(1e6 * (alike(name, b.Name) - alike(name, a.Name)))
	})
	var near []string
	for _, p := range list[:min(4, len(list))] {
		near = append(near, p.Name)
	}
	return near
}

// alike is the share of neighbouring pairs of letters that two names have in
// common, from 0 to 1, as Dice counts it.
func alike(a, b string) float64 {
	x, y := pairs(plainName(a)), pairs(plainName(b))
	both := 0
	for pair, n := range x {
		both += min(n, y[pair])
	}
	return 2 * float64(both) / float64(max(1, total(x)+total(y)))
}

func pairs(s string) map[string]int {
	found := map[string]int{}
	for i := 0; i+2 <= len(s) && i < 80; i++ {
		found[s[i:i+2]]++
	}
	return found
}

func total(counts map[string]int) int {
	sum := 0
	for _, n := range counts {
		sum += n
	}
	return sum
}

// String writes a step for people: "soak, water, 20 +/- 5 C: 4 d".
func (s Step) String() string {
	parts := []string{s.Action}
	for _, part := range []string{s.Medium, s.Temperature, s.Humidity} {
		if part != "" {
			parts = append(parts, part)
		}
	}
	text := strings.Join(parts, ", ")
	switch {
	case s.Planned.Kind != None:
		text += ": " + s.Planned.String()
	case len(s.Choices) > 0:
		text += ": one of " + choiceList(s.Choices)
	case s.Length != "":
		text += ": " + s.Length
	}
	return text
}

func choiceList(choices []Planned) string {
	words := make([]string, len(choices))
	for i, c := range choices {
		words[i] = Exact(c.Length)
	}
	return strings.Join(words, ", ")
}

// Open lists the steps, from 0, whose length the person has to set before the
// schedule can be followed to the end. A step that takes no time of its own, an
// inspection, is not among them.
func (p Protocol) Open() []int {
	var open []int
	for i, s := range p.Steps {
		if s.Planned.Kind == None && (s.wet() || s.dry() || s.Length != "") {
			open = append(open, i)
		}
	}
	return open
}

// With returns the schedule with the length of an open step set. Where the
// schedule gives lengths to choose from it has to be one of them; the tolerance
// is the person's.
func (p Protocol) With(step int, length Planned) (Protocol, error) {
	if !slices.Contains(p.Open(), step) {
		return Protocol{}, fmt.Errorf("step %d of %s has its length already", step+1, p.Name)
	}
	s := p.Steps[step]
	allowed := func(c Planned) bool { return length.Kind == Target && c.Length == length.Length }
	if len(s.Choices) > 0 && !slices.ContainsFunc(s.Choices, allowed) {
		return Protocol{}, fmt.Errorf("%s has no step of %s; choose one of %s", p.Name, length, choiceList(s.Choices))
	}
	if length.Kind == None || length.Kind == AsPartner {
		return Protocol{}, fmt.Errorf("step %d of %s needs a length of its own, not %q", step+1, p.Name, length)
	}
	p.Steps = slices.Clone(p.Steps)
	p.Steps[step].Planned, p.Steps[step].Length = length, ""
	return p, nil
}
