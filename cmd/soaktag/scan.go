package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/wording"
)

// cardLasts is how long a stage card stays in force after its last scan: a
// card forgotten yesterday must not name the stage of today's scans.
const cardLasts = 15 * time.Minute

// confirmedAtScan is the reason that a YES card stands for.
const confirmedAtScan = "confirmed at the scan"

// scanCommand records a stream of codes and cards, one a line.
func (s *session) scanCommand() *cli.Command {
	return &cli.Command{
		Name:  "scan",
		Usage: "record codes and cards from a scanner, one a line",
		Description: "A stage card, or --stage, says what the scans after it mean. It stays in force\n" +
			"for 15 minutes after the last scan; without one a scan is kept and asks.\n" +
			"A bath tag means every specimen in that bath. Cards: YES accepts what the last\n" +
			"scan asked, UNDO takes the last scan back, WHO says who scans, TEST tests the\n" +
			"scanner. A time may follow a code: HBR-017-J 18:10; with --at, of that day.\n" +
			"Exit status 3 when something asks or a line could not be read.",
		Flags: append(entryFlags(), jsonFlag(),
			&cli.StringFlag{Name: "stage", Usage: "the `STAGE` in force from the start"}),
		Action: func(c *cli.Context) error {
			if err := noArguments(c); err != nil {
				return withHint(err, "codes come from stdin: echo HBR-017-J | soaktag scan --stage STAGE; or soaktag log HBR-017-J --stage STAGE")
			}
			return s.write(c, func(b *book) error { return b.scan(c) })
		},
	}
}

// A scanning is one run of scan.
type scanning struct {
	*book
	reader   lineReader
	json     bool
	timed    bool // --at was given: it stands for lines without a time
	line     int
	count    int64 // of this device, for the order of scans
	stage    schedule.Stage
	since    time.Time // the last scan under the stage in force
	recorded int
	refused  int
	asked    []tracker.Mark    // by the last line
	open     map[string]int    // marks that ask, by event
	done     [][]tracker.Event // by line, for UNDO
	tried    []tracker.Event   // about trial labels
}

func (b *book) scan(c *cli.Context) error {
	sc := &scanning{book: b, reader: lineReader{rec: b.rec, stages: stageNames(b.rec)}, json: c.Bool("json"),
		timed: c.IsSet("at"), open: map[string]int{}}
	if sc.timed {
		sc.reader.base = b.entry.At.Mid()
	}
	if word := c.String("stage"); word != "" {
		stage, err := parseStage(b.rec, word)
		if err != nil {
			return err
		}
		sc.set(stage)
	} else if b.terminal {
		b.say("no stage in force: scan a stage card first, or type a stage")
	}
	if b.terminal {
		b.say("Ctrl-D ends")
	}
	err := sc.stream(bufio.NewReader(b.stdin))
	sc.sum()
	if err != nil {
		return err
	}
	return sc.sayTrials(sc.tried)
}

// stream takes line after line. A line that cannot be read is reported and
// the next one is taken; only the store can stop a stream.
func (sc *scanning) stream(in *bufio.Reader) error {
	for {
		line, err := await(sc.stop, func() (string, error) { return nextLine(in) })
		if errors.Is(err, errInterrupted) {
			return err
		}
		if err != nil && !errors.Is(err, io.EOF) {
			return fmt.Errorf("read line %d of the scans: %w", sc.line+1, err)
		}
		if err != nil {
			return nil
		}
		sc.line++
		if line == "" {
			continue
		}
		if err := sc.take(line); err != nil {
			return fmt.Errorf("line %d, %s: %w", sc.line, quoted(line), err)
		}
	}
}

// take records one line: all of its codes in one transaction, or none.
func (sc *scanning) take(line string) error {
	sc.expire()
	items, err := sc.reader.read(line, sc.now())
	if err != nil && sc.terminal && sc.explain(line) {
		return nil
	}
	if err != nil {
		return sc.refuse(line, err)
	}
	if len(items) > 1 {
		sc.warn("line %d: %d codes run together: the scanner sends no Enter; set it to send one after every code", sc.line, len(items))
	}
	var subjects []scanItem
	for _, item := range items {
		if item.card == nil {
			subjects = append(subjects, item)
			continue
		}
		if err := sc.keepScans(line, subjects); err != nil {
			return err
		}
		subjects = nil
		if err := sc.card(line, *item.card); err != nil {
			return err
		}
	}
	return sc.keepScans(line, subjects)
}

