package store

import (
	"context"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"

	"soaktag/tracker"
)

// An eventLog is a file of ours with its statements prepared.
type eventLog struct {
	*file
	begin, immediate, commit, rollback *sql.Stmt
	readEnd, readBodies                *sql.Stmt
	insert, setEnd                     *sql.Stmt
	scratch                            []byte
}

func newEventLog(f *file) (*eventLog, error) {
	log := &eventLog{file: f}
	for _, s := range []struct {
		to   **sql.Stmt
		text string
	}{
		{&log.begin, "BEGIN"},
		{&log.immediate, "BEGIN IMMEDIATE"},
		{&log.commit, "COMMIT"},
		{&log.rollback, "ROLLBACK"},
		{&log.readEnd, "SELECT count, hash FROM head"},
		{&log.readBodies, "SELECT body FROM event WHERE seq > ? ORDER BY seq"},
		{&log.insert, "INSERT INTO event(seq, id, body, hash) VALUES(?, ?, ?, ?)"},
		{&log.setEnd, "UPDATE head SET count = ?, hash = ?"},
	} {
		stmt, err := f.prepare(s.text)
		if err != nil {
			return nil, err
		}
		*s.to = stmt
	}
	return log, nil
}

func run(stmt *sql.Stmt, args ...any) error {
	_, err := stmt.ExecContext(context.Background(), args...)
	return err
}

// create makes a new, empty study at path and lets fill append to it.
func create(path string, fill func(log *eventLog, at link) error) error {
	return build(path, func(temp string) error {
		f, err := openFile(temp, readWrite)
		if err != nil {
			return err
		}
		err = f.beginEmpty(fill)
		return errors.Join(explain(path, err), f.close())
	})
}

func (f *file) beginEmpty(fill func(log *eventLog, at link) error) error {
	if err := f.setWAL(); err != nil {
		return err
	}
	at := start()
	if err := f.exec(fmt.Sprintf("PRAGMA application_id=%d; PRAGMA user_version=%d; %s", applicationID, plainFormat, schema)); err != nil {
		return err
	}
	if err := f.exec("INSERT INTO head VALUES(1, 0, ?)", at.hash[:]); err != nil {
		return err
	}
	log, err := newEventLog(f)
	if err != nil {
		return err
	}
	return fill(log, at)
}

// end returns where the file says that the log ends.
func (log *eventLog) end() (link, error) {
	var at link
	var sum sql.RawBytes
	rows, err := log.readEnd.QueryContext(context.Background())
	if err != nil {
		return link{}, err
	}
	for rows.Next() {
		err = errors.Join(err, rows.Scan(&at.count, &sum))
		if copy(at.hash[:], sum) != len(at.hash) {
			at.count = 0
		}
	}
	if err := errors.Join(err, rows.Err(), rows.Close()); err != nil {
		return link{}, err
	}
	if at.count <= 0 {
		return link{}, damaged(log.path, "the row that says where the log ends is missing or empty")
	}
	return at, nil
}

// append stores one event after the place at and returns the new place.
func (log *eventLog) append(at link, e entry) (link, error) {
	at = at.next(e.body, &log.scratch)
	return at, run(log.insert, at.count, e.id, e.body, at.hash[:])
}

// finish notes where the log ends now, if it has grown, and commits.
func (log *eventLog) finish(was, now link) error {
	if now != was {
		if err := run(log.setEnd, now.count, now.hash[:]); err != nil {
			return err
		}
	}
	return run(log.commit)
}

// commitAll stores events in one transaction.
func (log *eventLog) commitAll(was link, entries []entry) (err error) {
	if err := run(log.immediate); err != nil {
		return err
	}
	at := was
	for _, e := range entries {
		if at, err = log.append(at, e); err != nil {
			return err
		}
	}
	return log.finish(was, at)
}

// String writes the hash in hexadecimal.
func (h hash) String() string { return hex.EncodeToString(h[:]) }

// mostExpected bounds the room made at once: a damaged file may name any count.
const mostExpected = 1 << 18

// fold adds the events after the place at to rec and returns the new place,
// which must be end. A transaction is open, so end and the rows are of one
// instant. Only the bytes are read: the chain over them must arrive at end,
// which finds any change in them; the other columns are left to Verify.
func (log *eventLog) fold(at, end link, rec *tracker.Record) (link, error) {
	if end.count < at.count {
		return at, damaged(log.path, fmt.Sprintf("it had %d events a moment ago and has %d now", at.count, end.count))
	}
	rows, err := log.readBodies.QueryContext(context.Background(), at.count)
	if err != nil {
		return at, err
	}
	rec.Expect(int(min(end.count-at.count, mostExpected)))
	f := folding{at: at, scratch: log.scratch, seq: at.count, rec: rec}
	err = errors.Join(f.all(rows), rows.Close())
	log.scratch = f.scratch
	if errors.Is(err, ErrBody) {
		return at, damaged(log.path, err.Error())
	}
	if err == nil && f.at != end {
		err = damaged(log.path, fmt.Sprintf("its %d events do not fit the chain of hashes that ends at event %d", f.at.count, end.count))
	}
	return f.at, err
}
