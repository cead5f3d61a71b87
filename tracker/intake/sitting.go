package intake

import (
	"cmp"
	"errors"
	"slices"
	"strconv"
	"strings"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// A sitting is a long act at which a desk asks answer by answer: all breaks at the
// press, or all fracture faces. A stage card for the break asks the same of each
// label that is scanned under it, but proposes nobody.
type sitting struct {
	act    act
	hand   *Filling      // what is asked about now; nil for nothing
	rig    string        // named once, and kept
	other  bool          // another rig was asked for, and is not named yet
	again  *Subject      // taken back last, and proposed next; nil for nothing
	shown  *proposal     // with the question, and what Enter takes; nil before it is asked
	missed bool          // the last line at the press was refused: a bare number is no code then
	passed []labels.Code // halves that somebody did not have to hand
	kept   []tracker.Event
}

// An act is what a desk sits down to.
type act uint8

const (
	standing act = iota // it takes what comes
	breaking
	facing
)

// SitAtPress begins a sitting at the press: every bond that waits is proposed in
// turn. rig is the one in use; empty where the plan has one, or it is to be asked.
func (d *Desk) SitAtPress(rig string) (out Outcome, err error) {
	if rig != "" {
		if rig, err = d.ParseRig(rig); err != nil {
			return out, err
		}
	}
	d.stage, d.stays = schedule.Break, true
	d.sit = sitting{act: breaking, rig: rig}
	out.add(SatDown{})
	return out, nil
}

// SitOverFaces begins a sitting over the fracture faces, half by half in the order
// of tracker.FacesQueue.
func (d *Desk) SitOverFaces() (out Outcome) {
	d.sit = sitting{act: facing}
	out.add(SatDown{Faces: true})
	d.propose()
	return out
}

// Asks is what the desk waits for; nil where it takes what comes.
func (d *Desk) Asks() Question {
	switch {
	case d.sit.hand != nil:
		return d.sit.hand.Asks()
	case d.sit.act == breaking:
		return d.proposed().WhichSpecimen
	case d.sit.act == facing:
		return WhichHalfNext{}
	}
	return nil
}

// whichSpecimen proposes what was taken back last, else what is next to break. It
// names no adhesive: breaking is blind.
func (d *Desk) whichSpecimen() WhichSpecimen {
	queue, early := d.rec.BreakQueue(d.now())
	q := WhichSpecimen{Left: d.rec.BreaksLeft(d.now())}
	if d.sit.again != nil {
		q.Next = d.sit.again.String()
		return q
	}
	if len(queue) == 0 {
		return q
	}
	next := queue[0]
	q.Next, q.Board = d.rec.Label(next.Specimen.Code, d.now()).String(), next.Specimen.Board
	if early {
		q.NotBefore = next.Window.Opens
	}
	if before := d.rec.Life(next.Specimen.Code).LoadedBefore(); before != nil {
		q.Before = &before.Try
	}
	return q
}

// propose puts in hand, in a sitting over faces, the half that was taken back last,
// else the next one.
func (d *Desk) propose() {
	queue := d.rec.FacesQueue()
	switch {
	case d.sit.act != facing:
		return
	case d.sit.again != nil:
		d.hold(*d.sit.again, item{}, false)
		return
	case len(queue) == 0:
		return
	}
	open := slices.DeleteFunc(slices.Clone(queue), func(c labels.Code) bool { return slices.Contains(d.sit.passed, c) })
	if len(open) == 0 { // all others are read: again those that were not to hand
		open, d.sit.passed = queue, nil
	}
	label := d.rec.Label(open[0], d.now())
	d.hold(Subject{Text: label.String(), Code: label.Whole().String(), Half: label.Half}, item{}, false)
}

// hold takes a subject in hand.
func (d *Desk) hold(sub Subject, it item, named bool) {
	f, _ := d.FillFaces(sub, Faces{})
	if d.sit.act == facing {
		f.left = len(d.rec.FacesQueue())
	} else {
		f, _ = d.Fill(sub, Try{Rig: d.sit.rig})
	}
	if f.it, f.named = it, named; d.sit.act == standing { // as short as a scan
		f.briefly, f.inWords = true, true
	}
	d.sit.hand, d.sit.again = f, nil
}

// reply takes a line as an answer to what is asked. It reports false where the
// line is none, and means what it says: a card, or a code.
func (d *Desk) reply(out *Outcome, line string) (taken bool, err error) {
	text := strings.TrimSpace(line)
	h := d.sit.hand
	switch word := strings.ToLower(text); {
	case h == nil && d.sit.act == standing, d.meansItself(text):
		return false, nil
	case word == "u":
		return true, d.backOne(out)
	case word == "rig" && d.sit.act != facing:
		return true, d.otherRig(out)
	case h == nil && text == "":
		return true, d.takeProposed(out)
	case h == nil && d.sit.act == breaking && IsDummy(d.rec, text):
		return true, d.takeUp(out, item{sub: Dummy()}, true)
	case h == nil && d.sit.again != nil && d.isSerial(text):
		return true, d.whichMeant(out, text)
	case h == nil && d.sit.missed && d.isSerial(text):
		return true, d.unanswered(out, refuse("%s after a line that was not taken: scan its label or type its whole code, or Enter for the one proposed", Quoted(text)))
	case h == nil && d.isReading(text):
		return true, d.unanswered(out, refuse("%s: a reading of which specimen? Enter takes the one proposed", Quoted(text)))
	case h == nil:
		return false, nil
	case text == "" && h.faces && h.next() == askWood:
		return true, d.pass(out)
	}
	if why := d.misread(text); why != nil {
		return true, d.unanswered(out, why)
	}
	if h.since.IsZero() {
		h.since = d.now()
	}
	if !h.Answer(out, text) {
		return true, nil
	}
	return true, d.filled(out)
}

// isSerial reports whether a text is a bare number that a specimen has.
func (d *Desk) isSerial(text string) bool {
	_, _, err := d.rec.Resolve(text)
	_, number := strconv.ParseUint(text, 10, 32)
	return err == nil && number == nil
}

// misread says that a text is a misread code: that is no answer; nil where it is
// none.
func (d *Desk) misread(text string) *Refusal {
	var wrong *labels.CheckError
	if _, err := labels.Parse(text); errors.As(err, &wrong) {
		return unreadable(d.rec, text, err)
	}
	return nil
}

// meansItself reports whether a line is no answer, whatever is asked.
func (d *Desk) meansItself(text string) bool {
	h := d.sit.hand
	return d.isCard(text) || d.namesOne(text) || h != nil && h.inWords && h.next() == askEnding && d.isSerial(text)
}

// isCard reports whether a line is a card.
func (d *Desk) isCard(text string) bool {
	it, err := d.lines().item(text)
	return err == nil && it.card != nil
}

// namesOne reports whether a text names a specimen and is no answer: a code with
// its check character, a name of the person's own, a serial with its half. A bare
// number is an answer.
func (d *Desk) namesOne(text string) bool {
	if isFullCode(text) {
		return true
	}
	sp, half, err := d.rec.Resolve(text)
	_, number := strconv.ParseFloat(text, 64)
	return err == nil && number != nil && (sp.CalledBy(text) || half != 0)
}

// isReading reports whether a text that names nothing is what a gauge shows.
func (d *Desk) isReading(text string) bool {
	_, _, unknown := d.rec.Resolve(text)
	_, err := quantity.ParseReading(inUnit(text, "psi"))
	return unknown != nil && err == nil
}

// unanswered says that a text answers nothing, and asks again.
func (d *Desk) unanswered(out *Outcome, why *Refusal) error {
	out.add(NotTaken{why})
	return nil
}

// takeProposed takes in hand what the question showed.
func (d *Desk) takeProposed(out *Outcome) error {
	if d.sit.act != breaking || d.proposed().Next == "" {
		return d.unanswered(out, refuse("nothing is proposed: scan a label, or type its code"))
	}
	q := d.proposed()
	if d.progress(q.Next) != q.progress {
		return d.overtaken(out, q.Next)
	}
	sub := Subject{Text: q.Next, Code: q.Next}
	if d.sit.again != nil && d.sit.again.String() == q.Next {
		sub = *d.sit.again
	}
	return d.takeUp(out, item{sub: sub}, false)
}

// otherRig forgets the rig, so that it is asked; what else was said stays.
func (d *Desk) otherRig(out *Outcome) error {
	if rigs := d.rec.Study().Rigs; len(rigs) < 2 {
		return d.unanswered(out, refuse("the plan has no other rig than %s", RigNames(rigs)))
	}
	d.sit.rig, d.sit.other = "", true
	if h := d.sit.hand; h != nil {
		h.rigWas, h.rigIs = cmp.Or(h.try.Rig, h.rigWas), ""
		h.forget(askRig)
	}
	return nil
}

// pass leaves a half for later, and proposes another.
func (d *Desk) pass(*Outcome) error {
	h := d.sit.hand
	code, err := labels.Parse(h.sub.String())
	if err == nil {
		d.sit.passed = append(d.sit.passed, d.rec.Meant(code, d.now()))
	}
	d.sit.hand = nil
	d.propose()
	return nil
}

// oneByOne reports whether what is scanned is taken in hand and asked about,
// instead of being recorded at once.
func (d *Desk) oneByOne() bool { return d.stage == schedule.Break || d.sit.act == facing }

// takeOne takes up the only subject of a line.
func (d *Desk) takeOne(out *Outcome, items []item) error {
	if len(items) > 1 {
		d.refuse(out, refuse("%d codes on one line, and each is asked about", len(items)).with(Advice{"scan one, answer what is asked, then scan the next"}))
		return nil
	}
	return d.takeUp(out, items[0], true)
}

// takeUp puts down what is in hand, and takes up what a line names.
func (d *Desk) takeUp(out *Outcome, it item, named bool) error {
	if err := d.putDown(out); err != nil {
		return err
	}
	sub := it.sub
	switch {
	case sub.Bath != "":
		d.refuse(out, refuse("%s is a bath; name one specimen", sub))
		return nil
	case d.sit.act == facing && sub.Half == 0:
		d.refuse(out, ParseHalf(sub))
		d.propose()
		return nil
	}
	if d.toEcho(sub) {
		out.add(ReadAs{[]Subject{sub}})
	}
	for _, doubt := range it.doubts {
		out.add(TimeInDoubt{doubt, it.at})
	}
	d.hold(sub, it, named)
	d.asked, d.since, d.sit.missed = nil, d.now(), false
	out.add(InHand{sub})
	if d.sit.act != facing && sub.Code != tracker.DummyCode {
		out.Notes = append(out.Notes, d.Foresee(sub).Notes...)
	}
	return nil
}

// backOne takes back the last answer about what is in hand, else the specimen in
// hand, else what was recorded last: that is proposed again.
func (d *Desk) backOne(out *Outcome) error {
	h := d.sit.hand
	if h != nil {
		if answer, ok := h.unsay(); ok {
			out.add(Unsaid{h.sub, answer})
			return nil
		}
	}
	if h != nil && !h.faces {
		d.sit.hand = nil
		out.add(PutBack{h.sub})
		return nil
	}
	var last []tracker.Event
	if n := len(d.done); n > 0 {
		last = d.done[n-1]
	}
	if err := d.undo(out); err != nil || d.sit.act == standing || len(last) == 0 {
		return err
	}
	d.sit.again = &Subject{Text: Shown(last[0].Code, last[0].Half), Code: last[0].Code, Half: last[0].Half}
	if err := d.refresh(); err != nil {
		return err
	}
	d.propose()
	return nil
}

// filled records what is in hand once nothing is missing of it.
func (d *Desk) filled(out *Outcome) error {
	h := d.sit.hand
	d.since = d.now()
	d.sit.other = d.sit.other && h.try.Rig == ""
	if d.sit.rig = h.try.Rig; h.Asks() != nil {
		return nil
	}
	return d.close(out, "")
}

// putDown ends with what is in hand, because something else is taken up, or
// nobody answers any more. What was said is kept: a reading of which nobody said
// how it ended is that of a bond that separated; where that was asked, with a note.
// A label that was read under the card of the break, and nothing more, is kept as
// that, and asks for its reading.
func (d *Desk) putDown(out *Outcome) error {
	h := d.sit.hand
	if h != nil && h.try.Rig == "" && h.rigWas != "" {
		_ = h.set(askRig, h.rigWas) // another was asked for, and never named
	}
	switch {
	case h == nil:
		return nil
	case h.faces && h.try.WoodFailure != "", !h.faces && h.how != "" && (h.try.Reading != "" || !h.how.NeedsReading()):
		return d.close(out, "")
	case h.try.Reading != "":
		if err := h.set(askEnding, string(tracker.Separated)); err != nil {
			return d.keepLabel(out, h.try.Reading)
		}
		if d.sit.act == standing {
			return d.close(out, "") // the next label says so
		}
		out.add(TakenAsSeparated{h.sub, h.try.Reading})
		return d.close(out, "how it ended was not said")
	case d.sit.act == standing && h.named:
		return d.keepLabel(out, "")
	}
	d.sit.hand = nil
	return nil
}

// close records the form in hand, with a note, and lets it go.
func (d *Desk) close(out *Outcome, note string) error {
	h := d.sit.hand
	d.sit.hand = nil
	kind := tracker.Tried
	if h.faces {
		kind = tracker.FacesRead
	}
	fact := d.handFact(h, kind, note)
	if h.faces {
		percent, err := ParsePercent(h.try.WoodFailure)
		if err != nil {
			return err
		}
		fact.Faces = &tracker.Faces{WoodFailure: percent, Mode: h.try.Mode, Shallow: h.shallow}
		return d.keepAnswered(out, fact)
	}
	if h.how == tracker.FellApart {
		h.try.Rig = "" // it met none
	}
	try, err := d.tryOf(out, h.try)
	if err != nil { // the rig was forgotten, perhaps
		d.sit.hand = h
		return d.keepLabel(out, strings.TrimSpace(h.try.Reading+" "+h.try.Ended))
	}
	fact.Try = &try
	if err := d.keepAnswered(out, fact); err != nil {
		return err
	}
	return d.came(out, fact)
}

// keepLabel records that a label was read for a break, of which nothing more is
// known than a remark.
func (d *Desk) keepLabel(out *Outcome, note string) error {
	h := d.sit.hand
	d.sit.hand = nil
	fact := d.handFact(h, tracker.Staged, note)
	fact.Stage, fact.Via = schedule.Break, "scan"
	return d.keepAnswered(out, fact)
}

// handFact is an event about what is in hand, at the time behind its code or when
// its first answer came.
func (d *Desk) handFact(h *Filling, kind tracker.Kind, note string) tracker.Event {
	now := d.now().UTC().Truncate(time.Millisecond)
	fact := about(d.event(kind), h.sub)
	fact.Recorded, fact.Count = now, d.tick(now)
	if note != "" {
		fact.Note = strings.Join(slices.DeleteFunc([]string{fact.Note, note}, func(s string) bool { return s == "" }), "; ")
	}
	switch {
	case h.it.timed:
		fact.At, fact.Doubt = h.it.at, schedule.InDoubt(h.it.doubts)
	case !d.Timed && !h.since.IsZero():
		fact.At = schedule.At(h.since.UTC().Truncate(time.Millisecond))
	case !d.Timed:
		fact.At = schedule.At(now)
	}
	return fact
}

// keepAnswered commits one event of a sitting, for UNDO to take back, and tells
// what the record makes of it.
func (d *Desk) keepAnswered(out *Outcome, fact tracker.Event) error {
	events := []tracker.Event{fact}
	d.before(out, events)
	stood := footingOf(d.rec, events)
	verdicts, err := d.record(events...)
	if err != nil {
		return err
	}
	d.since, d.done = d.now(), append(d.done, events)
	d.sit.kept = append(d.sit.kept, fact)
	if err := d.told(out, verdicts); err != nil {
		return err
	}
	if err := d.refresh(); err != nil {
		return err
	}
	stood.sinceThen(out, d.rec)
	d.propose()
	return nil
}

// Leave ends what is in hand when no more lines come, and sums a sitting up.
func (d *Desk) Leave() (out Outcome, err error) {
	if err = d.putDown(&out); err != nil || d.sit.act == standing {
		return out, err
	}
	if err := d.refresh(); err != nil {
		return out, err
	}
	stood := Stood{Faces: d.sit.act == facing, Open: d.tally.Open(), Left: len(d.rec.FacesQueue())}
	if !stood.Faces {
		stood.Left = d.rec.BreaksLeft(d.now())
	}
	for _, e := range d.sit.kept {
		switch {
		case d.rec.Voided(e.ID), e.Code == tracker.DummyCode:
		case e.Faces != nil, e.Try != nil && e.Try.How.Parts():
			stood.Done++
		default:
			stood.Whole++
		}
	}
	d.sit = sitting{}
	out.add(stood)
	return out, nil
}
