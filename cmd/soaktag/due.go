package main

import (
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/wording"
)

// dueCommand says what is to be done now, soonest first.
func (s *session) dueCommand() *cli.Command {
	return &cli.Command{
		Name:        "due",
		Usage:       "say what is due, soon and overdue, soonest first, and what to do",
		Description: "Exit status 3 when something is overdue.",
		Flags:       lookFlags(&cli.BoolFlag{Name: "all", Usage: "also what is still running, with nothing to do yet"}),
		Action:      s.due,
	}
}

type dueDoc struct {
	Items []dueItem `json:"items"`
}

type dueItem struct {
	Code      *string `json:"code"` // null for a dummy, and so are the four below
	Name      *string `json:"name"`
	Bath      *string `json:"bath"`
	Adhesive  *string `json:"adhesive"`
	Treatment *string `json:"treatment"`
	Interval  string  `json:"interval"`
	Stage     string  `json:"stage"`
	Opens     *string `json:"opens"`
	At        *string `json:"at"`
	Closes    *string `json:"closes"`
	State     string  `json:"state"`
	OverH     float64 `json:"over_h"`
	Sure      bool    `json:"sure"`
	Rig       *string `json:"rig"` // on which a dummy is to be broken; null for a specimen
}

func (s *session) due(c *cli.Context) error {
	if err := noArguments(c); err != nil {
		return err
	}
	view, err := s.look(c)
	if err != nil {
		return err
	}
	items := view.rec.Due(view.now)
	s.attention = s.attention || countStates(items)[schedule.Overdue] > 0
	if c.Bool("json") {
		return s.json(c, "due/1", dueOf(items, view.zone()))
	}
	s.printDue(view, items, c.Bool("all"))
	return nil
}

func dueOf(items []tracker.Due, zone *time.Location) dueDoc {
	doc := dueDoc{Items: []dueItem{}}
	for _, d := range items {
		doc.Items = append(doc.Items, dueItem{
			Code: codeOrNull(d), Name: orNull(d.Specimen.Name), Bath: orNull(d.Bath),
			Adhesive: orNull(d.Specimen.Adhesive), Treatment: orNull(d.Specimen.Treatment), Rig: orNull(d.Rig),
			Interval: d.Interval, Stage: string(d.Named()),
			Opens: timeOrNull(d.Window.Opens, zone), At: timeOrNull(d.Window.At, zone),
			Closes: timeOrNull(d.Window.Closes, zone),
			State:  d.State.String(), OverH: hours(d.Over), Sure: d.Sure,
		})
	}
	return doc
}

// codeOrNull is nil for a dummy, which has no code.
func codeOrNull(d tracker.Due) *string {
	if d.Rig != "" {
		return nil
	}
	return orNull(d.Specimen.Code.String())
}

// A dueGroup is what one person does in one go: the same stage for the same
// bath, or for the same adhesive and treatment where no bath is in play. In a
// blind study a break is not told apart by adhesive, nor named by more than
// codes.
type dueGroup struct {
	key   dueKey
	blind bool
	items []tracker.Due // soonest first
}

type dueKey struct {
	rig                       string // of a dummy
	bath, adhesive, treatment string
	stage                     schedule.Stage
	state                     schedule.State
}

func keyOf(d tracker.Due, blind bool) dueKey {
	key := dueKey{rig: d.Rig, stage: d.Named(), state: d.State, treatment: d.Specimen.Treatment}
	bathed := d.Stage.Wet()
	switch {
	case d.Bath != "" && bathed:
		key.bath, key.treatment = d.Bath, ""
	case !blind:
		key.adhesive = d.Specimen.Adhesive
	}
	return key
}

// groupDue keeps the order of the items: a group stands where its soonest does.
func groupDue(items []tracker.Due, blind bool) []dueGroup {
	var groups []dueGroup
	at := map[dueKey]int{}
	for _, d := range items {
		hide := blind && d.Stage == schedule.Break
		key := keyOf(d, hide)
		i, ok := at[key]
		if !ok {
			i = len(groups)
			at[key] = i
			groups = append(groups, dueGroup{key: key, blind: hide})
		}
		groups[i].items = append(groups[i].items, d)
	}
	return groups
}

