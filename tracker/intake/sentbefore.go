package intake

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"slices"

	"github.com/google/uuid"

	"soaktag/tracker"
)

// What an entry of a phone recorded has ids that follow from the entry's own:
//
//	6 bytes   of SHA-256(entry's id, what the event is about)
//	4 bytes   of SHA-256(what the entry says), but for version 8 and variant
//	6 bytes   of SHA-256(entry's id): the command, as with all ids of ours
//
// So the record itself tells whether an entry was taken, by whom it was sent and
// whether it said the same, after a restart as well, and beside other programs.

// runOfSent is the command that an entry is.
func runOfSent(entry string) (r run) {
	sum := sha256.Sum256([]byte(entry))
	copy(r[:], sum[:])
	return r
}

// says is a hash of what an entry says: not of its clock and of what was found, which
// the phone may know better when it sends it again.
func (s Sent) says() [32]byte {
	s.At = shownAt{shown: s.At.shown}
	s.Found, s.Seen, s.Phone.Name, s.sum = nil, nil, "", [32]byte{}
	picture := s.picture
	s.Photo, s.Faces.Picture = nil, nil
	text, err := json.Marshal(struct {
		Sent
		Shown   int64
		Picture string
	}{s, s.now().UnixMilli(), picture})
	if err != nil {
		panic(err) // texts and numbers alone
	}
	return sha256.Sum256(text)
}

// sumOf is the name of a photograph. That of the entry in hand is known: some megabytes
// are not hashed twice.
func (d *Desk) sumOf(file []byte) string {
	if s := d.sending; s != nil && len(file) > 0 && len(file) == len(s.Photo) && &file[0] == &s.Photo[0] {
		return s.Sent.picture
	}
	return tracker.PhotoSum(file)
}

// idOf is the id of an event of an entry.
func (s Sent) idOf(about string) string {
	var id uuid.UUID
	front, says, of := sha256.Sum256([]byte(s.ID+"\n"+about)), s.sum, runOfSent(s.ID)
	copy(id[:6], front[:])
	copy(id[6:10], says[:])
	id[6], id[8] = id[6]&0x0f|ofRun<<4, id[8]&0x3f|0x80
	copy(id[10:], of[:])
	return id.String()
}

// saysSame reports whether the event of an id belongs to an entry that said the same.
func (s Sent) saysSame(id string) bool {
	u, err := uuid.Parse(id)
	own := uuid.MustParse(s.idOf(""))
	return err == nil && slices.Equal(u[6:10], own[6:10])
}

// A sentBefore finds what an entry recorded, in the order of the log.
type sentBefore struct {
	rec      *tracker.Record
	seen     int // so many events of it were looked at
	of       map[run][]string
	pictures map[string]string // by photograph: the first event that keeps it
}

// upTo looks at what is new in a record.
func (b *sentBefore) upTo(rec *tracker.Record) {
	if b.rec != rec {
		*b = sentBefore{rec: rec, of: map[run][]string{}, pictures: map[string]string{}}
	}
	fresh := rec.EventsAfter(b.seen)
	b.seen += len(fresh)
	for _, e := range fresh {
		if r, ok := runOf(e.ID); ok {
			b.of[r] = append(b.of[r], e.ID)
		}
		if e.Photo != "" && b.pictures[e.Photo] == "" {
			b.pictures[e.Photo] = e.ID
		}
	}
}

// events lists what an entry recorded.
func (b *sentBefore) events(rec *tracker.Record, entry run) (all []tracker.Event) {
	b.upTo(rec)
	for _, id := range b.of[entry] {
		e, _ := rec.Event(id)
		all = append(all, e)
	}
	return all
}

// picture is the first event that keeps a photograph.
func (b *sentBefore) picture(rec *tracker.Record, sum string) (tracker.Event, bool) {
	b.upTo(rec)
	return rec.Event(b.pictures[sum])
}

// StudyID tells a study from others, whatever its file, its plan or its address: the id
// of the event that began it.
func StudyID(rec *tracker.Record) string { return rec.Events()[0].ID }

