package store

import (
	"database/sql"
	"fmt"

	"soaktag/tracker"
)

// batchSize is how many rows go from reading to folding at a time; so few rows
// that they need no second goroutine.
const batchSize = 256

// A folding is the fold of a run of rows under way.
type folding struct {
	at      link
	rec     *tracker.Record
	scratch []byte
}

// all folds every row; about n are expected. Reading is most of the work, so
// hashing, decoding and folding happen beside it.
func (f *folding) all(rows *sql.Rows, n int64) error {
	if n <= batchSize {
		batch, err := readBatch(rows)
		if err != nil {
			return err
		}
		return f.batch(batch)
	}
	batches, done := make(chan [][]byte, 8), make(chan error, 1)
	go func() { done <- f.batches(batches) }()
	for {
		batch, err := readBatch(rows)
		if len(batch) > 0 {
			batches <- batch
		}
		if err != nil || len(batch) == 0 {
			close(batches)
			if folded := <-done; folded != nil {
				return folded
			}
			return err
		}
	}
}

// readBatch reads up to batchSize rows; none at the end.
func readBatch(rows *sql.Rows) ([][]byte, error) {
	batch := make([][]byte, 0, batchSize)
	for len(batch) < batchSize && rows.Next() {
		var body []byte
		if err := rows.Scan(&body); err != nil {
			return nil, err
		}
		batch = append(batch, body)
	}
	return batch, rows.Err()
}

// batches folds until there are no more; after an error it only drains.
func (f *folding) batches(batches <-chan [][]byte) (err error) {
	for batch := range batches {
		if err == nil {
			err = f.batch(batch)
		}
	}
	return err
}

func (f *folding) batch(bodies [][]byte) error {
	for _, body := range bodies {
		f.at = f.at.next(body, &f.scratch)
		e, err := Decode(body)
		if err != nil {
			return fmt.Errorf("event %d: %w", f.at.count, err)
		}
		e.Seq = f.at.count
		if _, err := f.rec.Add(e); err != nil {
			return err
		}
	}
	return nil
}