// explain answers what somebody at a terminal types who looks for the way out,
// or for a way on. No scan is lost by it, so it counts as none.
func (sc *scanning) explain(line string) bool {
	switch strings.ToLower(strings.TrimSpace(line)) {
	case "quit", "exit", "q", "bye", "end", "stop", "done":
		sc.say("Ctrl-D at the beginning of a line ends the scan; nothing was recorded for %s", quoted(line))
	case "help", "?", "h":
		sc.say("scan or type a code, perhaps with a time behind it: HBR-017-J 18:10")
		sc.say("a stage names what the next codes went through: %s", strings.Join(sc.reader.stages, ", "))
		sc.say("YES accepts what the last scan asked, UNDO takes the last scan back, WHO NAME says who scans")
		sc.say("Ctrl-D ends")
	default:
		return false
	}
	return true
}

// refuse reports a line that stands for nothing.
func (sc *scanning) refuse(line string, cause error) error {
	sc.refused++
	sc.asked = nil
	sc.bell()
	sc.warn("line %d: %v: not recorded", sc.line, cause)
	var unread *notRead
	if errors.As(cause, &unread) && unread.hint != "" {
		sc.hint("%s", unread.hint)
	}
	return sc.emit(scanDoc{Line: sc.line, Text: line, Stage: orNull(string(sc.stage)), Problem: orNull(cause.Error())})
}

// bell tells by sound, at a terminal, that a scan was not plainly good.
func (sc *scanning) bell() {
	if sc.terminal {
		fmt.Fprint(sc.stderr, "\a\a")
	}
}

// set puts a stage in force and shows it in large.
func (sc *scanning) set(stage schedule.Stage) {
	sc.stage, sc.since = stage, sc.now()
	until := wording.Time(sc.since.Add(cardLasts), sc.zone())
	sc.say("==== %s ==== in force until %s; every scan puts that off to %s after it",
		strings.ToUpper(string(stage)), until, schedule.Short(cardLasts))
	if stage == schedule.Break {
		sc.hint("a break wants its reading: soaktag break CODE --reading \"READING UNIT\"%s --ended separated", rigHint(sc.rec.Study()))
	}
}

// expire takes a stage out of force that was not scanned under for long.
func (sc *scanning) expire() {
	if sc.stage == "" || sc.now().Sub(sc.since) <= cardLasts {
		return
	}
	sc.bell()
	sc.warn("line %d: %s is no longer in force, its last scan was %s ago; scan the stage card again",
		sc.line, sc.stage, schedule.Short(sc.now().Sub(sc.since)))
	sc.stage = ""
}

// keepScans records the subjects of a line under the stage in force.
func (sc *scanning) keepScans(line string, items []scanItem) error {
	if len(items) == 0 {
		return nil
	}
	if sc.stage == schedule.Break && !onlyTrials(items) {
		return sc.refuse(line, breakNeedsReading(sc.rec, items[0].sub))
	}
	var events []tracker.Event
	for _, item := range items {
		made, err := sc.eventsOf(item)
		if err != nil {
			return sc.refuse(line, err)
		}
		events = append(events, made...)
	}
	sc.beforeWater(events)
	verdicts, err := sc.db.Record(events...)
	if err != nil {
		return err
	}
	sc.since = sc.now()
	sc.done, sc.tried = append(sc.done, events), append(sc.tried, slices.DeleteFunc(slices.Clone(events), notTrial)...)
	return sc.tell(line, verdicts)
}

func breakNeedsReading(rec *tracker.Record, sub subject) *notRead {
	return &notRead{fmt.Sprintf("%s: a break wants its reading, not only its code", sub.shown()),
		fmt.Sprintf("soaktag break %s --reading \"READING UNIT\"%s --ended separated", shellWord(sub.shown()), rigHint(rec.Study()))}
}

// eventsOf makes the events of one scan: one, or one a specimen of a bath.
func (sc *scanning) eventsOf(item scanItem) ([]tracker.Event, error) {
	fact := sc.factNow(item)
	if echo := sc.echoOnce(item.sub); echo != "" {
		sc.say("line %d: %s", sc.line, echo)
	}
	for _, doubt := range item.doubts {
		sc.warn("line %d: the time %s", sc.line, doubtText(doubt))
		sc.attention = true
	}
	if item.end != "" {
		fact.Kind, fact.End, fact.Stage = tracker.Ended, item.end, ""
	}
	if item.sub.bath != "" || item.sub.allTrials {
		rec, err := sc.db.State()
		if err != nil {
			return nil, err
		}
		sc.rec = rec
	}
	events, err := sc.spread(fact, []subject{item.sub})
	if err != nil {
		return nil, &notRead{strings.TrimSuffix(err.Error(), "; nothing recorded"), "soaktag status says how far the specimens are"}
	}
	return events, nil
}

