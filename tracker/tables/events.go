package tables

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// ReadEvents reads events for the study in record, in the columns of
// EventColumns that there are; times are RFC 3339, or in the time grammar and in
// the study's zone. A date that may be two, 11/1/2026, is read as other dates of
// the file must be; see settleDates. A time that counts from now ("-2h", "18:10") is
// taken with a warning and told apart by its spelling. now is when rows without recorded_at were written down; times after it are in doubt.
//
// A row may give two events: what happened, and what was measured then. The id
// of an event is the row's own or a hash of what the row says and its count
// within the file, so the same file twice adds nothing, while two equal rows
// of one file are two events. Neither the order of columns nor the spelling of
// times, numbers and units changes an id. What the record has already in other
// words is that event, or, where the row says more, a correction of it: see again.
//
// The error joins every *Problem; nothing is returned beside it. Warnings name
// what was not read and times that are in doubt.
func ReadEvents(name string, r io.Reader, record *tracker.Record, now time.Time) (events []tracker.Event, warnings []string, err error) {
	s := readSheet(name, r, EventColumns())
	im := importer{record: record, study: record.Study(), now: now,
		counts: map[string]int{}, ids: map[string]string{}}
	if im.study == nil {
		s.problem(1, "there is no study yet to import into: begin one with soaktag begin PLAN.toml")
		return nil, nil, s.err()
	}
	im.stagesAsColumns(s)
	s.settleDates("at", "recorded_at", "reading")
	var from []row
	for _, row := range s.rows {
		for _, e := range im.row(row) {
			events, from = append(events, e), append(from, row)
		}
	}
	if len(s.problems) == 0 {
		im.again(events, from)
	}
	if err := s.err(); err != nil {
		return nil, s.warnings, err
	}
	return events, s.warnings, nil
}

// An importer makes events of rows.
type importer struct {
	record *tracker.Record
	study  *tracker.Study
	now    time.Time
	counts map[string]int    // rows met, by content
	ids    map[string]string // content of each id of the id column
}

// row makes the events of one row; none when it repeats an id and says the same.
func (im importer) row(r row) []tracker.Event {
	at, doubt := im.at(r)
	e := tracker.Event{Via: "import", At: at, Doubt: doubt, Recorded: im.recorded(r), By: r.get("by"),
		Device: r.get("device"), DeviceTime: im.deviceTime(r), Note: r.note(), Count: im.now.UnixMicro() + int64(r.line)}
	im.kind(r, &e)
	im.subject(r, &e)
	im.onlyWhere(r, e.Kind)
	if r.get("recorded_at") != "" && e.Recorded.Before(e.At.From) && !e.DeviceTime {
		r.sheet.warn(r.line, "recorded_at is before at: written down before it happened")
	}
	m, measured := im.measured(r, e)
	id, repeated := im.id(r, content(r, im.when(r, e.At), e, m))
	if repeated {
		return nil
	}
	e.ID, m.ID = id, id+suffix
	if measured {
		return []tracker.Event{e, m}
	}
	return []tracker.Event{e}
}

// suffix marks the event of what a row measured.
const suffix = "/m"

// id gives a row its identity: its own, or that of its content.
func (im importer) id(r row, content string) (id string, repeated bool) {
	if id = r.get("id"); id != "" {
		before, met := im.ids[id]
		if met && before != content {
			r.problem("id %q stands twice with different content", id)
		}
		if len(id)+len(suffix) > 64 || strings.HasSuffix(id, suffix) {
			r.problem("id has at most %d bytes and does not end in %s", 64-len(suffix), suffix)
		}
		im.ids[id] = content
		return id, met
	}
	im.counts[content]++
	sum := sha256.Sum256(fmt.Appendf(nil, "%s#%d", content, im.counts[content]))
	return "csv-" + hex.EncodeToString(sum[:16]), false
}

// at reads when it happened, widened by plus_minus_min, and what a clock change
// makes doubtful about it.
func (im importer) at(r row) (schedule.Span, string) {
	if r.get("at") == "" {
		r.empty("at", "at is empty: say when it happened, or between when and when (A..B)")
		return schedule.Span{}, ""
	}
	span, doubt := im.time(r, "at")
	slack := parse(r, "plus_minus_min", minutes)
	if !span.From.IsZero() {
		span.From = span.From.Add(-slack)
	}
	if !span.To.IsZero() {
		span.To = span.To.Add(slack)
	}
	return span, doubt
}

