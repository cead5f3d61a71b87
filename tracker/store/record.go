package store

import (
	"fmt"

	"soaktag/tracker"
)

// Record appends events and returns what the record makes of each of them, in
// order. All of them are kept or none. An event whose id is known already is
// not appended again; its verdict is that of the one that was kept. What is
// returned without an error is on the disk.
//
// Every error says NOT recorded, but ErrUnknown: the disk failed while it was to keep the
// events, and who opens the study next may find them; the same ids again are harmless.
// ErrBusy: another process went on writing for 15 s. ErrFull: no space left. ErrMoved: the
// study's file is no longer under its name. ErrBody: an event without an id, of an unknown
// kind or with a time outside the years 1 to 9999. tracker.ErrSetAside: what an
// event replaces or voids was set aside since it was looked at. ErrPhoto: an event names a
// photograph whose bytes are not in the study; see Keep.
func (db *DB) Record(events ...tracker.Event) ([]tracker.Verdict, error) {
	return db.record(photo{}, events)
}

func (db *DB) record(p photo, events []tracker.Event) ([]tracker.Verdict, error) {
	db.mu.Lock()
	defer db.mu.Unlock()
	entries, kept, err := canonical(events)
	if err != nil {
		return nil, fmt.Errorf("NOT recorded: %w", err)
	}
	if err := run(db.log.immediate); err != nil {
		return nil, fmt.Errorf("NOT recorded: %w", explain(db.log.path, err))
	}
	if err := db.append(p, entries, kept); err != nil {
		return db.recover(kept, err)
	}
	db.recorded()
	return db.verdicts(kept), nil
}

// An entry is an event as it is stored.
type entry struct {
	id   string
	body []byte
}

// canonical returns the events as they are stored, and as they will be read
// back, so that the record never holds what the file does not.
func canonical(events []tracker.Event) ([]entry, []tracker.Event, error) {
	entries, kept := make([]entry, len(events)), make([]tracker.Event, len(events))
	for i, e := range events {
		body := Encode(e)
		back, err := Decode(body)
		if err != nil {
			return nil, nil, fmt.Errorf("event %q: %w", e.ID, err)
		}
		entries[i], kept[i] = entry{back.ID, body}, back
	}
	return entries, kept, nil
}

// append appends what was recorded here: of nothing that was set aside since, and with
// photographs that are in the file, but for p.
func (db *DB) append(p photo, entries []entry, events []tracker.Event) error {
	if err := db.catchUp(); err != nil {
		return err
	}
	return db.take(entries, events, db.rec.Stale, func(e tracker.Event) error { return db.log.secure(e, p) })
}

// take folds and stores what is not known yet, and commits. may says why an event cannot
// be taken; secure sees to it that the photograph which a new one names is in the file.
func (db *DB) take(entries []entry, events []tracker.Event, may, secure func(tracker.Event) error) error {
	at := db.at
	for i, e := range events {
		db.tell(i, len(events))
		if err := may(e); err != nil {
			return err
		}
		e.Seq = at.count + 1
		added, err := db.rec.Add(e)
		if err != nil {
			return err
		}
		if !added {
			continue
		}
		if err := secure(e); err != nil {
			return err
		}
		if at, err = db.log.append(at, entries[i]); err != nil {
			return err
		}
	}
	db.tell(len(events), len(events))
	if err := db.id.unmoved(); err != nil {
		return err
	}
	if err := db.log.finish(db.at, at); err != nil {
		return err
	}
	db.at = at
	return nil
}

// tellEvery is how many events are taken up between two words of progress.
const tellEvery = 256

func (db *DB) tell(done, of int) {
	if db.Progress != nil && (done%tellEvery == 0 || done == of) {
		db.Progress(done, of)
	}
}

// recover puts the record right after a failed append, which may have folded
// what was never kept. The file has the last word: a commit that reported an
// error but reached the disk did record.
func (db *DB) recover(events []tracker.Event, cause error) ([]tracker.Verdict, error) {
	_ = run(db.log.rollback) // fails when the database has rolled back by itself
	db.forget()
	if err := db.refresh(); err != nil {
		return nil, unknown(db.log.path, cause)
	}
	for _, e := range events {
		if _, kept := db.rec.Event(e.ID); !kept {
			return nil, notKept(db.log.path, cause)
		}
	}
	return db.verdicts(events), nil
}

func (db *DB) verdicts(events []tracker.Event) []tracker.Verdict {
	kept := make([]tracker.Event, len(events))
	for i, e := range events {
		kept[i], _ = db.rec.Event(e.ID)
	}
	return db.rec.Verdicts(kept)
}
