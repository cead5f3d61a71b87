package store

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"testing"
	"time"

	"soaktag/tracker"
)

// BenchmarkRecord records one scan at a time in a study of 2,000 specimens;
// BenchmarkBareAppend appends and syncs the same bytes to a plain file on the
// same disk. BenchmarkRecordRatio does both by turns, which is what to trust on
// a disk that others use.
func BenchmarkRecord(b *testing.B) {
	db, _ := newStudy(b, 2000, 1)
	for i := 0; b.Loop(); i++ {
		mustRecord(b, db, stageEvent(i, 2000))
	}
}

func BenchmarkBareAppend(b *testing.B) {
	f := bareFile(b)
	for i := 0; b.Loop(); i++ {
		bareAppend(b, f, Encode(stageEvent(i, 2000)))
	}
}

func bareFile(b *testing.B) *os.File {
	b.Helper()
	f, err := os.Create(filepath.Join(b.TempDir(), "bare"))
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = f.Close() })
	return f
}

func bareAppend(b *testing.B, f *os.File, body []byte) {
	b.Helper()
	_, err := f.Write(body)
	if err := errors.Join(err, f.Sync()); err != nil {
		b.Fatal(err)
	}
}

// BenchmarkRecordRatio records a scan in a study that holds 20,000 events,
// what the record says of it included, by turns with a bare append and sync of
// the same bytes. The target is 1.4.
func BenchmarkRecordRatio(b *testing.B) {
	const held = 20_000
	db, _ := newStudy(b, 2000, held)
	f := bareFile(b)
	var ours, bare []float64
	for i := held; b.Loop(); i++ {
		e := stageEvent(i, 2000)
		body := Encode(e)
		ours = append(ours, seconds(func() { mustRecord(b, db, e) }))
		bare = append(bare, seconds(func() { bareAppend(b, f, body) }))
	}
	ratio(b, ours, bare)
}

func seconds(do func()) float64 {
	t := time.Now()
	do()
	return time.Since(t).Seconds()
}

// ratio reports the medians of two series taken by turns, and their ratio.
func ratio(b *testing.B, ours, bare []float64) {
	b.Helper()
	slices.Sort(ours)
	slices.Sort(bare)
	x, y := ours[len(ours)/2], bare[len(bare)/2]
	b.ReportMetric(x*1e6, "ours-µs")
	b.ReportMetric(y*1e6, "bare-µs")
	b.ReportMetric(x/y, "ratio")
}

// study100k has 100,000 events of 15,000 specimens.
func study100k(b *testing.B) string {
	b.Helper()
	const n = 15000
	path := filepath.Join(b.TempDir(), "study.soaktag")
	err := create(path, func(log *eventLog, at link) error {
		entries := []entry{{"begun", Encode(begun(n))}}
		for i := range 100000 - 1 {
			e := stageEvent(i, n)
			entries = append(entries, entry{e.ID, Encode(e)})
		}
		return log.commitAll(at, entries)
	})
	if err != nil {
		b.Fatal(err)
	}
	return path
}

func BenchmarkReadLog100k(b *testing.B) {
	path := study100k(b)
	for b.Loop() {
		openAndClose(b, path)
	}
}

func openAndClose(b *testing.B, path string) *tracker.Record {
	b.Helper()
	db, err := Open(path, readPlan)
	if err != nil {
		b.Fatal(err)
	}
	rec := db.rec
	if err := db.Close(); err != nil {
		b.Fatal(err)
	}
	return rec
}

func BenchmarkBareSelect100k(b *testing.B) {
	path := study100k(b)
	for b.Loop() {
		bareSelect(b, path)
	}
}

// bareSelect opens the file and scans id, body and hash of every row, nothing more.
func bareSelect(b *testing.B, path string) {
	b.Helper()
	f, err := openFile(path, readWrite)
	if err != nil {
		b.Fatal(err)
	}
	rows, err := f.conn.QueryContext(context.Background(), "SELECT id, body, hash FROM event ORDER BY seq")
	if err != nil {
		b.Fatal(err)
	}
	var r row
	for rows.Next() {
		if err := rows.Scan(&r.id, &r.body, &r.hash); err != nil {
			b.Fatal(err)
		}
	}
	if err := errors.Join(rows.Err(), rows.Close(), f.close()); err != nil {
		b.Fatal(err)
	}
}

// BenchmarkDueRatio opens 100,000 events (read, hash, decode, fold) and asks
// what is due, by turns with a bare SELECT, with the garbage collector set as
// the program sets it. The target is 3; open-ratio is the opening alone.
func BenchmarkDueRatio(b *testing.B) {
	defer debug.SetGCPercent(debug.SetGCPercent(400))
	path := study100k(b)
	const turns = 7 // so that one long turn does not decide
	var open, due, bare []float64
	for b.Loop() {
		for range turns {
			opening, all := openAndDue(b, path)
			open, due = append(open, opening), append(due, all)
			runtime.GC()
			bare = append(bare, seconds(func() { bareSelect(b, path) }))
		}
	}
	ratio(b, due, bare)
	slices.Sort(open)
	b.ReportMetric(open[len(open)/2]/bare[len(bare)/2], "open-ratio")
}

// openAndDue returns the seconds that opening took, and those until what is due
// was known.
func openAndDue(b *testing.B, path string) (opening, all float64) {
	b.Helper()
	runtime.GC()
	var rec *tracker.Record
	opening = seconds(func() { rec = openAndClose(b, path) })
	return opening, opening + seconds(func() { rec.Due(noon.Add(300 * time.Hour)) })
}
