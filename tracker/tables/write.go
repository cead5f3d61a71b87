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
	"soaktag/tracker/wholefile"
)

// An Export is what WriteDir writes.
type Export struct {
	Record *tracker.Record
	Now    time.Time   // running intervals are judged at this instant
	Plan   []byte      // plan.toml; the plan in force when nil
	Log    LogWriter   // writes log.jsonl; no such file when nil
	Photos PhotoWriter // the photographs; none are written when nil
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
// retention.csv, comparisons.csv, datapackage.json, plan.toml, log.jsonl,
// FORMAT.md, SHA256SUMS, and where there are any the photographs as photos/SHA.jpg,
// png or webp, SHA being the SHA-256 of their bytes.
//
// Each file is written under a temporary name, synced and renamed: first a
// description that says unfinished, the one that says finished last. An earlier
// export of ours, finished or not, is replaced; a folder in which one of the
// names is somebody else's is refused (fs.ErrExist), and nothing is written.
func WriteDir(dir string, in Export) error {
	if in.Record.Study() == nil {
		return errors.New("there is no study to export")
	}
	d := &description{study: in.Record.Study(), tables: in.tables()}
	files, sums := in.files(d), checksums{}
	if err := wholefile.MakeFolder(dir); err != nil {
		return err
	}
	if err := free(dir, in.names(files)); err != nil {
		return err
	}
	if err := sweep(dir); err != nil {
		return err
	}
	if err := put(dir, files, sums); err != nil {
		return err
	}
	// After the log: what it names is there, even if somebody is recording.
	photos, err := in.writePhotos(dir)
	if err != nil {
		return err
	}
	d.photos = photos
	if err := put(dir, []file{sums.file(d)}, nil); err != nil {
		return err
	}
	return put(dir, []file{d.file(marker)}, nil)
}

// put writes files one after the other, and notes their checksums.
func put(dir string, files []file, sums checksums) error {
	for _, f := range files {
		if err := wholefile.Replace(filepath.Join(dir, f.name), sums.noting(f)); err != nil {
			return fmt.Errorf("exporting %s: %w", f.name, err)
		}
	}
	return nil
}

// files are all files but the finished description and the photographs.
func (in Export) files(d *description) []file {
	files := []file{d.file(unfinished)}
	for _, t := range d.tables {
		files = append(files, file{t.name + ".csv", t.write})
	}
	plan := in.Plan
	if plan == nil {
		plan = in.Record.Study().Text
	}
	files = append(files, file{"FORMAT.md", func(w io.Writer) error { _, err := io.WriteString(w, format); return err }})
	files = append(files, file{"plan.toml", func(w io.Writer) error { _, err := w.Write(plan); return err }})
	if in.Log != nil {
		files = append(files, file{"log.jsonl", func(w io.Writer) (err error) {
			d.end.Head, d.end.Events, err = in.Log(w)
			return err
		}})
	}
	return files
}

// names are the names in the folder that an export takes.
func (in Export) names(files []file) (names []string) {
	for _, f := range files {
		names = append(names, f.name)
	}
	names = append(names, sumsName)
	if in.Photos != nil && hasPhotos(in.Record) {
		names = append(names, photoDir)
	}
	return names
}

func (in Export) tables() []table {
	results := strength.Results(in.Record)
	return []table{specimenTable(in.Record), eventTable(in.Record), driftTable(NewDrift(in.Record.Drift(in.Now))),
		resultTable(results), groupTable(results), retentionTable(results), comparisonTable(results)}
}

// free refuses a folder that holds a file of one of our names, unless it is
// an earlier export.
func free(dir string, names []string) error {
	if earlier(filepath.Join(dir, "datapackage.json")) {
		return nil
	}
	for _, name := range names {
		path := filepath.Join(dir, name)
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
// cannot be read is an error, and so is one that says that the export was never
// finished: the log beside it may be of an earlier one.
func LogEnd(dir string) (head string, events int64, err error) {
	path := filepath.Join(dir, "datapackage.json")
	text, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return "", 0, nil
	}
	var end logEnd
	var says struct {
		Soaktag string `json:"soaktag"`
	}
	if err == nil {
		err = errors.Join(json.Unmarshal(text, &end), json.Unmarshal(text, &says))
	}
	if err != nil {
		return "", 0, fmt.Errorf("reading how long the log should be from %s: %w", path, err)
	}
	if says.Soaktag == unfinished {
		return "", 0, fmt.Errorf("the export in %s was stopped half-way: its log.jsonl may be of an earlier one, and lack what was recorded since. "+
			"Export again, or take another copy or a backup; where there is no other, move %s away, and the log is taken as it is", dir, path)
	}
	return end.Head, end.Events, nil
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

// A description is what datapackage.json says.
type description struct {
	study  *tracker.Study
	tables []table
	end    logEnd          // known once the log is written
	photos []photoResource // known once they are
}

func (d *description) file(marker string) file {
	return file{"datapackage.json", func(w io.Writer) error { return d.write(w, marker) }}
}

// profile is what the descriptor calls a package: with photographs it is not
// one of tables alone.
func (d *description) profile() string {
	if len(d.photos) > 0 {
		return "data-package"
	}
	return "tabular-data-package"
}

func (d *description) resources() (all []any) {
	for _, t := range d.tables {
		all = append(all, resource{t.name, t.name + ".csv", "tabular-data-resource", t.about, "csv", "text/csv",
			"utf-8", schema{t.fields, []string{""}}})
	}
	for _, p := range d.photos {
		all = append(all, p)
	}
	return all
}

func (d *description) write(w io.Writer, marker string) error {
	out := json.NewEncoder(w)
	out.SetEscapeHTML(false)
	out.SetIndent("", "  ")
	return out.Encode(struct {
		Soaktag string `json:"soaktag"`
		logEnd
		Profile   string `json:"profile"`
		Name      string `json:"name"`
		Title     string `json:"title"`
		Zone      string `json:"zone"`
		Resources []any  `json:"resources"`
	}{marker, d.end, d.profile(), "study-" + strings.ToLower(d.study.Prefix), d.study.Title, zone(d.study), d.resources()})
}

func zone(s *tracker.Study) string {
	if s.Zone == nil {
		return "UTC"
	}
	return s.Zone.String()
}
