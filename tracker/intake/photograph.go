package intake

import (
	"errors"
	"slices"
	"strings"
	"time"

	"soaktag/labels"
	"soaktag/labels/photo"
	"soaktag/schedule"
	"soaktag/tracker"
)

// A Photograph is what a camera saw at one moment: labels, tags and cards.
// Photographs that come in together are a Roll, which finds out when they were
// taken; one that is taken by itself is a roll of one.
type Photograph struct {
	Name  string        // what a person calls it, such as its path; for messages only
	Named bool          // by the person, not met in a folder
	Sum   string        // of its bytes, as tracker.PhotoSum has it
	Exif  photo.Exif    // what the camera wrote beside the picture
	Found []photo.Found // what is to be seen in it
	Err   error         // why it cannot be taken; nil where it can

	Load func() ([]byte, error) // the bytes, when it is kept

	Said  schedule.Span // when somebody says that it was taken; zero: nobody was asked
	Doubt string        // about Said

	roll  *Roll
	stamp tracker.Event // when it was taken: At, Doubt, Device and DeviceTime

	handed *tracker.Event    // when a phone says that it was taken, as stamp; nil where no phone sent it
	unsure map[string]string // by what a symbol says: why only one of two readings has it
}

// has reports whether anything was found that bears on a study.
func (p *Photograph) has() bool { return slices.ContainsFunc(p.Found, photo.Found.Ours) }

// clock returns the time that a clock symbol in the picture shows.
func (p *Photograph) clock() (time.Time, bool) {
	for _, f := range p.Found {
		if t, ok := photo.ParseClock(f.Text); ok && f.Ours() && !f.Ambiguous {
			return t, true
		}
	}
	return time.Time{}, false
}

// id names an event by the photograph and by what in it the event is about.
func (p *Photograph) id(about string, half int) string {
	return tracker.PhotoEventID(p.Sum, about, half)
}

// A reading is one photograph being taken.
type reading struct {
	*Photograph
	desk *Desk
	out  *Outcome
	then past            // what was recorded from it before
	news map[string]bool // events that it added
}

// take does what a photograph says: first its stage and WHO cards, then what
// stands in it for specimens, then YES and UNDO, which mean what was taken before.
func (p *Photograph) take(d *Desk, out *Outcome) (err error) {
	if p.roll == nil {
		told, err := d.Roll(Given{}, p).develop()
		if out.add(told.Notes...); err != nil {
			return err
		}
	}
	if p.Err != nil {
		return p.Err
	}
	rd := &reading{Photograph: p, desk: d, out: out, then: d.pastOf(p), news: map[string]bool{}}
	err = rd.take()
	if left := (*gone)(nil); errors.As(err, &left) && len(p.roll.Photographs) > 1 {
		p.Err = left.error
		return nil
	}
	if err == nil {
		p.roll.taken++
	}
	return err
}

func (rd *reading) take() error {
	d := rd.desk
	if !rd.has() {
		rd.tellNothing()
		return nil
	}
	rd.expire()
	cards, sightings := rd.sightings()
	rd.out.add(Twins(rd.Name, rd.Found)...)
	rd.setCards(cards)
	_, clock := rd.clock()
	rd.out.add(PhotographSeen{rd.Name, d.rec.Corrected(rd.stamp), len(sightings), cards, clock})
	rd.tellForeign()
	verdicts, err := rd.keep(sightings)
	if err != nil {
		return err
	}
	d.since = d.rec.Corrected(rd.stamp).Mid()
	rd.out.add(PhotographTaken{d.rec.Corrected(rd.stamp), d.stage, rd.perFound(verdicts), rd.Found})
	return rd.answerCards(cards, len(sightings) > 0)
}

// tellNothing says that nothing was found. In a folder there may be photographs
// of anything; one that somebody named should show something.
func (rd *reading) tellNothing() {
	rd.tellForeign()
	if len(rd.Found) == 0 { // else something was found, and was asked for
		rd.out.add(NoLabel{rd.Name, rd.Named, rd.roll.Any})
	}
	rd.out.add(PhotographTaken{Taken: rd.desk.rec.Corrected(rd.stamp)})
}

