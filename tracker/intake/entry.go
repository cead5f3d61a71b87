package intake

import (
	"cmp"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// An Entry is what is said of an event beside the fact itself: when, who, and
// with which words.
type Entry struct {
	At               schedule.Span
	Timed            bool      // somebody gave At; else it is the moment of writing
	Doubt            string    // what a clock change makes doubtful about At
	Recorded         time.Time // when it is written down
	By, Note, Reason string
	Yes              bool // every doubtful entry is taken as meant

	Device     string // on which it was made, where that is not this computer
	DeviceTime bool   // At is what that device's clock showed
	Count      int64  // of that device; 0 where it counts nothing

	run run // the command that records it
}

// Now is an entry of a command of its own about this moment, in UTC and to the
// millisecond.
func Now(now time.Time) Entry {
	now = now.UTC().Truncate(time.Millisecond)
	return Entry{At: schedule.At(now), Recorded: now, run: newRun()}
}

// event returns an event of that kind filled in with what the entry says and
// an id of its own.
func (e Entry) event(kind tracker.Kind) tracker.Event {
	return tracker.Event{
		ID: e.run.newID(), Kind: kind,
		At: e.At, Doubt: e.Doubt, Recorded: e.Recorded,
		By: e.By, Note: e.Note, Reason: e.Reason, Via: "typed",
		Device: e.Device, DeviceTime: e.DeviceTime,
		Count: cmp.Or(e.Count, e.Recorded.UnixMicro()), // of two entries for one minute, the one typed later is the later
	}
}

// written is an event that happens by being written down, such as taking back.
func written(e tracker.Event) tracker.Event {
	e.At, e.Doubt, e.DeviceTime = schedule.At(e.Recorded), "", false
	return e
}
