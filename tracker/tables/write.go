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
	Now    time.Time             // running intervals are judged at this instant
	Plan   []byte                // plan.toml; the plan in force when nil
	Log    func(io.Writer) error // writes log.jsonl; no such file when nil
}

// marker in datapackage.json tells our own export from somebody else's files.
const marker = "export/1"

// A file is one to be written: its name and what writes it.
type file struct {
	name  string
	write func(io.Writer) error
}

// WriteDir writes the study into a folder, making it where needed:
// specimens.csv, events.csv, drift.csv, results.csv, groups.csv,
// retention.csv, comparisons.csv, datapackage.json, plan.toml and log.jsonl.
//
// Each file is written under a temporary name, synced and renamed, the
// description last. An earlier export of ours is replaced; a folder in which
// one of the names is somebody else's is refused, and nothing is written.
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

func (in Export) files() (files []file) {
	tables := in.tables()
	for _, t := range tables {
		files = append(files, file{t.name + ".csv", t.write})
	}
	plan := in.Plan
	if plan == nil {
		plan = in.Record.Study().Text
	}
	files = append(files, file{"plan.toml", func(w io.Writer) error { _, err := w.Write(plan); return err }})
	if in.Log != nil {
		files = append(files, file{"log.jsonl", in.Log})
	}
	return append(files, file{"datapackage.json", func(w io.Writer) error { return describe(w, in.Record.Study(), tables) }})
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
			return fmt.Errorf("%s is there already and is not from an export: name another folder, soaktag export DIR", path)
		}
	}
	return nil
}

func earlier(path string) bool {
	text, err := os.ReadFile(path)
	var d struct {
		Soaktag string `json:"soaktag"`
	}
	return err == nil && json.Unmarshal(text, &d) == nil && strings.HasPrefix(d.Soaktag, "export/")
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
func describe(w io.Writer, s *tracker.Study, tables []table) error {
	d := struct {
		Soaktag   string     `json:"soaktag"`
		Profile   string     `json:"profile"`
		Name      string     `json:"name"`
		Title     string     `json:"title"`
		Zone      string     `json:"zone"`
		Resources []resource `json:"resources"`
	}{marker, "tabular-data-package", "study-" + strings.ToLower(s.Prefix), s.Title, zone(s), nil}
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
