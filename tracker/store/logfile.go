package store

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"soaktag/tracker"
)

// WriteLog writes the log as JSON lines, one event a line in the order of the
// log: every field that is not zero in words, times in UTC to the millisecond,
// and the hash of the chain at that event. RestoreLog reads it.
func (db *DB) WriteLog(w io.Writer) error {
	db.mu.Lock()
	defer db.mu.Unlock()
	buf := bufio.NewWriter(w)
	err := db.log.writeTo(buf)
	return errors.Join(explain(db.log.path, err), buf.Flush())
}

// writeTo writes one statement's view of the log, which is of one instant.
func (log *eventLog) writeTo(w io.Writer) error {
	rows, err := log.conn.QueryContext(context.Background(), "SELECT body, hash FROM event ORDER BY seq")
	if err != nil {
		return err
	}
	out, at := json.NewEncoder(w), start()
	out.SetEscapeHTML(false)
	for rows.Next() {
		var body, sum []byte
		if err = rows.Scan(&body, &sum); err != nil {
			break
		}
		if at, err = log.writeLine(out, at, body, sum); err != nil {
			break
		}
	}
	return errors.Join(err, rows.Err(), rows.Close())
}

func (log *eventLog) writeLine(out *json.Encoder, at link, body, sum []byte) (link, error) {
	at = at.next(body, &log.scratch)
	e, err := Decode(body)
	if err != nil || !bytes.Equal(sum, at.hash[:]) {
		return at, damaged(log.path, fmt.Sprintf("event %d does not fit the chain of hashes", at.count))
	}
	l := inWords(e)
	l.Seq, l.Hash = at.count, at.hash.String()
	return at, out.Encode(l)
}

// RestoreLog makes a study at the path to, which must not exist, of a log that
// WriteLog wrote. The new study has the same events and the same head hash. A
// line that cannot be read, is out of order or does not fit its hash is named
// (ErrLine), and nothing is left behind.
func RestoreLog(r io.Reader, to string, read tracker.PlanReader) error {
	return create(to, func(log *eventLog, at link) error {
		entries, err := readLines(r, at, tracker.NewRecord(read))
		if err != nil {
			return err
		}
		return log.commitAll(at, entries)
	})
}

// readLines reads a log in words, checks its chain from the place at, and folds
// it into rec.
func readLines(r io.Reader, at link, rec *tracker.Record) ([]entry, error) {
	in := bufio.NewReader(r)
	l := lines{at: at, rec: rec}
	for n := 1; ; n++ {
		text, err := in.ReadBytes('\n')
		if text = bytes.TrimSpace(text); len(text) > 0 {
			if bad := l.line(text); bad != nil {
				return nil, faultf(ErrLine, "line %d: %v", n, bad)
			}
		}
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("reading the log: %w", err)
		}
	}
	if len(l.entries) == 0 {
		return nil, faultf(ErrLine, "the log is empty")
	}
	return l.entries, nil
}

type lines struct {
	at      link
	rec     *tracker.Record
	entries []entry
	scratch []byte
}

func (l *lines) line(text []byte) error {
	in := json.NewDecoder(bytes.NewReader(text))
	in.DisallowUnknownFields()
	var w words
	if err := in.Decode(&w); err != nil {
		return err
	}
	if in.More() {
		return errors.New("more than one event")
	}
	e, err := w.event()
	if err != nil {
		return err
	}
	return l.event(e, w)
}

// event takes the event of a line, in its canonical form.
func (l *lines) event(e tracker.Event, w words) error {
	body := Encode(e)
	e, err := Decode(body)
	if err != nil {
		return err
	}
	l.at = l.at.next(body, &l.scratch)
	switch {
	case w.Seq != l.at.count:
		return fmt.Errorf("it is event %d where event %d should stand; lines are missing, doubled or in another order", w.Seq, l.at.count)
	case w.Hash != l.at.hash.String():
		return fmt.Errorf("event %q does not fit its hash; it, or a line before it, was changed", e.ID)
	case l.at.count == 1 && e.Kind != tracker.Begun:
		return fmt.Errorf("the first event is of kind %q, not %q", e.Kind, tracker.Begun)
	}
	e.Seq = l.at.count
	added, err := l.rec.Add(e)
	if err == nil && !added {
		err = fmt.Errorf("event %q stands in the log twice", e.ID)
	}
	l.entries = append(l.entries, entry{e.ID, body})
	return err
}