// time reads a cell with the time grammar, to the millisecond. A time that
// counts from now is another time in the next import of the same file, which
// is worth a warning.
func (im importer) time(r row, column string) (span schedule.Span, doubt string) {
	span = parse(r, column, func(text string) (schedule.Span, error) {
		span, doubts, err := schedule.ParseTime(text, im.now, im.study.Zone)
		for _, d := range doubts {
			r.sheet.warn(r.line, "%s %q: %s", column, text, d)
		}
		doubt = schedule.InDoubt(doubts)
		if two := (*schedule.TwoDaysError)(nil); errors.As(err, &two) {
			return span, nil // said once for all of the file, see settleDates
		}
		if err == nil && im.counted(text, span) {
			r.sheet.warn(r.line, "%s %q counts from now: in a file better write the date as well, such as 2026-03-27 18:10", column, text)
		}
		return schedule.Span{From: milli(span.From), To: milli(span.To)}, err
	})
	return span, doubt
}

// when is the time of a row as it is told apart from others: the instant, or its
// spelling where that counts from now. A day that is not over yet is told apart
// as if it were: tomorrow the same file has all of it.
func (im importer) when(r row, at schedule.Span) string {
	text := r.get("at")
	span, _, err := schedule.ParseTime(text, im.now, im.study.Zone)
	if err == nil && im.counted(text, span) {
		return text
	}
	if whole, _, err := im.later(text, 400); err == nil && !at.To.IsZero() {
		at.To = at.To.Add(milli(whole.To).Sub(milli(span.To)))
	}
	return inUTC(at.From) + ".." + inUTC(at.To)
}

// counted reports whether a time that was read as span depends on when it was
// read. Every named day comes round within a month; a day that is not over yet
// is the same day later.
func (im importer) counted(text string, span schedule.Span) bool {
	later, _, err := im.later(text, 400)
	again, _, _ := im.later(text, 400+30)
	return err != nil || !later.From.Equal(span.From) || !later.To.Equal(again.To)
}

// later reads a time so many days later.
func (im importer) later(text string, days int) (schedule.Span, []schedule.Doubt, error) {
	return schedule.ParseTime(text, im.now.AddDate(0, 0, days), im.study.Zone)
}

func milli(t time.Time) time.Time {
	if t.IsZero() {
		return t
	}
	return t.UTC().Truncate(time.Millisecond)
}

func minutes(text string) (time.Duration, error) {
	m, err := strconv.ParseFloat(text, 64)
	if err != nil || !(m >= 0 && m <= 527_040) { // a leap year
		return 0, fmt.Errorf("%q is not a number of minutes from 0 to a year", text)
	}
	return time.Duration(m * float64(time.Minute)).Truncate(time.Millisecond), nil
}

func (im importer) recorded(r row) time.Time {
	span, _ := im.time(r, "recorded_at")
	switch {
	case span.IsZero():
		return milli(im.now)
	case !span.Exact():
		r.problem("recorded_at is one instant, not a range")
	}
	return span.From
}

func (im importer) deviceTime(r row) bool {
	switch clock := strings.ToLower(r.get("clock")); {
	case clock == "":
		return false
	case clock != "device":
		r.problem("clock %q: write device where at is the device's own reading, else leave it empty", clock)
	case r.get("device") == "":
		r.problem("clock is device, but no device is named")
	}
	return true
}

// stagesAsColumns refuses a table with a column for each stage, in which most
// would be left behind.
func (im importer) stagesAsColumns(s *sheet) {
	for _, name := range s.order {
		if stage, ok := im.study.Stage(name); ok {
			s.problem(1, "column %q is a stage: write a row for each stage of a specimen, with %s under stage and its time under at", name, stage)
		}
	}
}

// subject finds the specimen. The name or code is kept as it was read, for an
// exchange of labels may change what it stood for.
func (im importer) subject(r row, e *tracker.Event) {
	text := r.get("specimen")
	if e.Kind == tracker.ClockSeen {
		if text != "" {
			r.problem("a clock row has no specimen")
		}
		return
	}
	if text == "" {
		r.empty("specimen", "specimen is empty")
		return
	}
	found, half, err := im.record.Resolve(text)
	if err != nil {
		r.problem("specimen: %v", err)
		return
	}
	e.Code, e.Half = found.Code.Whole().String(), half
	if found.CalledBy(text) {
		e.Code = found.Name
	}
	im.half(r, e)
}

