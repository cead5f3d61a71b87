package intake

import (
	"cmp"
	"errors"
	"path/filepath"
	"slices"
	"strings"

	"soaktag/schedule"
	"soaktag/tracker"
)

// keep records what a photograph shows under the stage in force, with the
// photograph itself, and puts right what it showed before.
func (rd *reading) keep(all []sighting) ([]tracker.Verdict, error) {
	right := rd.toPutRight()
	if _, clock := rd.clock(); len(all)+len(right) == 0 && !clock {
		return nil, nil
	}
	again, said := rd.countAgain(), append(rd.eventsOf(all), right...)
	fresh := slices.DeleteFunc(slices.Clone(said), rd.desk.knows)
	rd.desk.before(rd.out, fresh)
	stood := footingOf(rd.desk.rec, fresh)
	if err := rd.store(slices.Concat(again, said, rd.stillAccepted(right))...); err != nil {
		return nil, err
	}
	if len(again) > 0 {
		rd.out.add(CountAgain{rd.Name, len(again)})
	}
	if err := rd.desk.refresh(); err != nil {
		return nil, err
	}
	verdicts, err := rd.kept(said, fresh)
	if err == nil {
		stood.sinceThen(rd.out, rd.desk.rec)
	}
	return verdicts, err
}

// kept remembers and tells what is on record now of what a photograph said;
// fresh is what nobody had recorded before.
func (rd *reading) kept(said, fresh []tracker.Event) ([]tracker.Verdict, error) {
	d := rd.desk
	for _, e := range fresh {
		if now, _ := d.rec.Event(e.ID); now.Stage == e.Stage { // else somebody recorded the entry with another stage meanwhile: who came first counts
			rd.news[e.ID] = true
			rd.roll.count(e)
		}
	}
	verdicts := d.counting(said)
	if len(verdicts) > 0 {
		d.done = append(d.done, eventsIn(verdicts))
	}
	d.tried = append(d.tried, slices.DeleteFunc(slices.Clone(said), notTrial)...)
	rd.noteWayBack(verdicts)
	return verdicts, rd.tell(verdicts)
}

// knows reports whether an event is on record.
func (d *Desk) knows(e tracker.Event) bool {
	_, known := d.rec.Event(e.ID)
	return known
}

// counting is what counts now of the events of a photograph: of an entry that
// was corrected its correction, of one that was set aside the entry itself.
func (d *Desk) counting(events []tracker.Event) (all []tracker.Verdict) {
	for _, e := range events {
		now, stands := d.rec.Stands(e.ID)
		if !stands {
			now, _ = d.rec.Event(e.ID)
		}
		if !slices.ContainsFunc(all, func(v tracker.Verdict) bool { return v.Event.ID == now.ID }) {
			all = append(all, d.rec.Verdict(now))
		}
	}
	return all
}

// eventsIn are the events of verdicts, as they are kept.
func eventsIn(verdicts []tracker.Verdict) (kept []tracker.Event) {
	for _, v := range verdicts {
		kept = append(kept, v.Event)
	}
	return kept
}

// eventsOf makes the events of all sightings: one a code, and one for every
// specimen of a bath that does not show itself.
func (rd *reading) eventsOf(all []sighting) (events []tracker.Event) {
	slices.SortStableFunc(all, func(a, b sighting) int { return a.last() - b.last() })
	for _, s := range all {
		for _, e := range rd.eventsOfOne(s) {
			if !slices.ContainsFunc(events, func(x tracker.Event) bool { return sameSighting(x, e) }) {
				events = append(events, e)
			}
		}
	}
	return events
}

func (rd *reading) eventsOfOne(s sighting) []tracker.Event {
	d := rd.desk
	switch {
	case s.sub.Bath != "" && len(rd.then.entries) > 0:
		return rd.bathAgain(s)
	case d.stage == schedule.Break && !s.sub.ofTrial():
		rd.refuse(breakNeedsReading(d.rec, s.sub))
		return nil
	case d.stage == tracker.WaterChange:
		rd.refuse(refuse("a change of water is not read from a photograph").with(ChangeIn{Baths(d.rec)}))
		return nil
	}
	made, err := d.spread(rd.out, rd.factOf(s), []Subject{s.sub})
	if err != nil {
		rd.refuse(onlyThis(err))
		return nil
	}
	for i := range made {
		e := &made[i]
		e.ID = rd.id(e.Code, e.Half)
		if e.Via == "bath" {
			e.Via = "photo" // Bath says that it was the bath's tag
		}
	}
	return made
}

