package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/labels"
	"soaktag/labels/photo"
	"soaktag/schedule"
	"soaktag/tracker"
)

// A photoReading is one run of read that records. It takes one photograph after
// the other, as a scanning takes lines.
type photoReading struct {
	*book
	json     bool
	any      bool           // QR codes of others are listed too
	timed    bool           // --at was given: it stands for photographs without a time
	atWord   string         // as it was typed
	correct  bool           // what was read before is put right
	ordered  schedule.Stage // by --stage
	lines    lineReader
	zoneless int

	stage  schedule.Stage
	carded bool                    // the stage is a photographed card's
	since  time.Time               // the last photograph under that card
	asked  []tracker.Mark          // by the last photograph
	done   [][]tracker.Event       // by photograph, for UNDO
	tried  []tracker.Event         // about trial labels
	open   map[string]tracker.Mark // by event, rule and words
	docs   []photoDoc
	news   map[string]bool   // events that the last photograph added
	fresh  map[string]bool   // events that this run recorded and did not take back
	given  map[string]bool   // corrections by which this run gave entries their stage
	before int               // labels that were recorded before this run
	told   map[string]bool   // marks, in words: each is said once a run
	aside  map[string]string // photographs of which nothing stands, by an entry
	others []string          // photographs that were read at another stage before

	words []string          // the files and folders as they were named
	paths map[string]string // by event without a stage: its photograph
	taken int               // how many
	kept  bool              // something was recorded
}

func newPhotoReading(b *book) *photoReading {
	return &photoReading{book: b, lines: lineReader{rec: b.rec, stages: stageNames(b.rec)}, open: map[string]tracker.Mark{},
		fresh: map[string]bool{}, given: map[string]bool{}, told: map[string]bool{}, paths: map[string]string{}, aside: map[string]string{}, docs: []photoDoc{}}
}

func (b *book) readPhotos(c *cli.Context, files []photoFile) error {
	r := newPhotoReading(b)
	r.json, r.any, r.timed, r.words = c.Bool("json"), c.Bool("any"), c.IsSet("at"), c.Args().Slice()
	r.correct, r.atWord = c.Bool("correct"), c.String("at")
	if c.IsSet("stage") {
		stage, err := parseStage(b.rec, c.String("stage"))
		if err != nil {
			return err
		}
		r.stage, r.ordered = stage, stage
	}
	shots, err := b.readShots(files, listOf(b.rec), photo.Options{Any: c.Bool("any")})
	if err != nil {
		return err
	}
	err = r.takeAll(shots)
	if errors.Is(err, errInterrupted) {
		r.sayInterrupted(len(shots))
		return err
	}
	r.sayWayBack()
	r.sum(shots)
	if err != nil {
		return err
	}
	if err := b.sayTrials(r.tried); err != nil {
		return err
	}
	if r.json {
		if err := b.session.json(c, "read/1", readDoc{r.docs}); err != nil {
			return err
		}
	}
	if err := b.showShots(c.String("show"), shots); err != nil {
		return err
	}
	return noneRead(shots)
}

// takeAll records the photographs in the order of their time, the ones that
// cannot be taken last.
func (r *photoReading) takeAll(shots []shot) error {
	if err := r.stampAll(shots); err != nil {
		return err
	}
	for i := range shots {
		if sh := &shots[i]; sh.err == nil {
			if err := r.refresh(); err != nil {
				return err
			}
			if err := r.take(sh); err != nil {
				return fmt.Errorf("%s: %w", sh.path, meanwhile(err))
			}
			r.taken++
		}
	}
	for i := range shots {
		if sh := &shots[i]; sh.err != nil {
			r.tellUnread(sh, len(shots))
			r.docs = append(r.docs, sh.doc(nil))
		}
	}
	return nil
}

// refresh reads what others recorded meanwhile, unless the run is interrupted.
func (r *photoReading) refresh() error {
	if r.stopped() {
		return errInterrupted
	}
	return r.reload()
}

func (r *photoReading) reload() error {
	rec, err := r.db.State()
	if err != nil {
		return err
	}
	r.rec, r.lines.rec = rec, rec
	return nil
}

// A sighting is something that stands in a photograph for a specimen, a bath or
// a trial label.
type sighting struct {
	scanItem
	found    int // which of the shot's
	probable bool
}

