package tables

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/strength"
)

// An Export is what WriteDir writes.
type Export struct {
	Record *tracker.Record
	Now    time.Time // running intervals are judged at this instant
	Plan   []byte    // plan.toml; the plan in force when nil
	Log    LogWriter // writes log.jsonl; no such file when nil
}

// A LogWriter writes the whole log and returns the hash of its last event and
// the number of events, which the description keeps: see LogEnd.
type LogWriter func(io.Writer) (head string, events int64, err error)

// These in datapackage.json tell our own export from somebody else's files,
// also one that stopped half-way.
const (
	marker     = "export/1"
	unfinished = "export/1 unfinished"
)

// A file is one to be written: its name and what writes it.
type file struct {
	name  string
	write func(io.Writer) error
}

// WriteDir writes the study into a folder, making it where needed:
// specimens.csv, events.csv, drift.csv, results.csv, groups.csv,
// retention.csv, comparisons.csv, datapackage.json, plan.toml and log.jsonl.
//
// Each file is written under a temporary name, synced and renamed: first a
// description that says unfinished, the one that says finished last. An earlier
// export of ours, finished or not, is replaced; a folder in which one of the
// names is somebody else's is refused (fs.ErrExist), and nothing is written.
func WriteDir(dir string, in Export) error {
	if in.Record.Study() == nil {
		return errors.New("there is no study to export")
	}
	files := in.files()
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return fmt.Errorf("exporting: %w", err)
	}
	if err := free(dir, files); err != nil {
		return err
	}
	for _, f := range files {
		if err := replace(filepath.Join(dir, f.name), f.write); err != nil {
			return fmt.Errorf("exporting %s: %w", f.name, err)
		}
	}
	return nil
}

func (in Export) files() []file {
	var end logEnd // known once the log is written
	tables := in.tables()
	description := func(marker string) file {
		return file{"datapackage.json", func(w io.Writer) error { return describe(w, marker, in.Record.Study(), tables, end) }}
	}
	files := []file{description(unfinished)}
	for _, t := range tables {
		files = append(files, file{t.name + ".csv", t.write})
	}
	plan := in.Plan
	if plan == nil {
		plan = in.Record.Study().Text
	}
	files = append(files, file{"plan.toml", func(w io.Writer) error { _, err := w.Write(plan); return err }})
	if in.Log != nil {
		files = append(files, file{"log.jsonl", func(w io.Writer) (err error) {
			end.Head, end.Events, err = in.Log(w)
			return err
		}})
	}
	return append(files, description(marker))
}

func (in Export) tables() []table {
	results := strength.Results(in.Record)
	return []table{specimenTable(in.Record), eventTable(in.Record), driftTable(NewDrift(in.Record.Drift(in.Now))),
		resultTable(results), groupTable(results), retentionTable(results), comparisonTable(results)}
}

// free refuses a folder that holds a file of one of our names, unless it is
// an earlier export.
func free(dir string, files []file) error {
	if earlier(filepath.Join(dir, "datapackage.json")) {
		return nil
	}
	for _, f := range files {
		path := filepath.Join(dir, f.name)
		if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
			return &takenError{path}
		}
	}
	return nil
}

// A takenError is a name that somebody else's file has: fs.ErrExist.
type takenError struct{ path string }

func (e *takenError) Error() string {
	return e.path + " is there already and is not from an export: name another folder, soaktag export DIR"
}

func (e *takenError) Unwrap() error { return fs.ErrExist }

func earlier(path string) bool {
	text, err := os.ReadFile(path)
	var d struct {
		Soaktag string `json:"soaktag"`
	}
	return err == nil && json.Unmarshal(text, &d) == nil && strings.HasPrefix(d.Soaktag, "export/")
}

// logEnd is what the description of an export says of its log.
type logEnd struct {
	Events int64  `json:"soaktag_events,omitempty"`
	Head   string `json:"soaktag_head,omitempty"`
}

// LogEnd reads from the description of an export how far its log.jsonl goes:
// the hash of the last event and the number of events. Where there is no
// description, or it says nothing of a log, the number is 0. A description that
// cannot be read is an error.
func LogEnd(dir string) (head string, events int64, err error) {
	path := filepath.Join(dir, "datapackage.json")
	text, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return "", 0, nil
	}
	var end logEnd
	if err == nil {
		err = json.Unmarshal(text, &end)
	}
	if err != nil {
		return "", 0, fmt.Errorf("reading how long the log should be from %s: %w", path, err)
	}
	return end.Head, end.Events, nil
}

// replace writes a file under a temporary name, syncs and renames it.
func replace(path string, write func(io.Writer) error) (err error) {
	f, err := os.CreateTemp(filepath.Dir(path), ".export-*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	if err = write(f); err != nil {
		return err
	}
	if err = errors.Join(f.Chmod(0o644), f.Sync(), f.Close()); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}

// A resource describes one CSV file, as the open tabular data package
// descriptor has it.
type resource struct {
	Name        string `json:"name"`
	Path        string `json:"path"`
	Profile     string `json:"profile"`
	Description string `json:"description"`
	Format      string `json:"format"`
	MediaType   string `json:"mediatype"`
	Encoding    string `json:"encoding"`
	Schema      schema `json:"schema"`
}

type schema struct {
	Fields        []field  `json:"fields"`
	MissingValues []string `json:"missingValues"`
}

// describe writes datapackage.json.
func describe(w io.Writer, marker string, s *tracker.Study, tables []table, end logEnd) error {
	d := struct {
		Soaktag string `json:"soaktag"`
		logEnd
		Profile   string     `json:"profile"`
		Name      string     `json:"name"`
		Title     string     `json:"title"`
		Zone      string     `json:"zone"`
		Resources []resource `json:"resources"`
	}{marker, end, "tabular-data-package", "study-" + strings.ToLower(s.Prefix), s.Title, zone(s), nil}
	for _, t := range tables {
		d.Resources = append(d.Resources, resource{t.name, t.name + ".csv", "tabular-data-resource", t.about, "csv", "text/csv",
			"utf-8", schema{t.fields, []string{""}}})
	}
	out := json.NewEncoder(w)
	out.SetEscapeHTML(false)
	out.SetIndent("", "  ")
	return out.Encode(d)
}

func zone(s *tracker.Study) string {
	if s.Zone == nil {
		return "UTC"
	}
	return s.Zone.String()
}
