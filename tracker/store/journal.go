package store

import "time"

// What was recorded last lies in the journal alone, which can be deleted by whoever takes
// it for rubbish. So it is moved into the file after so many recordings, and after a
// pause: a move costs two syncs, and nobody who scans one label after the other waits.
const (
	moveEvery = 64
	movePause = 2 * time.Second
)

// moving counts what was recorded since the journal was moved into the file.
type moving struct {
	waits int
	pause *time.Timer
	ended bool
}

// recorded is called, locked, after each recording.
func (db *DB) recorded() {
	db.witness.says(witness{db.first, db.at})
	m := &db.moving
	if m.waits++; m.waits >= moveEvery {
		db.moveJournal()
	}
	if m.pause == nil {
		m.pause = time.AfterFunc(movePause, db.paused)
	}
	m.pause.Reset(movePause)
}

func (db *DB) paused() {
	db.mu.Lock()
	defer db.mu.Unlock()
	if !db.moving.ended && db.moving.waits > 0 {
		db.moveJournal()
	}
}

// moveJournal moves what it can. Where it cannot, the journal stays as good as it was.
func (db *DB) moveJournal() {
	db.moving.waits = 0
	_ = db.log.exec("PRAGMA wal_checkpoint(PASSIVE)")
}

// InJournal is how many of the events of the study at path are still in the journal, not in
// the file itself; 0 too where that cannot be told, as while it is being moved.
func InJournal(path string, events int64) int64 {
	if !unfinished(path) {
		return 0
	}
	f, err := openStudy(path, frozen)
	if err != nil {
		return 0
	}
	end, err := f.lastRow()
	if f.close() != nil || err != nil {
		return 0
	}
	return max(0, events-end.count)
}