// sameSighting reports whether e adds nothing to x: the same label, or a
// specimen of a bath that shows its label too.
func sameSighting(x, e tracker.Event) bool {
	return x.ID == e.ID || e.Bath != "" && x.Code == e.Code
}

// bathAgain are the entries that a bath's tag made when its photograph was first
// read. It is not asked again whom it holds: since then that has changed. A tag
// that made none then is said, unless all that it holds show themselves.
func (rd *reading) bathAgain(s sighting) []tracker.Event {
	then := rd.then.entries
	of := slices.DeleteFunc(slices.Clone(then), func(e tracker.Event) bool { return e.Bath != s.sub.Bath })
	held, err := rd.desk.spread(rd.out, rd.factOf(s), []Subject{s.sub})
	shown := func(e tracker.Event) bool {
		return slices.ContainsFunc(then, func(x tracker.Event) bool { return x.Code == e.Code })
	}
	if len(of) == 0 && (err != nil || !slices.ContainsFunc(held, shown)) {
		rd.refuse(refuse("the tag of bath %s stood for nobody when this was first read, and is not asked again", s.sub.Bath).
			with(LogBath{s.sub.Bath}))
	}
	return of
}

// factOf is what a sighting says, still without its subject.
func (rd *reading) factOf(s sighting) tracker.Event {
	fact := rd.desk.event(tracker.Staged)
	rd.stampOn(&fact)
	fact.Stage = rd.desk.stage
	if s.sub.Trial {
		fact.Via, fact.At, fact.DeviceTime = "scan", rd.desk.rec.Corrected(fact), false // its symbol was read, as by a scanner
	}
	if s.probable && !rd.desk.Yes {
		fact.Doubt = strings.TrimSuffix(cmp.Or(s.unsure, rd.probableCode())+"; "+fact.Doubt, "; ")
	}
	return fact
}

// probableCode is what is doubtful about a label that was matched.
func (rd *reading) probableCode() string {
	return tracker.ProbableCode + "recognised among the codes of this study, not decoded; compare it with " + filepath.Base(rd.Name) + ", it counts once accepted"
}

// stampOn gives an event the time of the photograph.
func (p *Photograph) stampOn(e *tracker.Event) {
	e.At, e.Doubt, e.Device, e.DeviceTime = p.stamp.At, p.stamp.Doubt, p.stamp.Device, p.stamp.DeviceTime
	e.Via, e.Count = "photo", cmp.Or(p.stamp.Count, max(1, e.At.Mid().UnixMicro()))
}

// gone says that a photograph is no longer what was looked at: it alone is left
// out, and the others are taken.
type gone struct{ error }

func (g *gone) Unwrap() error { return g.error }

func (rd *reading) store(events ...tracker.Event) error { return rd.roll.store(rd.Photograph, events) }

// store commits a photograph and the events about it together. Its bytes are
// loaded again: pictures are not held.
func (r *Roll) store(p *Photograph, events []tracker.Event) error {
	file, err := p.Load()
	if err == nil && r.desk.sumOf(file) != p.Sum {
		err = errors.New("the file changed while it was read; read it again")
	}
	if err != nil {
		return &gone{err}
	}
	picture := r.desk.pictureOf(p, events)
	picture.PhotoType = tracker.PhotoType(file)
	_, err = r.desk.recordWith(file, append([]tracker.Event{picture}, events...)...)
	r.kept = r.kept || err == nil
	return meanwhile(err)
}

// pictureOf is the event that keeps a photograph, still without its type.
func (d *Desk) pictureOf(p *Photograph, events []tracker.Event) tracker.Event {
	picture := d.event(tracker.Photographed)
	if stamped := !p.stamp.At.IsZero(); stamped {
		p.stampOn(&picture)
	} else if clock, ok := p.clock(); ok {
		picture.At, picture.Device, picture.DeviceTime, picture.Via = schedule.At(clock), p.Exif.Camera, false, "photo"
	}
	if kept, known := d.pictureKept(p); known {
		picture.ID = kept.ID
	} else if d.sending == nil {
		picture.ID = p.id("", 0)
	}
	picture.Photo, picture.Doubt = p.Sum, ""
	if sub, one := d.onlySpecimen(events); one {
		picture.Code, picture.Half = sub.Code, sub.Half
	}
	return picture
}

// onlySpecimen is the specimen that a photograph is of, where it shows one.
func (d *Desk) onlySpecimen(events []tracker.Event) (tracker.Event, bool) {
	if len(events) != 1 || events[0].Via != "photo" || events[0].Bath != "" || events[0].Kind != tracker.Staged {
		return tracker.Event{}, false
	}
	_, _, err := d.rec.Resolve(events[0].Code)
	return events[0], err == nil
}
