package tables

import (
	"io"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/wholefile"
)

// WriteSalvage is WriteDir of what was saved of a damaged study, and returns its record.
// Where the event that began the study is lost nothing can be worked out: then the log
// alone is written, and the record has no study.
func WriteSalvage(dir string, events []tracker.Event, read tracker.PlanReader, now time.Time, log LogWriter, photos PhotoWriter) (*tracker.Record, error) {
	rec := tracker.NewRecord(read)
	for i, e := range events {
		e.Seq = int64(i + 1)
		if _, err := rec.Add(e); err != nil {
			return nil, err
		}
	}
	if rec.Study() != nil {
		return rec, WriteDir(dir, Export{Record: rec, Now: now, Log: log, Photos: photos})
	}
	if err := wholefile.MakeFolder(dir); err != nil {
		return nil, err
	}
	if err := free(dir, []string{"log.jsonl"}); err != nil {
		return nil, err
	}
	return rec, put(dir, []file{{"log.jsonl", func(w io.Writer) error { _, _, err := log(w); return err }}}, nil)
}
