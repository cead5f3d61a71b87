package tables_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/tables"
)

// photos are made up: the first bytes of each kind, and no picture after them.
func photos() map[string][]byte {
	return map[string][]byte{"jpg": []byte("\xff\xd8\xff one"), "png": []byte("\x89PNG\r\n\x1a\n two"), "webp": []byte("RIFF....WEBP three")}
}

// photographed is the begun study with the photographs, and how they are written.
func photographed(t *testing.T) tables.Export {
	t.Helper()
	r := begun(t)
	all := photos()
	kinds := []string{"jpg", "png", "webp"}
	for _, kind := range kinds {
		add(t, r, tracker.Event{ID: "photo " + kind, Kind: tracker.Photographed, Code: "RF-D1", Half: 1, At: schedule.At(now), Recorded: now,
			Photo: tracker.PhotoSum(all[kind]), PhotoType: tracker.PhotoType(all[kind])})
	}
	return tables.Export{Record: r, Now: now, Photos: func(write func(sum, mediaType string, photo []byte) error) error {
		for _, kind := range kinds {
			if err := write(tracker.PhotoSum(all[kind]), tracker.PhotoType(all[kind]), all[kind]); err != nil {
				return err
			}
		}
		return nil
	}}
}

// Each photograph is a file, a resource of the description, and a cell of
// events.csv; it reads back, and no temporary file is left.
func TestExportedPhotos(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	in := photographed(t)
	for range 2 {
		if err := tables.WriteDir(dir, in); err != nil {
			t.Fatal(err)
		}
	}
	var d struct {
		Profile   string
		Resources []struct {
			Name, Path, Profile, Format, MediaType, Hash string
			Bytes                                        int
		}
	}
	if err := json.Unmarshal([]byte(description(t, dir)), &d); err != nil || d.Profile != "data-package" || len(d.Resources) != 7+3 {
		t.Fatalf("%v: %+v", err, d)
	}
	cells := photoCells(t, dir)
	for _, r := range d.Resources[7:] {
		want := photos()[r.Format]
		sum := tracker.PhotoSum(want)
		got, err := tables.ReadPhoto(dir, sum, r.MediaType)
		if err != nil || !bytes.Equal(got, want) {
			t.Errorf("%s: %q, %v", r.Path, got, err)
		}
		if r.Path != "photos/"+sum+"."+r.Format || r.Hash != "sha256:"+sum || r.Bytes != len(want) || r.Name != "photo-"+sum ||
			r.Profile != "data-resource" || r.MediaType != tracker.PhotoType(want) || !slices.Contains(cells, r.Path) {
			t.Errorf("%+v, cells %q", r, cells)
		}
	}
	if left, _ := os.ReadDir(filepath.Join(dir, "photos")); len(left) != 3 {
		t.Errorf("%v", left)
	}
}

func photoCells(t *testing.T, dir string) (cells []string) {
	t.Helper()
	f, err := os.Open(filepath.Join(dir, "events.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		cells = append(cells, row[slices.Index(rows[0], "photo")])
	}
	return cells
}

// A photograph that is missing, changed, or another's is an error that names
// its file.
func TestReadPhotoNamesTheFile(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	if err := tables.WriteDir(dir, photographed(t)); err != nil {
		t.Fatal(err)
	}
	one, two := photos()["jpg"], photos()["png"]
	sum := tracker.PhotoSum(one)
	path := filepath.Join(dir, "photos", sum+".jpg")
	for what, text := range map[string][]byte{"changed": one[:5], "emptied": nil, "another": two} {
		if err := os.WriteFile(path, text, 0o600); err != nil {
			t.Fatal(err)
		}
		if got, err := tables.ReadPhoto(dir, sum, "image/jpeg"); err == nil || got != nil || !strings.HasPrefix(err.Error(), path+" is not the photograph") {
			t.Errorf("%s: %v", what, err)
		}
	}
	os.Remove(path)
	if _, err := tables.ReadPhoto(dir, sum, "image/jpeg"); !errors.Is(err, fs.ErrNotExist) || !strings.HasPrefix(err.Error(), path+" is missing") {
		t.Errorf("%v", err)
	}
}

// Where the folder photos is somebody's own, nothing is written; a study
// without photographs does not mind it.
func TestOwnFolderOfPhotos(t *testing.T) {
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "photos"), 0o700); err != nil {
		t.Fatal(err)
	}
	in := photographed(t)
	if err := tables.WriteDir(dir, in); !errors.Is(err, fs.ErrExist) {
		t.Errorf("%v", err)
	}
	if left, _ := os.ReadDir(dir); len(left) != 1 {
		t.Errorf("%d files after a refusal", len(left))
	}
	in.Record, in.Photos = begun(t), func(func(sum, mediaType string, photo []byte) error) error { return nil }
	if err := tables.WriteDir(dir, in); err != nil {
		t.Error(err)
	}
	if !strings.Contains(description(t, dir), `"tabular-data-package"`) {
		t.Error("tables alone are not called a tabular package")
	}
}

// An export that fails at a photograph says that it is unfinished.
func TestPhotoThatCannotBeWritten(t *testing.T) {
	dir := t.TempDir()
	in := photographed(t)
	all := in.Photos
	in.Photos = func(write func(sum, mediaType string, photo []byte) error) error {
		return errors.Join(all(write), errors.New("the third is damaged"))
	}
	if err := tables.WriteDir(dir, in); err == nil || !strings.Contains(err.Error(), "the third is damaged") {
		t.Fatal(err)
	}
	if text := description(t, dir); !strings.Contains(text, `"export/1 unfinished"`) {
		t.Errorf("%.80s", text)
	}
}
