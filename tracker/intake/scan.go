package intake

import (
	"cmp"
	"errors"
	"maps"
	"slices"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

// CardLasts is how long a stage card stays in force after its last scan: a
// card forgotten yesterday must not name the stage of today's scans.
const CardLasts = 15 * time.Minute

// confirmedAtScan is the reason that a YES card stands for.
const confirmedAtScan = "confirmed at the scan"

// A Line is what a scanner sends or somebody types: a code, a card, a code with
// a time behind it, or several run together.
type Line string

// take records one line: what stands between its cards in one transaction each.
// What cannot be read is noted as not recorded; only the store ends a stream.
func (l Line) take(d *Desk, out *Outcome) (err error) {
	defer func() { d.sit.shown = nil }() // what comes after is asked anew
	if len(l) > LongestLine {
		d.refuse(out, l.tooLong())
		return nil
	}
	if taken, err := d.reply(out, string(l)); taken || err != nil {
		return err
	}
	d.expire(out)
	if !d.oneByOne() {
		if err := d.putDown(out); err != nil {
			return err
		}
	}
	items, err := d.lines().read(string(l), d.now())
	if err != nil {
		d.refuse(out, err)
		return nil
	}
	if len(items) > 1 {
		out.add(RunTogether{len(items)})
	}
	var subjects []item
	for _, it := range items {
		if it.card == nil {
			subjects = append(subjects, it)
			continue
		}
		if err := d.scanned(out, subjects); err != nil {
			return err
		}
		subjects = nil
		if err := d.card(out, string(l), *it.card); err != nil {
			return err
		}
	}
	return d.scanned(out, subjects)
}

// refuse notes what stands for nothing; nothing asks after it.
func (d *Desk) refuse(out *Outcome, err error) {
	d.asked, d.sit.missed = nil, d.sit.act == breaking
	d.tally.Refused++
	out.add(NotRecorded{refusalOf(err), d.stage})
}

// Set puts a stage in force.
func (d *Desk) Set(stage schedule.Stage) Outcome {
	var out Outcome
	d.set(&out, stage)
	return out
}

func (d *Desk) set(out *Outcome, stage schedule.Stage) {
	d.stage, d.since, d.stays = stage, d.now(), false
	out.add(StageInForce{stage, d.since.Add(CardLasts)})
	if stage == schedule.Break {
		out.add(Advised{ReadingFollows{}})
	}
}

// expire takes a stage out of force that was not scanned under for long.
func (d *Desk) expire(out *Outcome) {
	if stage, ago, over := d.outlived(d.now()); over {
		out.add(StageExpired{stage, ago})
	}
}

// outlived takes a stage out of force under which nothing was taken for long,
// and says how long.
func (d *Desk) outlived(at time.Time) (stage schedule.Stage, ago time.Duration, over bool) {
	ago = at.Sub(d.since)
	if d.stage == "" || d.stays || ago <= CardLasts {
		return "", 0, false
	}
	stage, d.stage = d.stage, ""
	return stage, ago, true
}

// scanned records the subjects of a line under the stage in force.
func (d *Desk) scanned(out *Outcome, items []item) error {
	if len(items) == 0 {
		return nil
	}
	if d.oneByOne() && !onlyTrials(items) {
		return d.takeOne(out, items)
	}
	var events []tracker.Event
	for _, it := range items {
		made, err := d.scan(out, it)
		if refused := (*Refusal)(nil); errors.As(err, &refused) {
			d.refuse(out, refused)
			return nil
		}
		if err != nil {
			return err
		}
		events = append(events, made...)
	}
	if err := d.keepScanned(out, events); err != nil {
		return err
	}
	d.since = d.now()
	return nil
}

// keepScanned commits what labels said, remembers it for UNDO, and tells what the
// record makes of it.
func (d *Desk) keepScanned(out *Outcome, events []tracker.Event) error {
	if len(events) == 0 {
		return nil
	}
	d.before(out, events)
	stood := footingOf(d.rec, events)
	verdicts, err := d.record(events...)
	if err != nil {
		return meanwhile(err)
	}
	d.done, d.tried = append(d.done, events), append(d.tried, slices.DeleteFunc(slices.Clone(events), notTrial)...)
	if err := d.told(out, verdicts); err != nil {
		return err
	}
	onlyLabel(out, events, NewLabel{Recorded: true, Scanned: true})
	stood.sinceThen(out, d.rec)
	return nil
}

// told hands out what was recorded, and lets its marks stand open or accepts
// them where the entry says so beforehand.
func (d *Desk) told(out *Outcome, verdicts []tracker.Verdict) error {
	d.tally.Recorded += len(verdicts)
	out.add(Recorded{verdicts}, Marked{marksOf(verdicts)})
	sayExchanged(out, d.rec, marksOf(verdicts))
	open, err := d.ask(out, openOf(verdicts))
	if open {
		out.add(LeftOpen{})
	}
	return err
}

// ask lets marks stand open, or accepts them where the entry says so beforehand.
// It reports whether they are open.
func (d *Desk) ask(out *Outcome, asking []tracker.Mark) (open bool, err error) {
	d.asked = asking
	for _, m := range asking {
		d.tally.open[openKey(m)] = m
	}
	if len(asking) > 0 && d.Yes && d.Reason != "" {
		return false, d.yes(out, d.Reason)
	}
	return len(asking) > 0, nil
}

// scan makes the events of one scan: one, or one a specimen of a bath.
func (d *Desk) scan(out *Outcome, it item) ([]tracker.Event, error) {
	fact := d.scanFact(it)
	if d.toEcho(it.sub) {
		out.add(ReadAs{[]Subject{it.sub}})
	}
	for _, doubt := range it.doubts {
		out.add(TimeInDoubt{doubt, it.at})
	}
	if it.end != "" {
		fact.Kind, fact.End, fact.Stage = tracker.Ended, it.end, ""
	}
	events, err := d.spread(out, fact, []Subject{it.sub})
	if err != nil {
		return nil, onlyThis(err)
	}
	return events, nil
}

// onlyThis helps with a refusal of one thing among others.
func onlyThis(err error) error {
	if r, ok := err.(*Refusal); ok && r.Help == nil {
		return refuse("%s", r.Why).with(SeeStatus{})
	}
	return err
}

// scanFact is a scan at this moment, or at the time on its line.
func (d *Desk) scanFact(it item) tracker.Event {
	now := d.now().UTC().Truncate(time.Millisecond)
	fact := d.event(tracker.Staged)
	fact.Recorded, fact.Stage, fact.Via = now, d.stage, "scan"
	switch {
	case it.timed:
		fact.At, fact.DeviceTime, fact.Doubt = it.at, false, schedule.InDoubt(it.doubts)
	case !d.Timed:
		fact.At, fact.Count = schedule.At(now), d.tick(now)
	}
	return fact
}

// tick counts this device's scans, so that two within one millisecond keep
// their order. It goes on from run to run with the clock.
func (d *Desk) tick(now time.Time) int64 {
	d.count = max(d.count+1, now.UnixMicro())
	return d.count
}

// card does what a card says.
func (d *Desk) card(out *Outcome, line string, card labels.Card) error {
	switch card.Kind {
	case labels.CardStage:
		stage, err := ParseStage(d.rec, card.Name)
		if err != nil {
			d.refuse(out, err)
			return nil
		}
		if err := d.putDown(out); err != nil {
			return err
		}
		d.set(out, stage)
	case labels.CardWho:
		d.By = card.Name
		out.add(Who{card.Name})
	case labels.CardYes:
		if err := d.yesCard(out); err != nil {
			return err
		}
	case labels.CardUndo:
		if err := d.backOne(out); err != nil {
			return err
		}
	case labels.CardTest:
		out.add(ScannerTest{labels.Scanner(line)})
	}
	out.add(CardTaken{card, d.stage})
	return nil
}

func (d *Desk) yesCard(out *Outcome) error {
	if len(d.asked) == 0 {
		out.add(NothingAsks{})
		return nil
	}
	return d.yes(out, cmp.Or(d.Reason, confirmedAtScan))
}

// yes accepts what was asked last.
func (d *Desk) yes(out *Outcome, reason string) error {
	d.Recorded = d.now().UTC().Truncate(time.Millisecond)
	asked := d.asked
	if err := d.settle(out, d.acceptances(asked, reason), reason); err != nil {
		return err
	}
	d.stakes(out, asked)
	return nil
}

// settle records that what was asked last is accepted; nothing asks after it.
func (d *Desk) settle(out *Outcome, accepted []tracker.Event, reason string) error {
	if err := d.accepted(out, accepted, reason); err != nil {
		return err
	}
	for _, m := range d.asked {
		delete(d.tally.open, openKey(m))
	}
	d.asked = nil
	return nil
}

// undo voids what was scanned last and not yet taken back.
func (d *Desk) undo(out *Outcome) error {
	if len(d.done) == 0 {
		out.add(NothingToTakeBack{}, Advised{VoidEarlier{}})
		return nil
	}
	last, aside, err := d.takeBack(out, func(e tracker.Event) tracker.Event { return d.voidOf(e, "taken back at the scan") })
	for _, e := range aside {
		out.add(AsideAlready{e})
	}
	if err == nil {
		d.tally.Recorded -= len(last)
	}
	return err
}

// takeBack voids what was taken last, but for what somebody set aside meanwhile:
// aside. It returns all that was taken last.
func (d *Desk) takeBack(out *Outcome, voidOf func(tracker.Event) tracker.Event) (last, aside []tracker.Event, err error) {
	last = d.done[len(d.done)-1]
	var voids, back []tracker.Event
	for _, e := range last {
		if d.rec.Voided(e.ID) {
			aside = append(aside, e)
			continue
		}
		voids, back = append(voids, d.voidsOf(e, voidOf)...), append(back, e)
	}
	if len(voids) > 0 {
		if _, err := d.record(voids...); err != nil {
			return nil, nil, err
		}
		out.add(TakenBack{back})
	}
	d.done, d.asked = d.done[:len(d.done)-1], nil
	d.tally.drop(last)
	return last, aside, nil
}

// voidsOf takes back an entry and what it replaced, which would count again
// otherwise.
func (d *Desk) voidsOf(e tracker.Event, voidOf func(tracker.Event) tracker.Event) (voids []tracker.Event) {
	for again := true; again; {
		voids = append(voids, voidOf(e))
		again = e.Target != "" && !slices.ContainsFunc(voids, func(v tracker.Event) bool { return v.Target == e.Target })
		e, _ = d.rec.Event(e.Target)
	}
	return voids
}

// voidOf sets an event aside that was scanned by mistake.
func (d *Desk) voidOf(e tracker.Event, reason string) tracker.Event {
	void := d.event(tracker.Voided)
	void.Recorded = d.now().UTC().Truncate(time.Millisecond)
	void = written(void)
	void.Target, void.Code, void.Half = e.ID, e.Code, e.Half
	void.Reason, void.Via = reason, "scan"
	return void
}

// A Tally counts what a desk took since it was opened.
type Tally struct {
	Recorded int                     // events on record and not taken back
	Refused  int                     // what was not recorded
	open     map[string]tracker.Mark // what asks and was not answered
}

// Open counts the events of which something asks.
func (t Tally) Open() int {
	events := map[string]bool{}
	for _, m := range t.open {
		events[m.Event] = true
	}
	return len(events)
}

// drop forgets what events ask that were taken back.
func (t Tally) drop(events []tracker.Event) {
	maps.DeleteFunc(t.open, func(_ string, m tracker.Mark) bool {
		return slices.ContainsFunc(events, func(e tracker.Event) bool { return e.ID == m.Event })
	})
}

// openKey tells marks apart, and puts them in an order.
func openKey(m tracker.Mark) string { return m.Event + "|" + saidOf(m) }

// Tally counts what lines the desk took.
func (d *Desk) Tally() Tally { return d.tally }

// Close tells at the end how the label trials stand that anything was taken of.
func (d *Desk) Close() (Outcome, error) {
	var out Outcome
	err := d.afterTrials(&out, d.tried)
	return out, err
}

// Reads reports whether a line stands for anything that can be recorded or done.
func (d *Desk) Reads(line string) bool {
	_, err := d.lines().read(line, d.now())
	return err == nil
}
