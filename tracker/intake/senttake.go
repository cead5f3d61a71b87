package intake

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

// onPhone is the reason that YES on a phone stands for.
const onPhone = "confirmed on the phone"

// take records what an entry says, all of it in one transaction. Come again, it tells
// what it recorded, and records nothing. The error is an *Unfit where the id is that
// of another entry; a *Refusal where it cannot be taken as it is; else the store's.
func (s Sent) take(d *Desk, out *Outcome) (err error) {
	s.picture = tracker.PhotoSum(s.Photo)
	if err := s.here(d); err != nil {
		return err
	}
	s.sum = s.says()
	said, err := s.before(d)
	if err != nil {
		return err
	}
	if err := d.standFor(s); err != nil {
		return err
	}
	defer d.standDown()
	if d.sending.undone && len(said) == 0 {
		out.add(UndoneBefore{})
	}
	if len(said) > 0 {
		return s.again(d, out, said)
	}
	return s.first(d, out)
}

// first takes an entry that was never taken.
func (s Sent) first(d *Desk, out *Outcome) error {
	switch s.Kind {
	case SentPhoto:
		return s.photograph(d, out)
	case SentBreak:
		return d.answerForm(out, s.Break)
	case SentFaces:
		return s.faces(d, out)
	case SentEnded:
		return d.answerForm(out, s.ended())
	case SentUndo:
		return s.undo(d, out, runOfSent(s.Of))
	case SentYes:
		return s.yes(d, out, runOfSent(s.Of))
	case SentAccept:
		return s.accept(d, out)
	case SentMeasure:
		return d.answerForm(out, s.Gauge)
	}
	return s.line(d, out)
}

// standFor makes the desk that of the phone at the moment of an entry.
func (d *Desk) standFor(s Sent) error {
	e := Now(d.now())
	var stage schedule.Stage
	stage, e.Note = s.stageIn(d.rec)
	e.By = cmp.Or(s.By, d.rec.Study().By)
	s.on(&e, d.Zone())
	d.Entry = e
	if err := d.compareClock(s); err != nil {
		return err
	}
	d.stage, d.stays, d.since = stage, true, d.rec.Corrected(d.event(tracker.Staged)).Mid()
	d.asked, d.done, d.tried, d.sit, d.tally = nil, nil, nil, sitting{}, Tally{open: map[string]tracker.Mark{}}
	d.sending = &sending{Sent: s, own: d.run, undone: d.rec.Voided(s.ID)}
	return nil
}

// stageIn is the stage in force on the phone. One that the study no longer has is kept
// as a note: what was read then went somewhere, and asks which stage that was.
func (s Sent) stageIn(rec *tracker.Record) (stage schedule.Stage, note string) {
	if strings.TrimSpace(s.Stage) == "" {
		return "", ""
	}
	stage, err := ParseStage(rec, s.Stage)
	if err != nil && (s.Kind == SentLine || s.Kind == SentPhoto) {
		note = fmt.Sprintf("read at %s on the phone, a stage that the study does not have", Quoted(oneLine(s.Stage)))
	}
	return stage, note
}

// compareClock keeps what is new of the phone's clock, before the time of anything is
// looked at: whom a bath's tag means hangs on it.
func (d *Desk) compareClock(s Sent) error {
	if seen := s.clockSeen(d); seen != nil {
		if _, err := d.db.Record(*seen); err != nil {
			return err
		}
		if err := d.refresh(); err != nil {
			return err
		}
	}
	at := d.rec.Corrected(d.event(tracker.Staged)).Mid()
	if d.Doubt == "" && d.oddTime(at) == LongBefore {
		d.Doubt = "long before this study"
	}
	return nil
}

// standDown ends with an entry. The stage stays in force for as long as after any scan.
func (d *Desk) standDown() { d.sending, d.stays = nil, false }

// InForce is the stage in force at the desk, and until when; empty for none.
func (d *Desk) InForce() (schedule.Stage, time.Time) {
	if d.stage == "" || d.now().Sub(d.since) > CardLasts {
		return "", time.Time{}
	}
	return d.stage, d.since.Add(CardLasts)
}

