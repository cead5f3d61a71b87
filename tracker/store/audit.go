package store

import (
	"bytes"
	"crypto/sha256"
	"fmt"
)

// audit says what was done to a log whose rows, in the order of seq, should end
// at end. It judges each row by the stored hash of the row before it, so that
// one change is one problem and not a break from there to the end.
func audit(rows []row, end link) []string {
	a := auditor{rows: rows, end: end}
	for i := range rows {
		a.gap(i)
		a.row(i)
	}
	a.tail()
	return a.problems
}

type auditor struct {
	rows     []row
	end      link
	excused  bool // the next row's break is a consequence of this row's
	searches int  // how many rows were looked for elsewhere
	problems []string
}

func (a *auditor) say(format string, args ...any) {
	a.problems = append(a.problems, fmt.Sprintf(format, args...))
}

// gap says which events are missing before row i.
func (a *auditor) gap(i int) {
	want := int64(1)
	if i > 0 {
		want = a.rows[i-1].seq + 1
	}
	switch n := a.rows[i].seq - want; {
	case n == 1:
		a.say("event %d is missing", want)
	case n > 1:
		a.say("events %d to %d are missing", want, a.rows[i].seq-1)
	case n < 0:
		a.say("an event stands at place %d, before the first", a.rows[i].seq)
	}
}

// row judges row i alone.
func (a *auditor) row(i int) {
	r, excused := a.rows[i], a.excused
	a.excused = false
	prev, known := a.before(i)
	if known && !fits(prev, r.body, r.hash) {
		if !excused {
			a.broken(i, prev)
		}
		return
	}
	e, err := Decode(r.body)
	switch {
	case err != nil:
		a.say("event %d cannot be read: %v", r.seq, err)
	case e.ID != r.id:
		a.say("event %d: its id was changed from %q to %q", r.seq, e.ID, r.id)
	}
}

// before returns the stored hash that row i builds on; false after a gap.
func (a *auditor) before(i int) ([]byte, bool) {
	if i == 0 {
		h := start().hash
		return h[:], a.rows[0].seq == 1
	}
	return a.rows[i-1].hash, a.rows[i-1].seq+1 == a.rows[i].seq
}

func chained(prev, body []byte) []byte {
	sum := sha256.Sum256(append(bytes.Clone(prev), body...))
	return sum[:]
}

func fits(prev, body, hash []byte) bool { return bytes.Equal(chained(prev, body), hash) }

// broken says why row i does not follow from the hash before it.
func (a *auditor) broken(i int, prev []byte) {
	seq := a.rows[i].seq
	switch {
	case a.hashAlone(i, prev):
		a.say("event %d: its hash was changed, its content was not", seq)
		a.excused = true
	case a.copied(i):
	case a.moved(i):
	case a.trusted(i) && int64(len(a.rows)) < a.end.count && a.numbered():
		a.say("event %d was changed, or events before it were taken out", seq)
	case a.trusted(i):
		a.say("event %d: its content was changed", seq)
	default:
		a.say("event %d does not follow from the event before it", seq)
	}
}

// hashAlone reports whether the content of row i fits both neighbours and only
// its hash does not.
func (a *auditor) hashAlone(i int, prev []byte) bool {
	want := chained(prev, a.rows[i].body)
	if i+1 < len(a.rows) {
		next := a.rows[i+1]
		return next.seq == a.rows[i].seq+1 && fits(want, next.body, next.hash)
	}
	return bytes.Equal(want, a.end.hash[:])
}

// trusted reports whether what follows row i confirms its hash.
func (a *auditor) trusted(i int) bool {
	if i+1 < len(a.rows) {
		return fits(a.rows[i].hash, a.rows[i+1].body, a.rows[i+1].hash)
	}
	return bytes.Equal(a.rows[i].hash, a.end.hash[:])
}

// numbered reports whether the places have no gap, so that missing events
// must have been closed up.
func (a *auditor) numbered() bool {
	n := len(a.rows)
	return a.rows[0].seq == 1 && a.rows[n-1].seq == int64(n)
}

// maxSearches bounds the search for the true places of rows, each of which
// looks at the whole log.
const maxSearches = 50

// copied looks for an earlier row with the same content.
func (a *auditor) copied(i int) bool {
	if a.searches++; a.searches > maxSearches {
		return false
	}
	for _, r := range a.rows[:i] {
		if bytes.Equal(r.body, a.rows[i].body) {
			a.say("event %d is a copy of event %d", a.rows[i].seq, r.seq)
			return true
		}
	}
	return false
}

// moved looks for the place where row i would fit with its own hash.
func (a *auditor) moved(i int) bool {
	if a.searches > maxSearches {
		return false
	}
	r, first := a.rows[i], start().hash
	if fits(first[:], r.body, r.hash) {
		a.say("the first event stands at place %d: it was moved", r.seq)
		return true
	}
	for _, p := range a.rows {
		if fits(p.hash, r.body, r.hash) {
			a.say("the event at place %d was moved: it belongs after the one at place %d", r.seq, p.seq)
			return true
		}
	}
	return false
}

// tail compares the end of the log with the row that says where it ends.
func (a *auditor) tail() {
	var last row
	if n := len(a.rows); n > 0 {
		last = a.rows[n-1]
	}
	switch {
	case a.end.count <= 0:
		a.say("the row that says where the log ends is missing or empty")
	case last.seq < a.end.count:
		a.say("the log was cut off after event %d: %d events were recorded", last.seq, a.end.count)
	case last.seq > a.end.count:
		a.say("events after %d were put in: %d events were recorded", a.end.count, a.end.count)
	case len(a.problems) == 0 && !bytes.Equal(last.hash, a.end.hash[:]):
		a.say("the row that says where the log ends was changed: its hash is not that of event %d", last.seq)
	}
}