// factNow is a scan at this moment, or at the time on its line.
func (sc *scanning) factNow(item scanItem) tracker.Event {
	now := sc.now().UTC().Truncate(time.Millisecond)
	fact := sc.entry.event(tracker.Staged)
	fact.Recorded, fact.Stage, fact.Via = now, sc.stage, "scan"
	switch {
	case item.timed:
		fact.At, fact.Doubt = item.at, schedule.InDoubt(item.doubts)
	case !sc.timed:
		fact.At, fact.Count = schedule.At(now), sc.tick(now)
	}
	return fact
}

// tick counts this device's scans, so that two within one millisecond keep
// their order. It goes on from run to run with the clock.
func (sc *scanning) tick(now time.Time) int64 {
	sc.count = max(sc.count+1, now.UnixMicro())
	return sc.count
}

// tell says what a line recorded: only ever after the commit.
func (sc *scanning) tell(line string, verdicts []tracker.Verdict) error {
	sc.recorded += len(verdicts)
	for _, v := range verdicts {
		if !sc.json {
			sc.print("%s\n", wording.Recorded(v, sc.zone()))
		}
		if err := sc.emit(sc.docOf(line, v)); err != nil {
			return err
		}
	}
	sc.asked = sc.sayMarks(verdicts)
	return sc.leave(sc.asked)
}

// leave lets marks stand open, or accepts them when --yes and --reason do.
func (sc *scanning) leave(asking []tracker.Mark) error {
	if len(asking) == 0 {
		return nil
	}
	for _, m := range asking {
		sc.open[m.Event]++
	}
	if sc.entry.Yes && sc.entry.Reason != "" {
		return sc.yes(sc.entry.Reason)
	}
	sc.bell()
	sc.hint("line %d: kept, and asks: YES if it stands, UNDO if not", sc.line)
	return nil
}

// card does what a card says.
func (sc *scanning) card(line string, card labels.Card) error {
	doc := scanDoc{Line: sc.line, Text: line, Card: orNull(card.Title())}
	var err error
	switch card.Kind {
	case labels.CardStage:
		var stage schedule.Stage
		if stage, err = parseStage(sc.rec, card.Name); err != nil {
			return sc.refuse(line, err)
		}
		sc.set(stage)
	case labels.CardWho:
		sc.entry.By = card.Name
		sc.say("scans are now by %s", card.Name)
	case labels.CardYes:
		err = sc.yesCard()
	case labels.CardUndo:
		err = sc.undo()
	case labels.CardTest:
		sc.testCard(line)
	}
	if err != nil {
		return err
	}
	doc.Stage = orNull(string(sc.stage))
	return sc.emit(doc)
}

func (sc *scanning) yesCard() error {
	if len(sc.asked) == 0 {
		sc.warn("line %d: YES, but the last scan asks nothing", sc.line)
		return nil
	}
	reason := confirmedAtScan
	if sc.entry.Reason != "" {
		reason = sc.entry.Reason
	}
	return sc.yes(reason)
}

// yes accepts the marks of the last line.
func (sc *scanning) yes(reason string) error {
	sc.entry.Recorded = sc.now().UTC().Truncate(time.Millisecond)
	if err := sc.accept(sc.asked, reason); err != nil {
		return err
	}
	for _, m := range sc.asked {
		if sc.open[m.Event]--; sc.open[m.Event] <= 0 {
			delete(sc.open, m.Event)
		}
	}
	sc.asked = nil
	return nil
}