// tellForeign tells QR codes that are none of ours.
func (rd *reading) tellForeign() {
	for _, f := range rd.Found {
		if !f.Ours() {
			rd.out.add(ForeignCode{rd.Name, f.Text})
		}
	}
}

// perFound says of everything found which event stands for it now; nil for none.
func (rd *reading) perFound(verdicts []tracker.Verdict) []*tracker.Verdict {
	all := make([]*tracker.Verdict, len(rd.Found))
	for i, f := range rd.Found {
		id := rd.id(f.Code.Whole().String(), f.Half)
		if f.Code.Serial == 0 {
			id = rd.id(f.Text, 0)
		}
		if now, ok := rd.desk.rec.Stands(id); ok {
			id = now.ID
		}
		if n := slices.IndexFunc(verdicts, func(v tracker.Verdict) bool { return v.Event.ID == id }); n >= 0 {
			all[i] = &verdicts[n]
		}
	}
	return all
}

// A sighting is something that stands in a photograph for a specimen, a bath or
// a trial label.
type sighting struct {
	sub      Subject
	probable bool   // recognised, not decoded, or read by one of two readers alone
	unsure   string // why, where it is the latter
}

// last orders sightings: what was decoded, what was only recognised, then baths,
// which mean only those that do not show themselves.
func (s sighting) last() int {
	switch {
	case s.sub.Bath != "":
		return 2
	case s.probable:
		return 1
	}
	return 0
}

// sightings reads what was found: cards, and what is to be recorded. Two
// answers for one place are neither.
func (rd *reading) sightings() (cards []labels.Card, all []sighting) {
	var doubtful []string
	lines := rd.desk.lines()
	for _, f := range rd.Found {
		_, clock := photo.ParseClock(f.Text)
		switch it, err := lines.item(f.Text); {
		case clock || !f.Ours():
		case f.Ambiguous:
			doubtful = append(doubtful, Seen(f))
		case err != nil:
			rd.refuse(err)
		case it.card != nil:
			cards = append(cards, *it.card)
			rd.tellProbableCard(f)
		default:
			unsure := rd.unsure[f.Text]
			all = append(all, sighting{it.sub, f.How == photo.Matched || unsure != "", unsure})
		}
	}
	if len(doubtful) > 0 {
		rd.refuse(refuse("%s were read in one place", strings.Join(doubtful, " and ")).with(LookAndType{}))
	}
	return cards, all
}

// refuse notes something in a photograph that is not recorded. What the
// photograph before asks still asks: unlike a scan, nobody waits for the answer.
func (rd *reading) refuse(err error) {
	r, ok := err.(*Refusal)
	if !ok {
		r = &Refusal{Why: err.Error()}
	}
	rd.out.add(NotRecorded{r, rd.desk.stage})
}

// Seen is what was found as a person reads it.
func Seen(f photo.Found) string {
	if f.Code.Serial != 0 {
		return f.Code.String()
	}
	if card, ok := labels.ParseCard(f.Text, nil); ok && f.Ours() {
		return "card " + card.Title()
	}
	return Quoted(f.Text)
}

// Twins notes which labels were read in several places of one photograph: there
// is only one of each, so all but one were misread or are copies.
func Twins(name string, found []photo.Found) (notes []Note) {
	var order []string
	places := map[string]int{}
	for _, f := range found {
		text, single := Seen(f), f.Code.Serial != 0
		if t, ok := tracker.TrialOf(f.Text); ok && f.Ours() {
			text, single = t.String(), true
		}
		if !single || f.Ambiguous {
			continue
		}
		if places[text]++; places[text] == 2 {
			order = append(order, text)
		}
	}
	for _, text := range order {
		notes = append(notes, Twin{name, text, places[text]})
	}
	if len(order) > 0 {
		notes = append(notes, Advised{LookAtTwins{}})
	}
	return notes
}

// Printed lists what was printed for a study, to recognise damaged labels by.
func Printed(rec *tracker.Record) *photo.List {
	var codes []labels.Code
	for _, sp := range rec.Specimens() {
		codes = append(codes, sp.Code)
	}
	return photo.NewList(codes, CardsOf(rec)...)
}
