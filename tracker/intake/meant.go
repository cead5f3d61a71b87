package intake

import (
	"slices"
	"strings"

	"soaktag/tracker"
)

// A Meant says which entries an amendment is about.
type Meant struct {
	Events  []string        // each last, the beginning of an id, a number, or numbers "12-65"
	Command string          // last, or an event: all that the command recorded which recorded it
	File    string          // all that importing this table recorded,
	Rows    []tracker.Event // as package tables reads it
	Back    bool            // to be taken back: the last command may be one that set entries aside
}

// An entry is what somebody recorded, and what counts of it now.
type entry struct{ was, now tracker.Event }

// Entries lists what an amendment would be about, as it counts now, and the same
// meant so that it stays the same, whatever is recorded meanwhile. The error is a
// *Refusal.
func (d *Desk) Entries(m Meant) (Meant, []tracker.Event, error) {
	entries, err := d.meant(m)
	if err != nil || len(entries) == 0 {
		return m, nil, err
	}
	if strings.EqualFold(m.Command, "last") {
		m.Command = entries[0].was.ID
	}
	m.Events = slices.Clone(m.Events)
	for i, word := range m.Events {
		if last, err := lastEvent(d.rec); err == nil && strings.EqualFold(word, "last") {
			m.Events[i] = last.ID
		}
	}
	return m, nowOf(entries), nil
}

func nowOf(entries []entry) (now []tracker.Event) {
	for _, e := range entries {
		now = append(now, e.now)
	}
	return now
}

// meant finds the entries that an amendment is about, each once.
func (d *Desk) meant(m Meant) ([]entry, error) {
	if len(m.Events) == 0 && m.Command == "" && m.File == "" {
		return nil, refuse("which event? nothing recorded").because(WhichEvent{})
	}
	var all []entry
	for _, word := range m.Events {
		if slices.Contains(Correctable(), plainField(word)) {
			return nil, refuse("%q is not FIELD=VALUE; for example stage=lift-out", word)
		}
		events, err := d.standing(word)
		if err != nil {
			return nil, err
		}
		for _, e := range events {
			all = append(all, entry{e, e})
		}
	}
	all = append(all, d.left(imported(m.Rows), amendable)...)
	if m.Command != "" {
		of, err := d.ofCommand(m.Command, m.Back)
		if err != nil {
			return nil, err
		}
		all = append(all, of...)
	}
	if len(all) == 0 {
		return nil, nothingLeft(m)
	}
	slices.SortStableFunc(all, func(a, b entry) int { return int(a.was.Seq - b.was.Seq) })
	return slices.CompactFunc(all, func(a, b entry) bool { return a.now.ID == b.now.ID }), nil
}

// ofCommand lists what counts of all that a command recorded: of one that set entries
// aside, or accepted marks, that, so that it is taken back; else its facts.
func (d *Desk) ofCommand(word string, back bool) ([]entry, error) {
	e, err := eventNamed(d.rec, word)
	if back && strings.EqualFold(word, "last") {
		e, err = lastOfAny(d.rec)
	}
	if err != nil {
		return nil, err
	}
	of := amendable
	if !amendable(e) {
		of = func(x tracker.Event) bool { return x.Kind == e.Kind }
	}
	return d.left(commandOf(d.rec, e), of), nil
}

// left lists what counts of what was recorded, of those events.
func (d *Desk) left(recorded []tracker.Event, of func(tracker.Event) bool) (all []entry) {
	for _, e := range recorded {
		was, known := d.rec.Event(e.ID)
		now, stands := d.rec.Stands(e.ID)
		if known && stands && of(was) {
			all = append(all, entry{was, now})
		}
	}
	return all
}

// amendable reports whether an entry is a fact: what only speaks of other entries
// is not meant together with facts.
func amendable(e tracker.Event) bool {
	return e.Kind != tracker.Voided && e.Kind != tracker.Accepted && e.Kind != tracker.Begun
}

// imported leaves out the rows in whose place the record has an entry that came
// from no table: what somebody typed is not taken back with a file.
func imported(rows []tracker.Event) []tracker.Event {
	return slices.DeleteFunc(slices.Clone(rows), func(e tracker.Event) bool { return e.Via != "import" })
}

func nothingLeft(m Meant) error {
	if m.File != "" {
		return refuse("nothing of %s is on record and counts; nothing recorded", m.File)
	}
	return refuse("nothing of that counts any more; nothing recorded")
}

// numbered reads numbers of events, "12-65".
func (d *Desk) numbered(word string) (all []tracker.Event, ok bool) {
	lo, hi, ok := serialRange(strings.ReplaceAll(word, "#", ""))
	if !ok {
		return nil, false
	}
	for _, e := range d.rec.Events() {
		if lo <= int(e.Seq) && int(e.Seq) <= hi && amendable(e) && !d.rec.Voided(e.ID) {
			all = append(all, e)
		}
	}
	return all, true
}
