package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"errors"
	"fmt"
	"os"
)

// A witness says, beside the study and outside its journal, what was recorded last.
//
// While a study is open its newest events lie in the journal alone. When that is
// deleted, emptied, cut or damaged the database takes what is left for the whole study:
// events that were acknowledged are gone, and nothing in the file says so. The witness
// does. It is written after each commit and not synced, so it never says more than was
// on the disk, and at a power cut perhaps less; it is taken away when the study is closed
// and no journal is left.
type witness struct {
	first hash // of the event that began the study: a file of another study has none to fear
	last  link
}

const (
	witnessTail = "-head" // NAME.soaktag-head, while the study is open
	lostTail    = "-lost" // what it was called by since the study was found to fall short of it
)

// text is one line of always the same length, with a check of its own: a torn one is none.
func (w witness) text() string {
	line := fmt.Sprintf("soaktag head 1 %s %012d %s", w.first, w.last.count, w.last.hash)
	return fmt.Sprintf("%s %x\n", line, sumOfLine(line))
}

func sumOfLine(line string) []byte {
	sum := sha256.Sum256([]byte(line))
	return sum[:4]
}

// readWitness reads a witness; false where there is none, or none that can be read.
func readWitness(name string) (w witness, ok bool) {
	info, err := os.Lstat(name)
	if err != nil || !info.Mode().IsRegular() { // a pipe would have everybody wait
		return w, false
	}
	text, err := os.ReadFile(name)
	if err != nil {
		return w, false
	}
	var first, last []byte
	if _, err := fmt.Sscanf(string(text), "soaktag head 1 %x %d %x", &first, &w.last.count, &last); err != nil {
		return w, false
	}
	copy(w.first[:], first)
	copy(w.last.hash[:], last)
	return w, w.last.count > 0 && w.text() == string(text)
}

// A Loss is what a study falls short of: events that were recorded, and of which the
// journal that they were in is gone.
type Loss struct {
	Recorded int64  // the last event that was recorded
	Holds    int64  // events in the file as it was found
	Journal  string // the file that they were in
	Witness  string // the file that says so
}

// String is the loss in a sentence, with the way out.
func (l *Loss) String() string {
	var what string
	switch missing := l.Recorded - l.Holds; {
	case missing <= 0:
		what = fmt.Sprintf("event %d is not the one that was recorded", l.Recorded)
	case missing == 1:
		what = fmt.Sprintf("1 event that was recorded is missing, event %d", l.Recorded)
	default:
		what = fmt.Sprintf("%d events that were recorded are missing, the last of them event %d", missing, l.Recorded)
	}
	return fmt.Sprintf("%s: the journal %s was deleted, cut or damaged. Put it back beside the study, if there is a copy of it, before anything else; "+
		"else write up again what is missing, from the last backup, the sheets and the photographs, and then delete %s", what, l.Journal, l.Witness)
}

// A log that is asked for the hash of its nth event; false where it has none.
type hashes func(seq int64) (hash, bool, error)

// missing is what of a witness a log of so many events does not hold; nil for nothing,
// and where the witness is of another study.
func (w witness) missing(path string, holds int64, at hashes) (*Loss, error) {
	first, ok, err := at(1)
	if err != nil || !ok || first != w.first {
		return nil, err
	}
	got, ok, err := at(w.last.count)
	if err != nil || ok && got == w.last.hash {
		return nil, err
	}
	return &Loss{Recorded: w.last.count, Holds: holds, Journal: path + "-wal"}, nil
}

// missed compares the study at path with its witnesses, as they were read before it was:
// who goes on writing is not to be taken for a loss. What a study holds again, since its
// journal was put back, is no loss any more.
func missed(path string, holds int64, at hashes, before map[string]witness) (found *Loss, err error) {
	for _, tail := range []string{lostTail, witnessTail} {
		w, ok := before[tail]
		if !ok {
			continue
		}
		loss, err := w.missing(path, holds, at)
		switch {
		case err != nil:
			return nil, err
		case loss != nil && (found == nil || loss.Recorded > found.Recorded):
			found = loss
			found.Witness = path + tail
		}
	}
	return found, nil
}

func witnesses(path string) map[string]witness {
	all := map[string]witness{}
	for _, tail := range []string{lostTail, witnessTail} {
		if w, ok := readWitness(path + tail); ok {
			all[tail] = w
		}
	}
	return all
}

// hashAt is the hash of one event in the file.
func (f *file) hashAt(seq int64) (h hash, ok bool, err error) {
	var sum []byte
	err = f.conn.QueryRowContext(context.Background(), "SELECT hash FROM event WHERE seq = ?", seq).Scan(&sum)
	if errors.Is(err, sql.ErrNoRows) {
		return h, false, nil
	}
	return h, copy(h[:], sum) == len(h), err
}

// keepLoss has the witness of a loss outlast what is recorded from now on.
func keepLoss(path string, found *Loss) {
	if found == nil {
		_ = os.Remove(path + lostTail) // there mostly is none
		return
	}
	if found.Witness == path+witnessTail && os.Rename(path+witnessTail, path+lostTail) == nil {
		found.Witness = path + lostTail
	}
}

// A witnessing writes the witness of an open study.
type witnessing struct {
	name string
	file *os.File
	dead bool // it could not be written: recording goes on without
}

// says writes what was recorded last. What keeps it from that keeps nobody from
// recording: the event is on the disk.
func (w *witnessing) says(it witness) {
	if w.dead {
		return
	}
	var err error
	if w.file == nil {
		w.file, err = openWitness(w.name)
	}
	if err == nil {
		_, err = w.file.WriteAt([]byte(it.text()), 0)
	}
	w.dead = err != nil
}

// openWitness opens a witness to write, or makes it; what has its name and is no file
// stays as it is.
func openWitness(name string) (*os.File, error) {
	if info, err := os.Lstat(name); err == nil && !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s is no file", name)
	}
	return os.OpenFile(name, os.O_WRONLY|os.O_CREATE, 0o666)
}

// close takes the witness away, unless events are still in a journal: then another
// program has the study open, or this one could not finish.
func (w *witnessing) close(path string) {
	if w.file != nil {
		_ = w.file.Close()
	}
	if w.name != "" && !unfinished(path) {
		_ = os.Remove(w.name) // there is none where nothing was recorded
	}
}