// half takes the half from a column of its own.
func (im importer) half(r row, e *tracker.Event) {
	half := parse(r, "half", halfOf)
	if half != 0 && e.Half != 0 && half != e.Half {
		r.problem("half is %d, but specimen %q names half %d", half, r.get("specimen"), e.Half)
	}
	e.Half = cmp.Or(e.Half, half)
	if e.Kind == tracker.FacesRead && e.Half == 0 {
		r.problem("faces are of one half: write 1 or 2 under half, or behind the code, %s/1", e.Code)
	}
}

func halfOf(text string) (int, error) {
	if text == "1" || text == "2" {
		return int(text[0] - '0'), nil
	}
	return 0, fmt.Errorf("%q is neither 1 nor 2", text)
}

// kind fills in what the row's stage says happened. A stage of the study goes
// before the words for what is no stage.
func (im importer) kind(r row, e *tracker.Event) {
	word := strings.ToLower(strings.Join(strings.Fields(r.get("stage")), " "))
	stage, known := im.study.Stage(word)
	switch end := tracker.Ending(word); {
	case word == "":
		r.empty("stage", "stage is empty")
	case stage == schedule.Break:
		e.Kind, e.Try = tracker.Tried, im.try(r)
	case known:
		e.Kind, e.Stage = tracker.Staged, stage
	case end.Known():
		e.Kind, e.End = tracker.Ended, end
	case word == "clock":
		im.clock(r, e)
	case word == "faces":
		e.Kind, e.Faces = tracker.FacesRead, im.faces(r)
	default:
		r.problem("stage %q is not known; stages are %s, and faces, damaged, lost, found, withdrawn, clock", word, im.stages())
	}
}

func (im importer) stages() string {
	var names []string
	for _, s := range im.study.Stages() {
		names = append(names, string(s))
	}
	return strings.Join(names, ", ")
}

// clock takes what a device showed at a true instant.
func (im importer) clock(r row, e *tracker.Event) {
	e.Kind = tracker.ClockSeen
	if e.Device == "" {
		r.problem("a clock row names the device")
	}
	if e.DeviceTime {
		r.problem("at of a clock row is the true instant: leave clock empty")
	}
	shown, _ := im.time(r, "reading")
	if !shown.Exact() {
		r.problem("reading of a clock row is what the device showed, one instant such as 2026-03-10T11:13")
	}
	e.Shown = shown.From
}

// try takes one attempt to break.
func (im importer) try(r row) *tracker.Try {
	t := &tracker.Try{Reading: im.reading(r), Rig: im.rig(r), How: im.ended(r), Mode: r.get("failure_mode"),
		WoodFailure: parse(r, "wood_failure_pct", percentage)}
	im.readingFits(r, t.How)
	if rig := im.study.Rig(t.Rig); rig != nil && rig.Gauge.Foreign(t.Reading) {
		r.sheet.warn(r.line, "reading %q is of another kind than the gauge of %s, which is marked in %s; it is taken as it stands", t.Reading, rig.Name, rig.Gauge.Span.Unit)
	}
	return t
}

// readingFits asks of a row what breaking asks of a person: a reading where
// there was a load, and none where there was not.
func (im importer) readingFits(r row, how tracker.How) {
	text := r.get("reading")
	read, err := quantity.ParseReading(text)
	given := &read
	if text == "" {
		given = nil
	} else if err != nil && how.Loads() {
		return // said already
	}
	switch how.Fit(given) {
	case tracker.NothingToRead:
		r.problem("%s gives no reading: leave reading empty, or say how the try ended otherwise", how)
	case tracker.ReadingMissing:
		r.problem("%s wants the reading of the gauge with its unit, such as 1310 psi; a bond that came apart without load fell apart", how)
	case tracker.NoLoad:
		r.problem("a reading of %s is no load: a bond that came apart without load fell apart", read)
	}
}

// reading keeps the text as it was read, once it is known to be a quantity.
func (im importer) reading(r row) string {
	return parse(r, "reading", func(text string) (string, error) {
		_, err := quantity.ParseReading(text)
		return text, err
	})
}

// faces takes what was read on the fracture faces of one half.
func (im importer) faces(r row) *tracker.Faces {
	f := &tracker.Faces{Mode: r.get("failure_mode"), Shallow: parse(r, "shallow", yesOrNo)}
	if percent := parse(r, "wood_failure_pct", percentage); percent != nil {
		f.WoodFailure = *percent
	} else if r.get("wood_failure_pct") == "" {
		r.problem("faces want wood_failure_pct: how much of them failed in the wood, 0 to 100")
	}
	return f
}