// last orders sightings: what was decoded, what was only recognised, then baths.
func (s sighting) last() int {
	switch {
	case s.sub.bath != "":
		return 2
	case s.probable:
		return 1
	}
	return 0
}

// take does what one photograph says.
func (r *photoReading) take(sh *shot) error {
	doc := sh.doc(r.zone())
	doc.TakenAt = r.takenAt(sh)
	if !sh.has() {
		r.tellNothing(sh)
		r.docs = append(r.docs, doc)
		return nil
	}
	r.expire(r.at(sh))
	cards, sightings := r.sightings(sh)
	r.sayTwins(sh)
	if err := r.setCards(sh, cards); err != nil {
		return err
	}
	r.tellShot(sh, cards, len(sightings))
	r.tellForeign(sh)
	verdicts, err := r.keepSightings(sh, sightings)
	if err != nil {
		return err
	}
	r.since = r.at(sh)
	doc.Stage = orNull(string(r.stage))
	doc.add(r.rec, sh, verdicts)
	r.docs = append(r.docs, doc)
	return r.answerCards(sh, cards, len(sightings) > 0)
}

// sightings reads what was found: cards, and what is to be recorded. Two
// answers for one place are neither.
func (r *photoReading) sightings(sh *shot) (cards []labels.Card, all []sighting) {
	var doubtful []string
	for i, f := range sh.found {
		_, clock := photo.ParseClock(f.Text)
		switch item, err := r.lines.item(f.Text); {
		case clock || !f.Ours():
		case f.Ambiguous:
			doubtful = append(doubtful, foundText(f))
		case err != nil:
			r.refuse(sh, err)
		case item.card != nil:
			cards = append(cards, *item.card)
			r.tellProbableCard(sh, f)
		default:
			all = append(all, sighting{item, i, f.How == photo.Matched})
		}
	}
	if len(doubtful) > 0 {
		r.refuse(sh, &notRead{fmt.Sprintf("%s were read in one place", strings.Join(doubtful, " and ")),
			"photograph it again from nearer, or look at the label and type its code: soaktag log CODE --stage STAGE --at TIME"})
	}
	return cards, all
}

// keepSightings records what a photograph shows under the stage in force, with
// the photograph itself, and gives that stage to what it showed before.
func (r *photoReading) keepSightings(sh *shot, all []sighting) ([]tracker.Verdict, error) {
	again, given := r.countAgain(sh), r.restaged(sh)
	if _, clock := sh.clock(); len(all)+len(given) == 0 && !clock {
		return nil, nil
	}
	events := append(r.eventsOf(sh, all), given...)
	fresh := slices.DeleteFunc(slices.Clone(events), r.isKnown)
	r.beforeWater(fresh)
	if err := r.keepShot(sh, slices.Concat(again, events, r.stillAccepted(sh, given))...); err != nil {
		return nil, err
	}
	r.tellAgain(sh, again)
	if err := r.reload(); err != nil {
		return nil, err
	}
	r.count(slices.DeleteFunc(fresh, r.saidOtherwise))
	verdicts := r.standing(events)
	if len(verdicts) > 0 {
		r.done = append(r.done, eventsIn(verdicts))
	}
	r.tried = append(r.tried, slices.DeleteFunc(slices.Clone(events), notTrial)...)
	r.noteWayBack(sh, verdicts)
	return verdicts, r.tell(sh, verdicts)
}

// saidOtherwise reports whether somebody recorded the same entry with another
// stage meanwhile: who came first counts.
func (r *photoReading) saidOtherwise(e tracker.Event) bool {
	kept, _ := r.rec.Event(e.ID)
	return kept.Stage != e.Stage
}

// count remembers what this run recorded, and what it only gave a stage.
func (r *photoReading) count(fresh []tracker.Event) {
	r.news = map[string]bool{}
	for _, e := range fresh {
		r.news[e.ID] = true
		if e.Target == "" {
			r.fresh[e.ID] = true
		} else {
			r.given[e.ID] = true
		}
	}
}

// eventsIn are the events as they are kept.
func eventsIn(verdicts []tracker.Verdict) (kept []tracker.Event) {
	for _, v := range verdicts {
		kept = append(kept, v.Event)
	}
	return kept
}

func (r *photoReading) isKnown(e tracker.Event) bool {
	_, known := r.rec.Event(e.ID)
	return known
}