// A dueBlock is groups that one person can do in one go: the same stage, at
// much the same time.
type dueBlock []dueGroup

// oneGo is how far the windows of groups in one block may lie apart.
const oneGo = time.Hour

// blocksOf keeps the order of the groups: a block stands where its first does.
func blocksOf(groups []dueGroup) []dueBlock {
	var blocks []dueBlock
	for _, g := range groups {
		i := slices.IndexFunc(blocks, func(b dueBlock) bool { return b[0].near(g) })
		if i < 0 {
			blocks = append(blocks, dueBlock{g})
		} else {
			blocks[i] = append(blocks[i], g)
		}
	}
	return blocks
}

// near reports whether o is the same work as g within the hour. A window open
// at one end is near none that is closed there, and no rig is near another.
func (g dueGroup) near(o dueGroup) bool {
	a, b := g.items[0].Window, o.items[0].Window
	return g.key.rig == "" && g.key.stage == o.key.stage && g.key.state == o.key.state &&
		a.Opens.Sub(b.Opens).Abs() <= oneGo && a.Closes.Sub(b.Closes).Abs() <= oneGo
}

func (b dueBlock) items() (all []tracker.Due) {
	for _, g := range b {
		all = append(all, g.items...)
	}
	return all
}

func (s *session) printDue(v view, items []tracker.Due, all bool) {
	counts := countStates(items)
	s.print("%s: overdue %d, due %d, soon %d, running %d\n", wording.Time(v.now, v.zone()),
		counts[schedule.Overdue], counts[schedule.Due], counts[schedule.Soon], counts[schedule.Ongoing])
	shown := 0
	for _, b := range blocksOf(groupDue(items, v.rec.Study().Rule.Blind)) {
		if b[0].key.state == schedule.Ongoing && !all {
			continue
		}
		s.printBlock(v.rec.Study(), b)
		shown++
	}
	again := len(againQueue(v))
	if shown == 0 && again == 0 {
		s.print("nothing to do now%s\n", nextOpening(items, v))
	}
	if again > 0 {
		s.print("\nLOADED BEFORE and whole: %s, to be broken again or withdrawn; soaktag next names them\n", wording.Plural(again, "specimen"))
	}
}

// nextOpening tells a person with nothing to do when to look again.
func nextOpening(items []tracker.Due, v view) string {
	for _, d := range items {
		if d.Window.Opens.After(v.now) {
			return "; next: " + string(d.Named()) + " from " + wording.Time(d.Window.Opens, v.zone())
		}
	}
	if first := v.rec.Study().FirstGlueUp; len(items) == 0 && first.After(v.now) {
		return "; planned: the first glue-up on " + wording.Time(first, v.zone())
	}
	return ""
}

func (s *session) printDueGroup(study *tracker.Study, g dueGroup) {
	zone := study.Zone
	first := g.items[0]
	s.print("\n%s  %s of %s: %s%s\n", strings.ToUpper(g.key.state.String()), g.key.stage,
		g.subject(), wording.Plural(len(g.items), "specimen"), notSure(g.items))
	s.print("    %s\n", wording.Window(first, zone))
	s.print("    do: %s\n", g.work(study))
	for _, line := range g.stragglers(zone) {
		s.print("    %s\n", line)
	}
}

// printBlock prints a group with a heading of its own, and several below one
// heading, each with its time.
func (s *session) printBlock(study *tracker.Study, b dueBlock) {
	zone := study.Zone
	if b[0].key.rig != "" {
		s.printDummy(study, b[0].items[0])
		return
	}
	if len(b) == 1 {
		s.printDueGroup(study, b[0])
		return
	}
	key, all := b[0].key, b.items()
	s.print("\n%s  %s: %s%s\n", strings.ToUpper(key.state.String()), key.stage, wording.Plural(len(all), "specimen"), notSure(all))
	when := b.oneWindow(zone)
	if when != "" {
		s.print("    %s\n", when)
	}
	s.print("    do: %s\n", b[0].work(study))
	for _, g := range b {
		s.printMember(zone, g, when == "")
	}
}

