package intake

import (
	"slices"

	"github.com/google/uuid"

	"soaktag/tracker"
)

// A run is one command at work: what it records has it in common. Its six bytes
// stand last in the id of every such event, and a version 8 (RFC 9562, 5.8) tells
// an id made so from others.
type run [6]byte

const ofRun = 8

func newRun() (r run) {
	id := uuid.New()
	copy(r[:], id[len(id)-len(r):])
	return r
}

// newID makes an id for an event that a command records.
func (r run) newID() string {
	id := uuid.New()
	if r == (run{}) {
		return id.String()
	}
	id[6] = id[6]&0x0f | ofRun<<4
	copy(id[len(id)-len(r):], r[:])
	return id.String()
}

// runOf is the command that an id tells of.
func runOf(id string) (r run, ok bool) {
	u, err := uuid.Parse(id)
	if err != nil || u.Version() != ofRun {
		return r, false
	}
	copy(r[:], u[len(u)-len(r):])
	return r, true
}

// commandOf lists what the command recorded that recorded an event, in the order
// of the log. Where ids do not tell, as of a table, of photographs and in old
// logs, those were recorded together that lie side by side in the log, came the
// same way and bear the same moment of writing, but for the line of the table.
func commandOf(rec *tracker.Record, e tracker.Event) []tracker.Event {
	events := rec.Events()
	if r, ok := runOf(e.ID); ok {
		return slices.DeleteFunc(events, func(x tracker.Event) bool {
			other, known := runOf(x.ID)
			return !known || other != r
		})
	}
	at := slices.IndexFunc(events, func(x tracker.Event) bool { return x.ID == e.ID })
	from, to := at, at+1
	for from > 0 && together(events[from-1], events[at]) {
		from--
	}
	for to < len(events) && together(events[to], events[at]) {
		to++
	}
	return events[from:to]
}

// mostRows is more than any table has: the counter of an import is the moment in
// microseconds with the line added, and nobody imports twice in a tenth of a second.
const mostRows = 100_000

func together(a, b tracker.Event) bool {
	_, told := runOf(a.ID)
	apart := a.Count - b.Count
	return !told && a.Via == b.Via && a.By == b.By && max(apart, -apart) < mostRows && a.Kind != tracker.Begun
}
