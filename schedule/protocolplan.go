package schedule

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

func (s Step) wet() bool  { return strings.Contains(s.Medium, "water") }
func (s Step) hold() bool { return strings.Contains(s.Medium, "wrap") }
func (s Step) dry() bool  { return strings.Contains(s.Medium, "air") }

// verb is what to call a step in a plan: its action without conditions.
func (s Step) verb() string {
	text := s.Action
	for _, mark := range []string{";", ":", " to ", " for ", " at ", " under "} {
		text, _, _ = strings.Cut(text, mark)
	}
	if i := strings.IndexFunc(text, unicode.IsDigit); i > 0 {
		text = text[:i]
	}
	return strings.TrimSpace(text)
}

// A leg is one step of a schedule between two stages.
type leg struct {
	at       int // the step's place in the schedule, from 0
	step     Step
	name     string
	from, to Stage
}

// legs gives every step that takes time its two ends. Water begins at an
// immersion and ends at a lift-out; a step in the same water as the one before,
// and air after air, begins at a stage that is named after it.
func (p Protocol) legs() []leg {
	var legs []leg
	spells := 0
	for i, s := range p.Steps {
		if !s.wet() && !s.dry() {
			continue
		}
		wasWet := len(legs) > 0 && legs[len(legs)-1].step.wet()
		if s.wet() && !wasWet {
			spells++
		}
		legs = append(legs, leg{at: i, step: s, name: s.verb(), from: begins(s, wasWet, len(legs) == 0, spells)})
	}
	nameApart(legs)
	for i := range legs {
		legs[i].to = ends(legs, i, spells)
	}
	return legs
}

// begins says at which stage a step begins; "" for one named after itself.
func begins(s Step, wasWet, first bool, spells int) Stage {
	switch {
	case s.wet() && !wasWet:
		return Pass(Immersion, spells)
	case s.dry() && wasWet:
		return Pass(LiftOut, spells)
	case s.dry() && first:
		return ClampRemoval
	}
	return ""
}

// nameApart numbers the legs of one name, and gives the beginnings that are
// named after their step that name.
func nameApart(legs []leg) {
	count, seen := map[string]int{}, map[string]int{}
	for _, l := range legs {
		count[l.name]++
	}
	for i := range legs {
		l := &legs[i]
		verb := l.name
		seen[verb]++
		if count[verb] > 1 || len(legs) > 1 && verb == "soak" {
			l.name = fmt.Sprintf("%s %d", verb, seen[verb])
		}
		if l.from == "" {
			l.from = Stage(l.name)
		}
	}
}

// ends is where the next leg begins, or what comes after the last.
func ends(legs []leg, i, spells int) Stage {
	switch {
	case i+1 < len(legs):
		return legs[i+1].from
	case legs[i].step.wet():
		return Pass(LiftOut, spells)
	}
	return Break
}

// Intervals returns the schedule as the intervals of a treatment: cure before
// the water, soak for all time under water together, every step on its own where
// there are several, wet hold, and age where nothing gets wet. A base plan's
// interval that would contradict it is switched off (None). Steps without a
// length are left out; Open names them.
func (p Protocol) Intervals() []Interval {
	legs := p.legs()
	var list []Interval
	for i, l := range legs {
		if iv := l.interval(legs, i); iv.Planned.Kind != None {
			list = append(list, iv)
		}
	}
	return append(list, p.around(legs)...)
}

// IntervalOf returns the interval of a plan that a step, from 0, stands for, with
// its length if it has one; false for a step that is none, such as an inspection.
func (p Protocol) IntervalOf(step int) (Interval, bool) {
	legs := p.legs()
	for i, l := range legs {
		if l.at == step {
			return l.interval(legs, i), true
		}
	}
	return Interval{}, false
}

// interval is a leg under the name that a plan has for it, if it has one.
func (l leg) interval(legs []leg, i int) Interval {
	iv := Interval{l.name, l.from, l.to, l.step.Planned}
	switch {
	case l.from == ClampRemoval && l.to == Immersion:
		iv.Name = Cure
	case l.from == ClampRemoval && l.to == Break:
		iv.Name = Age
	case l.step.wet() && wetLegs(legs) == 1:
		iv.Name = Soak
	}
	return iv
}

func wetLegs(legs []leg) int {
	n := 0
	for _, l := range legs {
		if l.step.wet() {
			n++
		}
	}
	return n
}

