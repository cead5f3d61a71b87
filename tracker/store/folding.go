package store

import (
	"cmp"
	"database/sql"
	"fmt"

	"soaktag/tracker"
)

// batchSize is how many rows go from reading to folding at a time.
const batchSize = 128

// A folding is the fold of a run of rows under way. Reading rows and hashing
// them take about as long as decoding and folding them (measured), so the two
// run beside each other.
type folding struct {
	at      link // of the last row read
	scratch []byte
	seq     int64 // of the last event folded
	rec     *tracker.Record
}

// all folds every row. After an error in one half the other only drains.
func (f *folding) all(rows *sql.Rows) error {
	var unread, unfolded error
	batches := make(chan []string, 8)
	go func() { defer close(batches); unread = f.read(rows, batches) }()
	for bodies := range batches {
		if unfolded == nil {
			unfolded = f.fold(bodies)
		}
	}
	return cmp.Or(unread, unfolded)
}

// read reads and hashes rows until there are no more. A body is copied once,
// into the string that the texts of its event will share.
func (f *folding) read(rows *sql.Rows, to chan<- []string) error {
	batch := make([]string, 0, batchSize)
	var body sql.RawBytes
	for rows.Next() {
		if err := rows.Scan(&body); err != nil {
			return err
		}
		f.at = f.at.next(body, &f.scratch)
		if batch = append(batch, string(body)); len(batch) == batchSize {
			to <- batch
			batch = make([]string, 0, batchSize)
		}
	}
	to <- batch
	return rows.Err()
}

func (f *folding) fold(bodies []string) error {
	for _, body := range bodies {
		f.seq++
		e, err := decode(body)
		if err != nil {
			return fmt.Errorf("event %d: %w", f.seq, err)
		}
		e.Seq = f.seq
		if _, err := f.rec.Add(e); err != nil {
			return err
		}
	}
	return nil
}
