package tracker

import (
	"slices"
	"strings"
	"time"
)

// steppedBack is by how much a computer's clock may fall behind the newest entry before that is asked
// about: what time servers and summer time do to one is less (an hour where it is kept in local time).
const steppedBack = 75 * time.Minute

// ClockBehind begins what is doubtful about an entry made while the computer's clock was behind
// the newest entry.
const ClockBehind = "the computer's clock is behind: "

// Behind returns the newest entry that counts, when a clock that shows now is well behind the time
// at which it was written down: one of the two is wrong. Once somebody accepted that doubt of an
// entry, the clock is trusted again from that one on.
func (r *Record) Behind(now time.Time) (newest Event, behind bool) {
	if !r.newest.After(now.Add(steppedBack)) {
		return Event{}, false // nearly always
	}
	var found *Event
	for _, e := range slices.Backward(r.log) {
		if r.clockTrusted(e) {
			break
		}
		if e.Kind.Happens() && e.Recorded.After(now.Add(steppedBack)) && (found == nil || e.Recorded.After(found.Recorded)) && !r.Voided(e.ID) {
			found = e
		}
	}
	if found == nil {
		return Event{}, false
	}
	return *found, true
}

// clockTrusted reports whether somebody accepted that an entry was made by a clock that was behind.
func (r *Record) clockTrusted(e *Event) bool {
	return strings.Contains(e.Doubt, ClockBehind) && r.acceptance(Mark{Event: e.ID, Rule: RuleTimeDoubt}) != ""
}

// Happens reports whether events of a kind are about something that happened to a specimen
// or a bath, at a time that matters.
func (k Kind) Happens() bool {
	return k == Staged || k == Tried || k == Ended || k == Measured || k == Moved
}
