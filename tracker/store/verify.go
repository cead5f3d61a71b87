package store

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// A Report is what Verify found.
type Report struct {
	Events   int64    // events in the file
	Head     string   // hash of the last one in hexadecimal; empty when the log cannot be read
	Problems []string // one sentence each; none when the file is whole
	Journal  int64    // events that are still in the journal beside the file, and good there
	hashes   []hash   // of the events, in the order of the log
	Unread   error    // why the file could not be read; that says nothing of damage. Also among the problems
}

// At is the event after which the log had the head hash that begins so, in hexadecimal, as
// reports, backups and worksheets print it; 0 for none.
func (r Report) At(head string) int64 {
	for i, h := range r.hashes {
		if strings.HasPrefix(h.String(), strings.ToLower(head)) {
			return int64(i) + 1
		}
	}
	return 0
}

// maxProblems is how many problems are told one by one.
const maxProblems = 100

// Verify reads the whole file at path, records nothing, and says what was done
// to it: events changed, missing, moved, doubled or cut off, photographs changed
// or missing, guards taken away, pages broken. A rewritten chain, and a cut tail whose end row was rewritten
// too, show only in a head hash that was noted elsewhere.
func Verify(path string) Report {
	before := witnesses(path)
	f, err := openToRead(path)
	if err != nil {
		return Report{}.stopped(err)
	}
	r, err := f.examine()
	if err == nil {
		err = r.beside(f, before)
	}
	if err := errors.Join(explain(path, err), f.close()); err != nil {
		return r.stopped(err)
	}
	return r
}

// beside compares the log with what lies beside it: the journal, and the witness of what
// was recorded last.
func (r *Report) beside(f *file, before map[string]witness) error {
	r.Journal = InJournal(f.path, r.Events)
	loss, err := missed(f.path, r.Events, f.hashAt, before)
	if loss != nil {
		r.Problems = append(r.Problems, loss.String())
	}
	return err
}

// stopped adds what ended the reading.
func (r Report) stopped(err error) Report {
	r.Problems = append(r.Problems, err.Error())
	if !errors.Is(err, ErrDamaged) {
		r.Unread = err
	}
	return r
}

// examine checks everything there is, as of one instant.
func (f *file) examine() (Report, error) {
	if err := f.exec("BEGIN"); err != nil {
		return Report{}, err
	}
	r, err := f.report()
	return r, errors.Join(err, f.exec("COMMIT"))
}

func (f *file) report() (Report, error) {
	pages, err := f.brokenPages()
	if err != nil {
		return Report{}, err
	}
	guards, err := f.missingParts()
	r := Report{Problems: append(pages, guards...)}
	if err != nil {
		return r, err
	}
	rows, err := f.rows()
	if err != nil {
		return r, err
	}
	end, err := f.lastRow()
	if err != nil {
		return r, err
	}
	r.Events = int64(len(rows))
	for _, row := range rows {
		var h hash
		copy(h[:], row.hash)
		r.hashes = append(r.hashes, h)
	}
	if n := len(rows); n > 0 {
		r.Head = fmt.Sprintf("%x", rows[n-1].hash)
	}
	photos, err := f.photoProblems(rows)
	r.Problems = shorten(slices.Concat(r.Problems, audit(rows, end), photos))
	return r, err
}

func shorten(problems []string) []string {
	if n := len(problems); n > maxProblems {
		return append(problems[:maxProblems], fmt.Sprintf("and %d more", n-maxProblems))
	}
	return problems
}

// brokenPages asks the database about its own structure.
func (f *file) brokenPages() ([]string, error) {
	found, err := f.texts("PRAGMA integrity_check")
	if err != nil || len(found) == 1 && found[0] == "ok" {
		return nil, err
	}
	for i, s := range found {
		found[i] = "the database file is broken: " + strings.ReplaceAll(s, "\n", "; ")
	}
	return found, nil
}

// missingParts compares the tables and guards of the file with ours.
func (f *file) missingParts() ([]string, error) {
	found, err := f.texts("SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY name")
	if err != nil {
		return nil, err
	}
	version, err := f.pragma("user_version")
	if err != nil {
		return nil, err
	}
	left, problems := strings.TrimSpace(schema), []string(nil)
	if version >= photoFormat {
		left += photoSchema
	}
	for _, part := range found {
		if !strings.Contains(left, part+";") {
			problems = append(problems, fmt.Sprintf("the file has a part that is not soaktag's: %.60q", part))
		}
		left = strings.Replace(left, part+";", "", 1)
	}
	for part := range strings.SplitSeq(left, "\nCREATE ") {
		if name, _, _ := strings.Cut(strings.TrimPrefix(strings.TrimSpace(part), "CREATE "), " BEFORE"); name != "" {
			problems = append(problems, fmt.Sprintf("a part of the file is missing or altered: %.60q", name))
		}
	}
	return problems, nil
}

func (f *file) texts(query string) (all []string, err error) {
	rows, err := f.conn.QueryContext(context.Background(), query)
	if err != nil {
		return nil, err
	}
	for rows.Next() {
		var s string
		if err = errors.Join(err, rows.Scan(&s)); err == nil {
			all = append(all, s)
		}
	}
	return all, errors.Join(err, rows.Err(), rows.Close())
}

// A row is one event as it lies in the file.
type row struct {
	seq        int64
	id         string
	body, hash []byte
}

// rows reads the whole log.
func (f *file) rows() (all []row, err error) {
	rows, err := f.conn.QueryContext(context.Background(), "SELECT seq, id, body, hash FROM event ORDER BY seq")
	if err != nil {
		return nil, err
	}
	for rows.Next() {
		var r row
		err = errors.Join(err, rows.Scan(&r.seq, &r.id, &r.body, &r.hash))
		all = append(all, r)
	}
	return all, errors.Join(err, rows.Err(), rows.Close())
}

// lastRow reads where the log should end; nothing there gives the zero link.
func (f *file) lastRow() (at link, err error) {
	rows, err := f.conn.QueryContext(context.Background(), "SELECT count, hash FROM head")
	if err != nil {
		return link{}, err
	}
	for rows.Next() {
		var sum []byte
		err = errors.Join(err, rows.Scan(&at.count, &sum))
		copy(at.hash[:], sum)
	}
	return at, errors.Join(err, rows.Err(), rows.Close())
}