// Ago is how long before now the last entry of a phone was made.
func (d *Desk) Ago() time.Duration { return d.now().Sub(d.since) }

// answerForm hands a form to the desk; what it asks is left open for YES.
func (d *Desk) answerForm(out *Outcome, form Input) error {
	if s := d.sending; s.Kind == SentBreak && s.Photo != nil {
		if err := FitToKeep("the photograph", s.Photo); err != nil {
			out.add(PictureNotKept{err.Error()})
		} else {
			s.beside = s.Photo
		}
	}
	if err := form.take(d, out); err != nil {
		return err
	}
	if len(out.Asks()) > 0 {
		out.add(LeftOpen{})
	}
	return nil
}

// ended is the form of what came apart by itself, or left the count.
func (s Sent) ended() Input {
	if how, err := tracker.ParseHow(s.Ended); err == nil {
		return Try{Subject: s.Break.Subject, Ended: string(how)}
	}
	return leaving{Stage{Subjects: []string{s.Break.Subject}, Name: tracker.PlainWord(s.Ended)}}
}

// A leaving is a form: specimens left the count, or came back into it.
type leaving struct{ Stage }

func (f leaving) take(d *Desk, out *Outcome) error {
	if _, ok := parseEnd(f.Name); !ok {
		return refuse("%s is no way for a specimen to end; nothing recorded", Quoted(f.Name)).
			with(Advice{"fell apart, lost, found, damaged or withdrawn"})
	}
	f.Device, f.DeviceTime = d.Device, d.DeviceTime
	return f.Stage.take(d, out)
}

// faces is a reading of the faces of one half, or a photograph of them alone.
func (s Sent) faces(d *Desk, out *Outcome) error {
	if s.Photo != nil && strings.TrimSpace(s.Faces.WoodFailure) == "" {
		return d.answerForm(out, Picture{Subject: s.Faces.Subject, Bytes: s.Photo})
	}
	if s.Photo != nil {
		if err := FitToKeep("the photograph", s.Photo); err != nil {
			out.add(PictureNotKept{err.Error()})
		} else {
			s.Faces.Picture = s.Photo
		}
	}
	return d.answerForm(out, s.Faces)
}

// line takes what was typed, tapped or seen by the camera: codes and cards, as a
// scanner sends them.
func (s Sent) line(d *Desk, out *Outcome) error {
	items, err := d.lines().read(s.Line, d.Recorded)
	if err != nil {
		d.refuse(out, err)
		return nil
	}
	var subjects []item
	for _, it := range items {
		if it.card == nil {
			subjects = append(subjects, it)
		}
	}
	if len(items) > 1 {
		out.add(RunTogether{len(items)})
	}
	var events []tracker.Event
	for _, it := range items {
		if it.card != nil {
			if err := s.card(d, out, *it.card, len(subjects) > 0); err != nil {
				return err
			}
			continue
		}
		made, err := d.scanSent(out, it)
		if err != nil {
			d.refuse(out, err)
			return nil
		}
		events = append(events, made...)
	}
	return d.keepScanned(out, events)
}

// scanSent makes the events of a label under the stage in force. At the press a label
// without a reading is kept as that, and asks for it.
func (d *Desk) scanSent(out *Outcome, it item) ([]tracker.Event, error) {
	if d.stage == schedule.Break && (it.sub.Bath != "" || it.sub.Several != nil) {
		return nil, refuse("%s is several; name one specimen to be broken", it.sub)
	}
	return d.scan(out, it)
}

// card does what a card says, as at a scanner; YES and UNDO mean the entry before.
func (s Sent) card(d *Desk, out *Outcome, card labels.Card, among bool) error {
	switch card.Kind {
	case labels.CardStage:
		stage, err := ParseStage(d.rec, card.Name)
		if err != nil {
			d.refuse(out, err)
			return nil
		}
		d.stage = stage
		out.add(StageInForce{stage, d.since.Add(CardLasts)})
	case labels.CardWho:
		d.By = card.Name
		out.add(Who{card.Name})
	case labels.CardYes, labels.CardUndo:
		return s.answerCard(d, out, card, among)
	case labels.CardTest:
		out.add(ScannerTest{labels.Scanner(s.Line)})
	}
	out.add(CardTaken{card, d.stage})
	return nil
}

