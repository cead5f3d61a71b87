package intake

import (
	"errors"
	"slices"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// ErrNoTime says why a photograph cannot be taken of which nobody knows when it
// was taken. The date of its file is never asked: copying changes it.
var ErrNoTime = errors.New("it has no time of its own (chats and video stills lose it), and the date of a file is never taken for it")

// develop finds out when photographs were taken, and sorts them.
func (r *Roll) develop() (Outcome, error) {
	out, err := r.Clocks()
	if err != nil {
		return out, err
	}
	more := r.Order()
	out.add(more.Notes...)
	return out, nil
}

// Clocks keeps what cameras' clocks showed in photographs of a clock symbol. It
// comes before any time is looked at: one may bear on every other photograph.
func (r *Roll) Clocks() (out Outcome, err error) {
	for _, p := range r.Photographs {
		clock, ok := p.clock()
		if p.Err != nil || !ok || p.Exif.Camera == "" || p.Exif.Wall.IsZero() {
			continue
		}
		if err := r.keepClock(&out, p, clock); err != nil {
			return out, err
		}
	}
	err = r.desk.refresh()
	return out, err
}

func (r *Roll) keepClock(out *Outcome, p *Photograph, clock time.Time) error {
	shown, err := r.desk.shownBy(p)
	if err != nil {
		return nil // a date that no camera shows says nothing
	}
	seen := r.desk.event(tracker.ClockSeen)
	seen.ID, seen.Via = p.id("clock", 0), "photo"
	seen.At, seen.Doubt, seen.Device, seen.DeviceTime, seen.Shown = schedule.At(clock), shown.Doubt, p.Exif.Camera, false, shown.At.From
	if r.desk.knows(seen) {
		return nil
	}
	if err := r.store(p, []tracker.Event{seen}); err != nil {
		return err
	}
	out.add(CameraOff{p.Name, seen.Device, seen.Shown.Sub(clock)})
	return nil
}

// shownBy is what the camera's clock showed, as an instant.
func (d *Desk) shownBy(p *Photograph) (tracker.Event, error) {
	wall, e := p.Exif.Wall, tracker.Event{Device: p.Exif.Camera}
	if zone := p.Exif.Zone; zone != nil {
		e.At = schedule.At(time.Date(wall.Year(), wall.Month(), wall.Day(), wall.Hour(), wall.Minute(), wall.Second(), wall.Nanosecond(), zone).UTC())
		return e, nil
	}
	span, doubts, err := schedule.ParseTime(wall.Format("2006-01-02 15:04:05"), d.now(), d.Zone())
	if err != nil {
		return e, err
	}
	e.At, e.Doubt = schedule.At(span.From.Add(time.Duration(wall.Nanosecond())).UTC().Truncate(time.Millisecond)), schedule.InDoubt(doubts)
	return e, nil
}

// A clockSource tells where the time of a photograph comes from.
type clockSource int

const (
	fromNobody clockSource = iota
	fromEntry              // the time given for all of them
	fromSymbol             // a clock symbol in the picture
	fromCamera
	fromBefore // as it was kept before
	fromPerson // who was asked
	fromPhone  // that sent it
)

// stampOf is when a photograph was taken: by the clock symbol in it, by its
// camera, by the time given, as it was kept before, or as somebody says; where
// it is put right, by the time given first. The date of the file is never taken:
// copying changes it.
func (r *Roll) stampOf(p *Photograph) (tracker.Event, clockSource) {
	d, camera := r.desk, p.Exif.Camera
	given := tracker.Event{At: d.At, Doubt: d.Doubt, Device: camera}
	if r.Correct && d.Timed {
		return given, fromEntry
	}
	if clock, ok := p.clock(); ok {
		return tracker.Event{At: schedule.At(clock), Device: camera}, fromSymbol
	}
	if p.handed != nil && !d.takenBefore(p) {
		return *p.handed, fromPhone
	}
	if !p.Exif.Wall.IsZero() {
		if e, err := d.shownBy(p); err == nil {
			e.DeviceTime = e.Device != ""
			return e, fromCamera
		}
	}
	if d.Timed {
		return given, fromEntry
	}
	if kept, ok := d.pictureKept(p); ok && !kept.At.IsZero() {
		return tracker.Event{At: kept.At, Device: kept.Device, DeviceTime: kept.DeviceTime}, fromBefore
	}
	if !p.Said.IsZero() {
		return tracker.Event{At: p.Said, Doubt: p.Doubt}, fromPerson
	}
	return tracker.Event{}, fromNobody
}

// Timeless lists the photographs of which nobody knows when they were taken,
// though they show something. Their Said can be filled in before Order.
func (r *Roll) Timeless() (some []*Photograph) {
	return r.those(func(p *Photograph) bool { _, from := r.stampOf(p); return from == fromNobody })
}

// those are the photographs that show something, and of which it holds.
func (r *Roll) those(holds func(*Photograph) bool) (some []*Photograph) {
	for _, p := range r.Photographs {
		if p.Err == nil && p.has() && holds(p) {
			some = append(some, p)
		}
	}
	return some
}

// Order finds out when the photographs were taken and sorts them by their time.
// One of which nobody knows it gets an error.
func (r *Roll) Order() (out Outcome) {
	zoneless := 0
	for _, p := range r.Photographs {
		switch {
		case p.Err != nil:
		case p.has():
			if r.stamp(p) == fromCamera && p.Exif.Zone == nil {
				zoneless++
			}
		case !p.Exif.Wall.IsZero():
			p.stamp, _ = r.desk.shownBy(p) // nothing is recorded from it: not known is good enough
		}
	}
	if zoneless > 0 {
		out.add(Zoneless{zoneless, r.desk.Zone()})
	}
	slices.SortStableFunc(r.Photographs, func(a, b *Photograph) int { return r.at(a).Compare(r.at(b)) })
	r.tellUnused(&out)
	r.tellUnset(&out)
	return out
}

func (r *Roll) stamp(p *Photograph) (from clockSource) {
	if p.stamp, from = r.stampOf(p); from == fromNobody {
		p.Err = (&Refusal{Why: ErrNoTime.Error()}).with(GiveTime{p.Name})
	}
	return from
}

// at is when a photograph was taken, as far as it is known now.
func (r *Roll) at(p *Photograph) time.Time { return r.desk.rec.Corrected(p.stamp).Mid() }

func (r *Roll) dated(p *Photograph) Dated { return Dated{p.Name, r.desk.rec.Corrected(p.stamp)} }

// tellUnused says for which photographs the time given was not taken: those
// with a time of their own.
func (r *Roll) tellUnused(out *Outcome) {
	own := r.those(func(p *Photograph) bool { return r.desk.Timed && p.stamp.At != r.desk.At })
	if len(own) == 0 {
		return
	}
	unused := TimeUnused{At: r.At}
	for _, p := range own {
		unused.Own = append(unused.Own, r.dated(p))
	}
	out.add(unused)
}

// longBefore is how long before a study a photograph of its labels is taken by
// no clock that is right: before the first glue-up planned, or before the study
// was begun where the plan does not say, which may be written up later.
const (
	longBefore      = 60 * 24 * time.Hour
	longBeforeBegun = 365 * 24 * time.Hour
)

// oddTime says what is wrong with the time of a photograph that no study can be
// at.
func (d *Desk) oddTime(at time.Time) Odd {
	first, begun := d.rec.Study().FirstGlueUp, d.begun()
	switch {
	case at.After(d.now().Add(time.Minute)):
		return StillToCome
	case first.IsZero() && at.Before(begun.Add(-longBeforeBegun)),
		!first.IsZero() && at.Before(first.Add(-longBefore)) && at.Before(begun.Add(-longBefore)):
		return LongBefore
	}
	return NotOdd
}

// begun is when the study began.
func (d *Desk) begun() time.Time {
	e, _ := d.rec.Begun()
	return e.At.Mid()
}

// tellUnset warns, once a camera, of a clock that was hardly ever set. What was
// put right since is not told again, nor is anything that is taken as meant.
func (r *Roll) tellUnset(out *Outcome) {
	if r.desk.Yes || r.Correct && r.desk.Timed {
		return
	}
	odd := r.those(func(p *Photograph) bool {
		return !p.Exif.Wall.IsZero() && !p.stamp.At.IsZero() && r.desk.oddTime(r.at(p)) != NotOdd && !r.timedSince(p)
	})
	for len(odd) > 0 {
		first := odd[0]
		others := slices.DeleteFunc(slices.Clone(odd), func(p *Photograph) bool { return p.Exif.Camera == first.Exif.Camera })
		unset := ClockUnset{Dated: r.dated(first), More: len(odd) - len(others) - 1, Odd: r.desk.oddTime(r.at(first))}
		if first.stamp.DeviceTime {
			unset.Device = first.Exif.Camera
		}
		out.add(unset)
		odd = others
	}
}

// timedSince reports whether all that stands of a photograph that was read
// before has a time that can be.
func (r *Roll) timedSince(p *Photograph) bool {
	then := r.desk.pastOf(p)
	for _, now := range then.stands {
		if r.desk.oddTime(r.desk.rec.Corrected(now).Mid()) != NotOdd {
			return false
		}
	}
	return len(then.entries) > 0
}