func yesOrNo(text string) (bool, error) {
	switch strings.ToLower(text) {
	case "yes", "y", "true", "1", "x":
		return true, nil
	case "no", "n", "false", "0":
		return false, nil
	}
	return false, fmt.Errorf("%q is neither yes nor no", text)
}

func (im importer) rig(r row) string {
	text := r.get("rig")
	if rig := im.study.Rig(text); rig != nil {
		return rig.Name
	}
	var names []string
	for _, rig := range im.study.Rigs {
		names = append(names, rig.Name)
	}
	switch {
	case text != "" && len(names) > 0:
		r.problem("rig %q is not in the plan; it has %s", text, strings.Join(names, ", "))
	case text == "" && r.get("reading") != "" && len(names) == 1:
		return names[0]
	case text == "" && r.get("reading") != "" && len(names) > 1:
		r.problem("rig is empty; the plan has %s", strings.Join(names, ", "))
	}
	return text
}

func (im importer) ended(r row) tracker.How {
	how, err := tracker.HowNamed(r.get("ended"))
	if err != nil {
		r.problem("ended %v", err)
	}
	return how
}

func percentage(text string) (*float64, error) {
	x, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(text, "%")), 64)
	if err != nil || !(x >= 0 && x <= 100) {
		return nil, fmt.Errorf("%q is not a percentage from 0 to 100", text)
	}
	return &x, nil
}

// onlyWhere refuses cells that the row's stage would drop in silence.
func (im importer) onlyWhere(r row, kind tracker.Kind) {
	for _, column := range []string{"reading", "rig", "ended", "wood_failure_pct", "failure_mode", "shallow"} {
		judged := column == "wood_failure_pct" || column == "failure_mode"
		switch {
		case r.get(column) == "", kind == 0:
		case column == "shallow" && kind != tracker.FacesRead:
			r.problem("shallow belongs to stage faces")
		case column == "shallow", judged && kind == tracker.FacesRead, kind == tracker.Tried, column == "reading" && kind == tracker.ClockSeen:
		case judged:
			r.problem("%s belongs to stage break or faces", column)
		default:
			r.problem("%s belongs to stage break", column)
		}
	}
}

// measured makes the event of what a row measured, at the row's own time.
func (im importer) measured(r row, of tracker.Event) (tracker.Event, bool) {
	m := tracker.Event{Kind: tracker.Measured, At: of.At, DeviceTime: of.DeviceTime,
		Recorded: of.Recorded, By: of.By, Device: of.Device, Count: of.Count, Via: of.Via, Code: of.Code, Half: of.Half}
	for _, name := range []string{"bond_length", "bond_width"} {
		if parse(r, name, positiveLength) > 0 {
			m.Values = append(m.Values, tracker.Value{Name: name, Text: r.get(name)})
		}
	}
	for _, name := range []string{"mass_before", "mass_after"} {
		if grams := parse(r, name+"_g", grams); grams != "" {
			m.Values = append(m.Values, tracker.Value{Name: name, Text: grams + " g"})
		}
	}
	if len(m.Values) > 0 && of.Kind == tracker.ClockSeen {
		r.problem("a clock row measures nothing")
	}
	return m, len(m.Values) > 0
}

// mostGrams is more than any block of a workshop weighs.
const mostGrams = 100_000

// grams checks a mass and keeps the digits as they were written.
func grams(text string) (string, error) {
	x, err := strconv.ParseFloat(text, 64)
	switch {
	case err != nil, !(x > 0):
		return "", fmt.Errorf("%q is not a number of grams above zero", text)
	case x > mostGrams:
		return "", fmt.Errorf("%q is over 100 kg; it is meant in grams", text)
	}
	if _, err := quantity.ParseMass(text + " g"); err != nil {
		return "", err
	}
	return text, nil
}

// longestNote is more than anybody writes about an entry, and than a command line takes: a whole file that
// was put there is kept in memory many times over.
const longestNote = 100_000

// note is the note of a row.
func (r row) note() string {
	text := r.get("note")
	if len(text) > longestNote {
		r.problem("the note has %d bytes, more than %d; keep what is longer in a file beside the study, and name it in the note", len(text), longestNote)
		return ""
	}
	return text
}