// around adds what holds for the whole: soak as a sum, the wet hold, and what
// is switched off.
func (p Protocol) around(legs []leg) []Interval {
	var list []Interval
	last := len(legs) > 0 && legs[len(legs)-1].step.wet()
	switch n := wetLegs(legs); {
	case n == 0:
		return []Interval{{Name: Soak, From: Immersion, To: LiftOut}}
	case n > 1:
		list = append(list, Interval{Soak, Immersion, LiftOut, underWater(legs)})
	}
	hold := Interval{Name: WetHold, From: LiftOut, To: Break}
	i := slices.IndexFunc(p.Steps, Step.hold)
	switch {
	case i >= 0:
		hold.Planned = p.Steps[i].Planned
	case p.state() == "wet within 1 h":
		hold.Planned = Planned{Kind: AtMost, Length: hours("1")}
	case last: // the schedule says nothing of it, so the plan's own stands
		return list
	}
	return append(list, hold)
}

// underWater sums the wet legs: a target where each has one, else a lower limit.
func underWater(legs []leg) Planned {
	sum, least, given, target := Planned{Kind: Target}, Planned{Kind: AtLeast}, true, true
	for _, l := range legs {
		if !l.step.wet() {
			continue
		}
		p := l.step.Planned
		sum.Length, sum.Early, sum.Late = sum.Length+p.Length, sum.Early+p.Early, sum.Late+p.Late
		least.Length += p.Length - p.Early
		given, target = given && !p.Assumed, target && p.Kind == Target
	}
	switch {
	case !target && least.Length == 0:
		return Planned{}
	case !target:
		return least
	case !given:
		return assumed(sum.Length)
	}
	return sum
}

// state is how the last step that says so is tested.
func (p Protocol) state() string {
	for _, s := range slices.Backward(p.Steps) {
		if s.State != "" {
			return s.State
		}
	}
	return ""
}

// State returns the state at break in the words of a plan: "wet", "dry" or
// "re-dried".
func (p Protocol) State() string {
	legs := p.legs()
	switch {
	case wetLegs(legs) == 0:
		return "dry"
	case legs[len(legs)-1].step.wet():
		return "wet"
	}
	return "re-dried"
}

// Water says what the water is, in the words of a plan: "20 C +/- 5 C" for one
// bath of one temperature, else in a sentence. Empty when nothing gets wet.
func (p Protocol) Water() string {
	var words []string
	for _, l := range p.legs() {
		text := strings.TrimSpace(l.step.verb() + " " + l.step.Temperature)
		if l.step.wet() && !slices.Contains(words, text) {
			words = append(words, text)
		}
	}
	if len(words) != 1 {
		return strings.Join(words, ", then ")
	}
	value, tolerance, ok := strings.Cut(strings.TrimPrefix(words[0], "soak "), " +/- ")
	if _, err := strconv.ParseFloat(value, 64); ok && err == nil {
		return value + " C +/- " + tolerance
	}
	return words[0]
}

// PlanText writes the schedule as the treatment of a plan, under a key of the
// person's: what the name stands for, to be read, kept or changed. Each line
// says which step it is; steps without a length, which no plan can time, are
// comments.
func (p Protocol) PlanText(key string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "# %s: %s (%s)\n# %s\n[treatment.%s]\n", p.Name, p.Source, p.Standing, NotACertificate, key)
	if water := p.Water(); water != "" {
		fmt.Fprintf(&b, "water = %q\n", water)
	}
	fmt.Fprintf(&b, "state = %q\n[treatment.%s.interval]\n", p.State(), key)
	for _, iv := range p.Intervals() {
		fmt.Fprintf(&b, "%s\n", iv.planLine())
	}
	for i, s := range p.Steps {
		comment := fmt.Sprintf("# %d. %s (%s)", i+1, s, s.Status)
		if slices.Contains(p.Open(), i) {
			comment += ": give it a length of your own"
		}
		fmt.Fprintln(&b, comment)
	}
	return b.String()
}

// planLine writes an interval as a line of a plan's [interval] table.
func (iv Interval) planLine() string {
	name := fmt.Sprintf("%q", iv.Name)
	switch iv.Name {
	case Cure, Soak, WetHold, Age:
		return fmt.Sprintf("%s = %q", name, iv.Planned)
	}
	return fmt.Sprintf("%s = { from = %q, to = %q, planned = %q }", name, iv.From, iv.To, iv.Planned)
}