func (s Sent) answerCard(d *Desk, out *Outcome, card labels.Card, among bool) error {
	of, known := s.theOther(d)
	switch {
	case among:
		d.refuse(out, refuse("%s lies among codes: nothing is done with it", strings.ToUpper(card.Title())).
			with(Advice{"give the card alone, or use the button"}))
		return nil
	case !known && card.Kind == labels.CardYes:
		out.add(NothingAsks{})
		return nil
	case !known:
		out.add(NothingToTakeBack{})
		return nil
	case card.Kind == labels.CardYes:
		return s.yes(d, out, of)
	}
	return s.undo(d, out, of)
}

// undo takes back what another entry recorded. Of one that did not come yet it is
// kept: when that comes, it is recorded as taken back.
func (s Sent) undo(d *Desk, out *Outcome, of run) error {
	facts, err := s.meant(d, of)
	switch {
	case err != nil:
		return err
	case facts == nil:
		void := d.voidOf(tracker.Event{ID: s.Of}, "taken back on the phone before it came")
		if _, err := d.record(void); err != nil {
			return err
		}
		out.add(UndoAhead{})
		return nil
	case len(facts) == 0:
		out.add(NothingToTakeBack{})
		return nil
	}
	d.done = [][]tracker.Event{facts}
	_, aside, err := d.takeBack(out, func(e tracker.Event) tracker.Event { return d.voidOf(e, "taken back on the phone") })
	for _, e := range aside {
		out.add(AsideAlready{e})
	}
	return meanwhile(err)
}

// yes accepts what another entry asks.
func (s Sent) yes(d *Desk, out *Outcome, of run) error {
	facts, err := s.meant(d, of)
	if err != nil {
		return err
	}
	if facts == nil {
		return refuse("the entry that YES means has not come yet: nothing is accepted").with(Advice{"say YES again once it is green"})
	}
	for _, e := range facts {
		if now, stands := d.rec.Stands(e.ID); stands {
			d.asked = append(d.asked, d.openOf(now)...)
		}
	}
	if len(d.asked) == 0 {
		out.add(NothingAsks{})
		return nil
	}
	return d.yes(out, onPhone)
}

// accept lets stand what asks, whoever recorded it.
func (s Sent) accept(d *Desk, out *Outcome) error {
	marks, _, err := d.chosen(s.Stand)
	if err != nil {
		return err
	}
	d.asked = slices.DeleteFunc(marks, func(m tracker.Mark) bool {
		e, _ := d.rec.Event(m.Event)
		return oneOfTwo(e, m)
	})
	if len(d.asked) == 0 {
		out.add(NothingAsks{})
		return nil
	}
	return d.yes(out, onPhone)
}

// openOf are the marks of an event that ask and that YES can answer: which of two
// readings of one label is right it cannot.
func (d *Desk) openOf(e tracker.Event) []tracker.Mark {
	return slices.DeleteFunc(slices.Clone(d.rec.Verdict(e).Marks), func(m tracker.Mark) bool {
		return !m.Open() || oneOfTwo(e, m)
	})
}

// StillAsk counts, of entries of phones, those that recorded something which asks as
// the record is now.
func (d *Desk) StillAsk(entries []string) (n int, err error) {
	if err := d.refresh(); err != nil {
		return 0, err
	}
	for _, entry := range entries {
		if slices.ContainsFunc(d.sent.events(d.rec, runOfSent(entry)), d.asks) {
			n++
		}
	}
	return n, nil
}

// asks reports whether an event counts and asks.
func (d *Desk) asks(e tracker.Event) bool {
	return !d.rec.Voided(e.ID) && slices.ContainsFunc(d.rec.Verdict(e).Marks, tracker.Mark.Open)
}