// oneWindow is the time of all groups of a block; empty when they differ.
func (b dueBlock) oneWindow(zone *time.Location) string {
	first := wording.Window(b[0].items[0], zone)
	if slices.ContainsFunc(b, func(g dueGroup) bool { return wording.Window(g.items[0], zone) != first }) {
		return ""
	}
	return first
}

// printMember prints a group of a block: who, when unless the block has said
// so, and which specimens.
func (s *session) printMember(zone *time.Location, g dueGroup, timed bool) {
	lines, when := g.stragglers(zone), wording.Window(g.items[0], zone)
	switch {
	case len(g.items) == 1 && timed:
		s.print("    %s, %s: %s\n", g.name(g.items[0].Specimen), g.subject(), when)
		return
	case len(g.items) <= fewNames && !timed:
		s.print("    %s: %s\n", g.subject(), lines[0])
		return
	case timed:
		s.print("    %s: %s, %s\n", g.subject(), wording.Plural(len(g.items), "specimen"), when)
	default:
		s.print("    %s: %s\n", g.subject(), wording.Plural(len(g.items), "specimen"))
	}
	for _, line := range lines {
		s.print("        %s\n", line)
	}
}

func (g dueGroup) subject() string {
	first := g.items[0].Specimen
	if g.key.bath != "" {
		return "bath " + g.key.bath + " (" + first.Adhesive + ")"
	}
	return strings.TrimSpace(g.key.adhesive + " " + g.key.treatment)
}

// name is a code, with the person's own name where that gives nothing away.
func (g dueGroup) name(sp tracker.Specimen) string {
	if g.blind {
		return sp.Code.String()
	}
	return wording.Name(sp)
}

func notSure(items []tracker.Due) string {
	for _, d := range items {
		if !d.Sure {
			return " (a time behind this is only known roughly, or not yet)"
		}
	}
	return ""
}

// work is what a group asks for, in a few words. Out of the water it goes to
// the press, unless the plan lets it dry or rest first.
func (g dueGroup) work(study *tracker.Study) string {
	stage, _ := schedule.PassOf(g.key.stage)
	if stage != schedule.LiftOut {
		return whatToDo(stage)
	}
	for _, iv := range study.IntervalsOf(g.items[0].Specimen) {
		rests := iv.Planned.Kind == schedule.Target || iv.Planned.Kind == schedule.AtLeast
		if iv.From == g.key.stage && iv.Name != "wet hold" && rests {
			return "lift out and weigh; then " + iv.Name + ": " + iv.Planned.String()
		}
	}
	return whatToDo(stage)
}

// whatToDo is the work that a stage asks for, in a few words.
func whatToDo(stage schedule.Stage) string {
	if do := tracker.WorkOf(stage).Do; do != "" {
		return do
	}
	return "do it, then soaktag log SUBJECT --stage \"" + string(stage) + "\""
}

// fewNames is how many specimens are named one by one; of a larger group only
// those that stray from it are.
const fewNames = 6

// stragglers names the specimens of a small group, and of a large one those
// whose time lies a good way from the group's middle.
func (g dueGroup) stragglers(zone *time.Location) []string {
	if len(g.items) <= fewNames {
		return []string{g.names()}
	}
	middle := medianTime(g.items)
	var lines []string
	for _, d := range g.items {
		if d.Window.At.Sub(middle).Abs() >= goodWay(d.Window) {
			lines = append(lines, g.name(d.Specimen)+" apart from the rest: "+wording.Window(d, zone))
		}
	}
	return lines
}

// goodWay is a quarter of a window, and at least an hour.
func goodWay(w schedule.Window) time.Duration {
	if w.Opens.IsZero() || w.Closes.IsZero() {
		return time.Hour
	}
	return max(time.Hour, w.Closes.Sub(w.Opens)/4)
}

func (g dueGroup) names() string {
	var names []string
	for _, d := range g.items {
		name := g.name(d.Specimen)
		if d.State == schedule.Overdue {
			name += " " + schedule.Short(d.Over) + " over"
		}
		names = append(names, name)
	}
	return strings.Join(names, "; ")
}

func medianTime(items []tracker.Due) time.Time {
	times := make([]time.Time, len(items))
	for i, d := range items {
		times[i] = d.Window.At
	}
	slices.SortFunc(times, time.Time.Compare)
	return times[len(times)/2]
}