// eventsOf makes the events of all sightings: one a code, and one for every
// specimen of a bath that does not show itself.
func (r *photoReading) eventsOf(sh *shot, all []sighting) []tracker.Event {
	slices.SortStableFunc(all, func(a, b sighting) int { return a.last() - b.last() })
	var events []tracker.Event
	for _, s := range all {
		if then := r.entriesOf(sh); s.sub.bath != "" && len(then) > 0 {
			events = append(events, r.bathAgain(sh, s, then)...)
			continue
		}
		if r.stage == schedule.Break && !s.sub.ofTrial() {
			r.refuse(sh, breakNeedsReading(r.rec, s.sub))
			continue
		}
		made, err := r.spread(r.factOf(sh, s), []subject{s.sub})
		if err != nil {
			r.refuse(sh, &notRead{strings.TrimSuffix(err.Error(), "; nothing recorded"), "soaktag status says how far the specimens are"})
			continue
		}
		for _, e := range made {
			e.ID = tracker.PhotoEventID(sh.sum, e.Code, e.Half)
			if e.Via == "bath" {
				e.Via = "photo" // Bath says that it was the bath's tag
			}
			if !slices.ContainsFunc(events, func(x tracker.Event) bool { return sameSighting(x, e) }) {
				events = append(events, e)
			}
		}
	}
	return events
}

// sameSighting reports whether e adds nothing to x: the same label, or a
// specimen of a bath that shows its label too.
func sameSighting(x, e tracker.Event) bool {
	return x.ID == e.ID || e.Bath != "" && x.Code == e.Code
}

// factOf is what a sighting says, still without its subject.
func (r *photoReading) factOf(sh *shot, s sighting) tracker.Event {
	fact := r.entry.event(tracker.Staged)
	r.stampOn(&fact, sh)
	fact.Stage = r.stage
	if s.sub.trial {
		fact.Via, fact.At, fact.DeviceTime = "scan", r.rec.Corrected(fact), false // its symbol was read, as by a scanner
	}
	if s.probable && !r.entry.Yes {
		fact.Doubt = strings.TrimSuffix(probableCode(sh)+"; "+fact.Doubt, "; ")
	}
	return fact
}

// probableCode is what is doubtful about a label that was matched.
func probableCode(sh *shot) string {
	return tracker.ProbableCode + "recognised among the codes of this study, not decoded; compare it with " + filepath.Base(sh.path) + ", it counts once accepted"
}

// stampOn gives an event the time of a photograph.
func (r *photoReading) stampOn(e *tracker.Event, sh *shot) {
	e.At, e.Doubt, e.Device, e.DeviceTime = sh.stamp.At, sh.stamp.Doubt, sh.stamp.Device, sh.stamp.DeviceTime
	e.Via, e.Count = "photo", max(1, e.At.Mid().UnixMicro())
}

// keepShot commits a photograph and the events about it together. The file is
// read again: pictures are not held.
func (r *photoReading) keepShot(sh *shot, events ...tracker.Event) error {
	file, err := loadPhoto(sh.path)
	if err != nil {
		return err
	}
	if tracker.PhotoSum(file) != sh.sum {
		return fmt.Errorf("the file changed while it was read; read it again")
	}
	picture := r.entry.event(tracker.Photographed)
	if stamped := !sh.stamp.At.IsZero(); stamped {
		r.stampOn(&picture, sh)
	} else if clock, ok := sh.clock(); ok {
		picture.At, picture.Doubt, picture.Device, picture.Via = schedule.At(clock), "", sh.exif.Camera, "photo"
	}
	picture.ID, picture.Photo, picture.PhotoType = tracker.PhotoEventID(sh.sum, "", 0), sh.sum, tracker.PhotoType(file)
	picture.Doubt = ""
	if sub, one := r.onlySpecimen(events); one {
		picture.Code, picture.Half = sub.Code, sub.Half
	}
	_, err = r.db.Keep(file, append([]tracker.Event{picture}, events...)...)
	r.kept = r.kept || err == nil
	return err
}

// onlySpecimen is the specimen that a photograph is of, where it shows one.
func (r *photoReading) onlySpecimen(events []tracker.Event) (tracker.Event, bool) {
	if len(events) != 1 || events[0].Via != "photo" || events[0].Bath != "" || events[0].Kind != tracker.Staged {
		return tracker.Event{}, false
	}
	_, _, err := r.rec.Resolve(events[0].Code)
	return events[0], err == nil
}
