package main

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/wording"
)

// stampAll finds out when the photographs were taken, corrects their cameras'
// clocks by the clock symbols among them, and sorts them by their time. A
// photograph without a time gets an error.
func (r *photoReading) stampAll(shots []shot) error {
	if err := r.compareClocks(shots); err != nil {
		return err
	}
	if err := r.refresh(); err != nil {
		return err
	}
	for i := range shots {
		sh := &shots[i]
		switch {
		case sh.err != nil:
		case sh.has():
			sh.stamp, sh.err = r.stampOf(sh)
		case !sh.exif.Wall.IsZero():
			sh.stamp, _ = r.shownBy(sh) // nothing is recorded from it: not known is good enough
		}
		if errors.Is(sh.err, errInterrupted) {
			return sh.err
		}
	}
	if r.zoneless > 0 {
		r.say("%s without a time zone: taken as of %s", wording.Plural(r.zoneless, "photograph"), r.zone())
	}
	slices.SortStableFunc(shots, func(a, b shot) int { return r.at(&a).Compare(r.at(&b)) })
	r.sayUnused(shots)
	r.sayUnset(shots)
	return nil
}

// at is when a photograph was taken, as far as it is known now.
func (r *photoReading) at(sh *shot) time.Time { return r.rec.Corrected(sh.stamp).Mid() }

// compareClocks keeps what cameras' clocks showed in photographs of a clock
// symbol, before any time is looked at.
func (r *photoReading) compareClocks(shots []shot) error {
	for i := range shots {
		sh := &shots[i]
		clock, ok := sh.clock()
		if sh.err != nil || !ok || sh.exif.Camera == "" || sh.exif.Wall.IsZero() {
			continue
		}
		if err := r.keepClock(sh, clock); err != nil {
			return err
		}
	}
	return nil
}

func (r *photoReading) keepClock(sh *shot, clock time.Time) error {
	shown, err := r.shownBy(sh)
	if err != nil {
		return nil // a date that no camera shows says nothing
	}
	seen := r.entry.event(tracker.ClockSeen)
	seen.ID, seen.Via = tracker.PhotoEventID(sh.sum, "clock", 0), "photo"
	seen.At, seen.Doubt, seen.Device, seen.Shown = schedule.At(clock), shown.Doubt, sh.exif.Camera, shown.At.From
	if _, known := r.rec.Event(seen.ID); known {
		return nil
	}
	if err := r.keepShot(sh, seen); err != nil {
		return err
	}
	r.say("%s: the clock of %s is %s", sh.path, seen.Device, offText(seen.Shown.Sub(clock)))
	return nil
}

// shownBy is what the camera's clock showed, as an instant.
func (r *photoReading) shownBy(sh *shot) (tracker.Event, error) {
	wall, e := sh.exif.Wall, tracker.Event{Device: sh.exif.Camera}
	if zone := sh.exif.Zone; zone != nil {
		e.At = schedule.At(time.Date(wall.Year(), wall.Month(), wall.Day(), wall.Hour(), wall.Minute(), wall.Second(), wall.Nanosecond(), zone).UTC())
		return e, nil
	}
	span, doubts, err := schedule.ParseTime(wall.Format("2006-01-02 15:04:05"), r.now(), r.zone())
	if err != nil {
		return e, err
	}
	e.At, e.Doubt = schedule.At(span.From.Add(time.Duration(wall.Nanosecond())).UTC().Truncate(time.Millisecond)), schedule.InDoubt(doubts)
	return e, nil
}

// stampOf is when a photograph was taken: by the clock symbol in it, by its
// camera, by --at, as it was kept before, or as somebody says; where it is put
// right, by --at first. The date of the file is never taken: copying changes it.
func (r *photoReading) stampOf(sh *shot) (tracker.Event, error) {
	if r.correct && r.timed {
		return tracker.Event{At: r.entry.At, Doubt: r.entry.Doubt, Device: sh.exif.Camera}, nil
	}
	if clock, ok := sh.clock(); ok {
		return tracker.Event{At: schedule.At(clock), Device: sh.exif.Camera}, nil
	}
	if !sh.exif.Wall.IsZero() {
		if e, err := r.shownBy(sh); err == nil {
			e.DeviceTime = e.Device != ""
			if sh.exif.Zone == nil {
				r.zoneless++
			}
			return e, nil
		}
	}
	if r.timed {
		return tracker.Event{At: r.entry.At, Doubt: r.entry.Doubt, Device: sh.exif.Camera}, nil
	}
	if kept, ok := r.rec.Event(tracker.PhotoEventID(sh.sum, "", 0)); ok && !kept.At.IsZero() {
		return tracker.Event{At: kept.At, Device: kept.Device, DeviceTime: kept.DeviceTime}, nil
	}
	return r.askWhen(sh)
}

// askWhen asks until the answer is a time or nothing.
func (r *photoReading) askWhen(sh *shot) (tracker.Event, error) {
	for r.terminal {
		answer, err := r.ask(fmt.Sprintf("%s has no time in it: when was it taken? A time, or a range A..B (Enter leaves it out)", sh.path))
		if err != nil || answer == "" {
			return tracker.Event{}, errors.Join(err, errNoTime)
		}
		span, doubts, err := schedule.ParseTime(answer, r.now(), r.zone())
		if err != nil {
			r.warn("%v", err)
			continue
		}
		r.say("at %s", wording.Span(span, r.zone()))
		return tracker.Event{At: span, Doubt: schedule.InDoubt(doubts)}, r.settle(answer, doubts, r.entry.Yes)
	}
	return tracker.Event{}, withHint(errNoTime, "soaktag read %s --at \"2026-03-27 18:10\", or a range --at \"09:30..10:15\"", shellWord(sh.path))
}

var errNoTime = errors.New("it has no time of its own (chats and video stills lose it), and the date of a file is never taken for it")