// undo voids what the last line recorded that was not yet taken back.
func (sc *scanning) undo() error {
	if len(sc.done) == 0 {
		sc.warn("line %d: UNDO, but nothing recorded in this run is left to take back", sc.line)
		sc.hint("soaktag amend void last --reason \"why\" takes back what was recorded before")
		return nil
	}
	last := sc.done[len(sc.done)-1]
	var voids []tracker.Event
	for _, e := range last {
		void := sc.entry.event(tracker.Voided)
		void.Recorded = sc.now().UTC().Truncate(time.Millisecond)
		void.At, void.Doubt, void.Target, void.Code, void.Half = schedule.At(void.Recorded), "", e.ID, e.Code, e.Half
		void.Reason, void.Via = "taken back at the scan", "scan"
		voids = append(voids, void)
	}
	if _, err := sc.db.Record(voids...); err != nil {
		return err
	}
	sc.done = sc.done[:len(sc.done)-1]
	sc.recorded -= len(last)
	for _, e := range last {
		delete(sc.open, e.ID)
		sc.say("taken back: %s %s", wording.Whom(e), wording.What(e))
	}
	sc.asked = nil
	return nil
}

// testCard says whether keyboard layout, caps lock and Enter are right. That
// the line arrived shows that Enter is.
func (sc *scanning) testCard(line string) {
	found := labels.Scanner(line)
	if len(found) == 0 {
		sc.say("scanner test: good: layout, capitals and Enter are right")
	}
	for _, text := range found {
		sc.warn("scanner test: %s", text)
	}
}

// sum says at the end what became of the stream.
func (sc *scanning) sum() {
	if sc.line == 0 {
		sc.warn("no scans: nothing came in on stdin")
		return
	}
	text := fmt.Sprintf("%s recorded", wording.Counted(sc.recorded, "scan", "scans"))
	if sc.refused > 0 {
		text += fmt.Sprintf(", %s not recorded", wording.Counted(sc.refused, "line", "lines"))
	}
	if len(sc.open) > 0 {
		text += fmt.Sprintf(", %d ask: soaktag status lists them, soaktag accept CODE --reason \"why\" accepts", len(sc.open))
	}
	sc.say("%s", text)
	sc.attention = sc.attention || sc.refused > 0 || len(sc.open) > 0
}

// A scanDoc is scan/1: one for every line that is not empty, and for a bath
// one for every specimen of it.
type scanDoc struct {
	Line     int       `json:"line"`
	Text     string    `json:"text"` // as read
	Code     *string   `json:"code"`
	Half     *int      `json:"half"`
	Stage    *string   `json:"stage"`
	At       *string   `json:"at"` // null when only a range is known
	Recorded bool      `json:"recorded"`
	Event    *string   `json:"event"`
	Card     *string   `json:"card"`
	Trial    *string   `json:"trial,omitempty"` // a trial label; code is then null
	Problem  *string   `json:"problem"`         // why it was not recorded
	Marks    []markDoc `json:"marks"`
	Next     *scanNext `json:"next"`
}

type scanNext struct {
	Stage  string  `json:"stage"`
	Opens  *string `json:"opens"`
	At     *string `json:"at"`
	Closes *string `json:"closes"`
}

func (sc *scanning) docOf(line string, v tracker.Verdict) scanDoc {
	doc := scanDoc{Line: sc.line, Text: line, Code: orNull(v.Event.Code), Stage: orNull(string(v.Event.Stage)),
		Recorded: true, Event: orNull(v.Event.ID)}
	if code, err := labels.Parse(v.Event.Code); err != nil && v.Specimen != nil {
		doc.Code = orNull(v.Specimen.Code.Whole().String())
	} else if err == nil {
		doc.Code = orNull(code.Whole().String())
	}
	if t, ok := tracker.TrialOf(v.Event.Code); ok {
		doc.Code, doc.Trial = nil, orNull(t.String()) // it is no specimen
	}
	if v.Event.Half != 0 {
		doc.Half = &v.Event.Half
	}
	if v.Event.At.Exact() {
		doc.At = timeOrNull(v.Event.At.From, sc.zone())
	}
	for _, m := range v.Marks {
		doc.Marks = append(doc.Marks, markOf(m))
	}
	if n := v.Next; n != nil {
		doc.Next = &scanNext{string(n.Named()), timeOrNull(n.Window.Opens, sc.zone()),
			timeOrNull(n.Window.At, sc.zone()), timeOrNull(n.Window.Closes, sc.zone())}
	}
	return doc
}

// emit writes one object for a script; stdout is not buffered.
func (sc *scanning) emit(doc scanDoc) error {
	if !sc.json {
		return nil
	}
	if doc.Marks == nil {
		doc.Marks = []markDoc{}
	}
	doc.Text = strings.ToValidUTF8(doc.Text, "�")
	return sc.session.json(nil, "scan/1", doc)
}