// meant are the facts that another entry of this phone recorded, those of its
// photograph among them; nil where no such entry came yet.
func (s Sent) meant(d *Desk, of run) ([]tracker.Event, error) {
	said := d.sent.events(d.rec, of)
	if len(said) == 0 {
		return nil, nil
	}
	switch {
	case !s.Phone.made(said[0]):
		return nil, &Unfit{Why: "the entry that is meant was made on another device", Clash: true}
	case said[0].Kind == tracker.Voided:
		return nil, refuse("UNDO is not taken back").with(Advice{"record it again"})
	}
	facts := []tracker.Event{}
	for _, e := range said {
		if e.Kind == tracker.Photographed {
			if read := d.pastOf(&Photograph{Sum: e.Photo}).entries; len(read) > 0 {
				return read, nil
			}
		}
		if isFact(e) {
			facts = append(facts, e)
		}
	}
	return facts, nil
}

// theOther is the entry that a card means: the one that the phone says, else its last
// before this one that recorded a fact which was not taken back; false for none.
func (s Sent) theOther(d *Desk) (run, bool) {
	if s.Of != "" {
		return runOfSent(s.Of), true
	}
	var mine []tracker.Event
	for _, e := range d.rec.Events() {
		_, named := runOf(e.ID)
		if named && s.Phone.made(e) && e.Count < s.N && (isFact(e) || e.Kind == tracker.Photographed) {
			mine = append(mine, e)
		}
	}
	slices.SortFunc(mine, func(a, b tracker.Event) int { return cmp.Compare(b.Count, a.Count) })
	for _, e := range mine {
		of, _ := runOf(e.ID)
		facts, err := s.meant(d, of)
		if err == nil && slices.ContainsFunc(facts, func(f tracker.Event) bool { return !d.rec.Voided(f.ID) }) {
			return of, true
		}
	}
	return run{}, false
}

// again tells what an entry recorded when it came before.
func (s Sent) again(d *Desk, out *Outcome, said []tracker.Event) error {
	out.add(SentAgain{})
	switch said[0].Kind {
	case tracker.Voided:
		return s.undoneAgain(d, out, said)
	case tracker.Accepted:
		out.add(Accepted{len(said), said[0].Reason, said})
		return nil
	}
	if s.Kind == SentPhoto {
		err := FitToKeep("the photograph", s.Photo)
		if err == nil {
			return s.photograph(d, out)
		}
		out.add(PictureNotKept{err.Error()})
	}
	d.cardsAgain(out, s)
	facts := slices.DeleteFunc(slices.Clone(said), func(e tracker.Event) bool { return !isFact(e) })
	var verdicts []tracker.Verdict
	for _, e := range facts {
		verdicts = append(verdicts, d.rec.Verdict(e))
	}
	if err := d.told(out, verdicts); err != nil {
		return err
	}
	for _, e := range facts {
		if d.rec.Voided(e.ID) {
			out.add(AsideAlready{e})
		} else if e.Kind == tracker.Tried {
			return d.came(out, e)
		}
	}
	return nil
}

func (s Sent) undoneAgain(d *Desk, out *Outcome, said []tracker.Event) error {
	var back []tracker.Event
	for _, v := range said {
		if e, known := d.rec.Event(v.Target); known {
			back = append(back, e)
		}
	}
	if len(back) == 0 {
		out.add(UndoAhead{})
		return nil
	}
	out.add(TakenBack{back})
	return nil
}

// cardsAgain tells once more which stage a line put in force and who works.
func (d *Desk) cardsAgain(out *Outcome, s Sent) {
	items, err := d.lines().read(s.Line, d.Recorded)
	if s.Kind != SentLine || err != nil {
		return
	}
	for _, it := range items {
		if it.card != nil && (it.card.Kind == labels.CardStage || it.card.Kind == labels.CardWho) {
			_ = s.card(d, out, *it.card, true)
		}
	}
}