// here refuses an entry that was made for another study: a phone keeps what it could
// not send, and the next station at that address may serve another.
func (s Sent) here(d *Desk) error {
	if s.Study == "" || s.Study == StudyID(d.rec) {
		return nil
	}
	return &Unfit{Why: "the entry was made for another study; this one is " + Quoted(d.rec.Study().Title), Here: StudyID(d.rec)}
}

// before lists what this very entry recorded when it came before. The error is an
// *Unfit: the id is that of another entry.
func (s Sent) before(d *Desk) ([]tracker.Event, error) {
	said := d.sent.events(d.rec, runOfSent(s.ID))
	switch {
	case len(said) == 0:
		return nil, nil
	case !s.Phone.made(said[0]):
		return nil, &Unfit{Why: fmt.Sprintf("the entry %s was made on another device", s.ID), Clash: true}
	case !s.saysSame(said[0].ID):
		return nil, &Unfit{Why: fmt.Sprintf("the entry %s was sent before, and said something else then", s.ID), Clash: true}
	}
	return said, nil
}

// A sending is an entry of a phone while it is being taken.
type sending struct {
	Sent
	own    run    // of the ids that the desk gives meanwhile
	undone bool   // its UNDO came before it
	beside []byte // the photograph that came with a form
}

// record commits events; those of a phone's entry are finished first.
func (d *Desk) record(events ...tracker.Event) ([]tracker.Verdict, error) {
	return d.recordWith(nil, events...)
}

// recordWith is record together with a photograph that one of the events keeps.
func (d *Desk) recordWith(file []byte, events ...tracker.Event) ([]tracker.Verdict, error) {
	d.doubtClock(events)
	all := events
	if d.sending != nil {
		d.sending.name(events)
		all, file = d.sending.finish(d, file, events)
	}
	keep := d.db.Record
	if file != nil {
		keep = func(events ...tracker.Event) ([]tracker.Verdict, error) { return d.db.Keep(file, events...) }
	}
	verdicts, err := keep(all...)
	return verdicts[:min(len(verdicts), len(events))], err
}

// name gives the events of an entry their ids, in place: whoever handed them over
// goes on with these. Those that follow from a photograph have theirs.
func (s *sending) name(events []tracker.Event) {
	met := map[string]int{}
	for i := range events {
		e := &events[i]
		if r, ok := runOf(e.ID); !ok || r != s.own {
			continue
		}
		about := fmt.Sprintf("%d %s/%d %s %s %s %s", e.Kind, e.Code, e.Half, e.Stage, e.Bath, e.Target, e.Rule)
		met[about]++
		e.ID = s.idOf(fmt.Sprint(about, " ", met[about]))
	}
}

// finish adds what is kept in the same transaction: the photograph that came with a
// form, and that all of it is taken back, where that came first.
func (s *sending) finish(d *Desk, file []byte, events []tracker.Event) ([]tracker.Event, []byte) {
	all := slices.Clone(events)
	if s.beside != nil && file == nil {
		picture := d.picture(Subject{Code: events[0].Code, Half: events[0].Half}, s.beside)
		picture.Note = ""
		more := []tracker.Event{picture}
		s.name(more)
		all, file = append(all, more...), s.beside
	}
	if s.undone {
		all = append(all, s.takenBack(d, all)...)
	}
	return all, file
}

// takenBack sets aside the facts among events whose UNDO came first.
func (s *sending) takenBack(d *Desk, events []tracker.Event) []tracker.Event {
	var voids []tracker.Event
	labels := slices.ContainsFunc(events, func(e tracker.Event) bool { return e.Kind == tracker.Staged })
	for _, e := range events {
		if isFact(e) && !(labels && e.Kind == tracker.Photographed) {
			voids = append(voids, d.voidOf(e, "taken back on the phone before it came"))
		}
	}
	s.name(voids)
	return voids
}

// isFact reports whether an event says what happened, which UNDO takes back: not what
// was said about other events, or of a clock. That a photograph is kept is one, where it
// is of a specimen; what was read in it goes before.
func isFact(e tracker.Event) bool {
	switch e.Kind {
	case tracker.Voided, tracker.Accepted, tracker.ClockSeen:
		return false
	case tracker.Photographed:
		return e.Code != ""
	}
	return true
}
