package store

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// picture is the n-th made-up photograph: the first bytes of a JPEG, then
// nothing that could be shown.
func picture(n, size int) []byte {
	return append([]byte("\xff\xd8\xff"), bytes.Repeat(fmt.Appendf(nil, "picture %d ", n), size/10)...)
}

// photoEvent is the n-th event that keeps a photograph.
func photoEvent(n int, photo []byte) tracker.Event {
	e := stageEvent(n, 10)
	e.ID, e.Kind, e.Stage, e.Half = fmt.Sprintf("p%06d", n), tracker.Photographed, "", 1
	e.Photo, e.PhotoType = tracker.PhotoSum(photo), tracker.PhotoType(photo)
	return e
}

// format reads which format a study is in.
func format(t *testing.T, path string) int64 {
	t.Helper()
	f, err := openFile(path, readWrite)
	if err != nil {
		t.Fatal(err)
	}
	v, err := f.pragma("user_version")
	if err := errors.Join(err, f.close()); err != nil {
		t.Fatal(err)
	}
	return v
}

// TestKeep: a reading and its photograph in one go, and back after opening.
func TestKeep(t *testing.T) {
	db, path := newStudy(t, 10, 3)
	if v := format(t, path); v != plainFormat {
		t.Errorf("a study without photographs is in format %d", v)
	}
	photo := picture(1, 300_000)
	reading := stageEvent(40, 10)
	reading.Kind, reading.Stage, reading.Half, reading.Faces = tracker.FacesRead, "", 1, &tracker.Faces{WoodFailure: 70}
	v := mustKeep(t, db, photo, reading, photoEvent(41, photo))
	if len(v) != 2 || v[1].Event.Seq != 5 || v[1].Event.Photo != tracker.PhotoSum(photo) {
		t.Errorf("verdicts %+v", v)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	got, err := mustOpen(t, path).Photo(tracker.PhotoSum(photo))
	if err != nil || !bytes.Equal(got, photo) {
		t.Errorf("%d bytes, %v", len(got), err)
	}
	if v := format(t, path); v != photoFormat {
		t.Errorf("a study with photographs is in format %d", v)
	}
	if r := Verify(path); len(r.Problems) > 0 || r.Events != 5 {
		t.Errorf("%+v", r)
	}
}

// TestKeepTwice: the same bytes are kept once, whoever names them; an event
// that is sent again adds nothing.
func TestKeepTwice(t *testing.T) {
	db, path := newStudy(t, 10, 3)
	photo, other := picture(1, 1000), picture(2, 1000)
	mustKeep(t, db, photo, photoEvent(1, photo), photoEvent(2, photo))
	mustKeep(t, db, photo, photoEvent(2, photo))
	mustKeep(t, db, photo, photoEvent(3, photo))
	mustRecord(t, db, photoEvent(4, photo)) // a correction names a photograph that is there
	resent := photoEvent(1, other)          // another photograph under a known id: a no-op
	if v := mustKeep(t, db, other, resent); v[0].Event.Photo != tracker.PhotoSum(photo) {
		t.Errorf("%+v", v)
	}
	var sums []string
	err := db.EachPhoto(func(sum, mediaType string, bytes []byte) error {
		sums = append(sums, sum+" "+mediaType)
		return nil
	})
	if want := []string{tracker.PhotoSum(photo) + " image/jpeg"}; err != nil || !reflect.DeepEqual(sums, want) {
		t.Errorf("photographs %q, %v", sums, err)
	}
	if _, err := db.Photo(tracker.PhotoSum(other)); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a photograph that no event names: %v", err)
	}
	if r := Verify(path); len(r.Problems) > 0 || r.Events != 7 {
		t.Errorf("%+v", r)
	}
}

// TestKeepRefuses: what is refused leaves nothing behind, not even room.
func TestKeepRefuses(t *testing.T) {
	db, path := newStudy(t, 10, 3)
	photo, png := picture(1, 100), []byte("\x89PNG\r\n\x1a\n and no more")
	calledPNG := photoEvent(1, photo)
	calledPNG.PhotoType = "image/png"
	noID := photoEvent(1, photo)
	noID.ID = ""
	huge := append(picture(1, 10), make([]byte, tracker.MaxPhoto)...)
	for want, try := range map[string]func() error{
		"0 bytes":                       func() error { _, err := db.Keep(nil, photoEvent(1, nil)); return err },
		"has 65 MB, and at most 64 MB":  func() error { _, err := db.Keep(huge, photoEvent(1, huge)); return err },
		"neither JPEG, PNG nor WebP":    func() error { _, err := db.Keep([]byte("%PDF-1.7"), photoEvent(1, photo)); return err },
		"no event names the photograph": func() error { _, err := db.Keep(photo); return err },
		"no event names the photograph " + tracker.PhotoSum(photo): func() error { _, err := db.Keep(photo, photoEvent(1, png)); return err },
		"by its first bytes it is image/jpeg":                      func() error { _, err := db.Keep(photo, calledPNG); return err },
		"whose bytes are not in the study":                         func() error { _, err := db.Record(photoEvent(1, photo)); return err },
		"1 to 64 bytes":                                            func() error { _, err := db.Keep(photo, photoEvent(2, photo), noID); return err },
		tracker.PhotoSum(png) + ", whose byt":                      func() error { _, err := db.Keep(photo, photoEvent(1, photo), photoEvent(2, png)); return err },
	} {
		err := try()
		if err == nil || !strings.HasPrefix(err.Error(), "NOT recorded: ") || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
	if n := len(mustState(t, db).Events()); n != 3 || format(t, path) != plainFormat {
		t.Errorf("%d events, format %d", n, format(t, path))
	}
	for _, name := range []string{"", "x", strings.Repeat("AB", 32), tracker.PhotoSum(photo)} {
		if _, err := db.Photo(name); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("photograph %q: %v", name, err)
		}
	}
	mustKeep(t, db, png, photoEvent(1, png))
	webp := []byte("RIFF\x10\x00\x00\x00WEBPVP8 ")
	mustKeep(t, db, webp, photoEvent(2, webp))
}

// TestKeepByTwo: two that have the same study open keep photographs in turns
// and at once; the first makes the room, the other finds it.
func TestKeepByTwo(t *testing.T) {
	a, path := newStudy(t, 10, 3)
	b := mustOpen(t, path)
	both := picture(1000, 5000)
	var wg sync.WaitGroup
	for i, db := range []*DB{a, b} {
		wg.Go(func() {
			for n := range 10 {
				own := picture(100*i+n, 20_000)
				if _, err := db.Keep(own, photoEvent(100*i+n, own)); err != nil {
					t.Error(err)
				}
				if _, err := db.Keep(both, photoEvent(100*i+50+n, both)); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	kept := 0
	if err := a.EachPhoto(func(string, string, []byte) error { kept++; return nil }); err != nil || kept != 21 {
		t.Errorf("%d photographs, %v", kept, err)
	}
	if r := Verify(path); len(r.Problems) > 0 || r.Events != 43 {
		t.Errorf("%+v", r)
	}
}

// TestPhotoGuards: the table takes no change, not even by replacing.
func TestPhotoGuards(t *testing.T) {
	db, path := newStudy(t, 10, 3)
	photo := picture(1, 100)
	mustKeep(t, db, photo, photoEvent(1, photo))
	f, err := openFile(path, readWrite)
	if err != nil {
		t.Fatal(err)
	}
	for _, query := range []string{"UPDATE photos SET bytes = x'00'", "DELETE FROM photos",
		"INSERT OR REPLACE INTO photos SELECT sha256, x'00' FROM photos", "REPLACE INTO photos SELECT * FROM photos",
		"INSERT INTO photos VALUES(x'00', x'00')", "INSERT INTO photos VALUES(zeroblob(32), NULL)"} {
		if err := f.exec(query); err == nil {
			t.Errorf("%s was let through", query)
		}
	}
	if err := f.close(); err != nil {
		t.Fatal(err)
	}
	if r := Verify(path); len(r.Problems) > 0 {
		t.Errorf("%+v", r)
	}
}

// TestPhotoDamage does to photographs what bad luck might. Verify names each,
// no backup takes the damage on, and nothing else is called damaged.
func TestPhotoDamage(t *testing.T) {
	one, two := picture(1, 100), picture(2, 100)
	const off = "DROP TRIGGER photos_no_update; DROP TRIGGER photos_no_delete; "
	guards := photoSchema[strings.Index(photoSchema, "CREATE TRIGGER photos_no_update"):strings.Index(photoSchema, "CREATE TRIGGER photos_no_replace")]
	missing := func(seq int, photo []byte) string {
		return fmt.Sprintf("event %d: its photograph %s is missing", seq, tracker.PhotoSum(photo))
	}
	for query, want := range map[string][]string{
		"UPDATE photos SET bytes = x'ffd8ff00' WHERE rowid = 2": {"event 5: the bytes of its photograph " + tracker.PhotoSum(two) + " were changed"},
		"UPDATE photos SET bytes = x'' WHERE rowid = 2":         {"event 5: the bytes of its photograph " + tracker.PhotoSum(two) + " were changed"},
		"DELETE FROM photos WHERE rowid = 1":                    {missing(4, one)},
		"DELETE FROM photos":                                    {missing(4, one), missing(5, two)},
		"UPDATE photos SET sha256 = zeroblob(32) WHERE rowid = 1": {"the photograph " + strings.Repeat("0", 64) + " belongs to no event",
			missing(4, one)},
	} {
		db, path := newStudy(t, 10, 3)
		mustKeep(t, db, one, photoEvent(1, one))
		mustKeep(t, db, two, photoEvent(2, two))
		mustKeep(t, db, one, photoEvent(3, one))
		tamper(t, path, off+query+";"+guards)
		if r := Verify(path); !reflect.DeepEqual(r.Problems, want) || r.Unread != nil {
			t.Errorf("%s: %q", query, r.Problems)
		}
		to := filepath.Join(t.TempDir(), "b.soaktag")
		if err := db.Backup(to); !errors.Is(err, ErrDamaged) {
			t.Errorf("%s: backup: %v", query, err)
		}
		err := db.EachPhoto(func(string, string, []byte) error { return nil })
		if !errors.Is(err, ErrDamaged) {
			t.Errorf("%s: reading them all: %v", query, err)
		}
		if len(mustState(t, mustOpen(t, path)).Events()) != 6 {
			t.Errorf("%s: the events cannot be read", query)
		}
	}
}

// TestPhotoTableGone: the whole table taken out, with or without the header's
// word for it.
func TestPhotoTableGone(t *testing.T) {
	for query, problems := range map[string]int{"DROP TABLE photos": 5, "DROP TABLE photos; PRAGMA user_version=1": 1} {
		db, path := newStudy(t, 10, 3)
		photo := picture(1, 100)
		mustKeep(t, db, photo, photoEvent(1, photo))
		tamper(t, path, "DROP TRIGGER photos_no_delete; "+query)
		r := Verify(path)
		if n := len(r.Problems); n != problems || !strings.HasSuffix(r.Problems[n-1], " is missing") {
			t.Errorf("%s: %q", query, r.Problems)
		}
	}
}

// TestPhotosTravel: a backup, what is restored of it, and what is restored of
// the log in words have the same head and the same photographs.
func TestPhotosTravel(t *testing.T) {
	db, _ := newStudy(t, 10, 3)
	one, two := picture(1, 50_000), picture(2, 100)
	mustKeep(t, db, one, photoEvent(1, one))
	mustKeep(t, db, two, photoEvent(2, two), photoEvent(3, one))
	dir := t.TempDir()
	backup, back := filepath.Join(dir, "b.soaktag"), filepath.Join(dir, "r.soaktag")
	if err := errors.Join(db.Backup(backup), Restore(backup, back, readPlan)); err != nil {
		t.Fatal(err)
	}
	head, _ := mustHead(t, db)
	for _, again := range []*DB{mustOpen(t, back), restoreLog(t, db, filepath.Join(dir, "log.soaktag"))} {
		if h, _ := mustHead(t, again); h != head {
			t.Errorf("head %s, want %s", h, head)
		}
		for _, photo := range [][]byte{one, two} {
			if got, err := again.Photo(tracker.PhotoSum(photo)); err != nil || !bytes.Equal(got, photo) {
				t.Errorf("%d bytes, %v", len(got), err)
			}
		}
		if r := Verify(again.log.path); len(r.Problems) > 0 || r.Head != head {
			t.Errorf("%+v", r)
		}
	}
}

// TestRestoreLogWantsPhotos: without the photographs that it names, or with
// others, a log makes no study.
func TestRestoreLogWantsPhotos(t *testing.T) {
	db, _ := newStudy(t, 10, 3)
	photo := picture(1, 100)
	mustKeep(t, db, photo, photoEvent(1, photo))
	var log bytes.Buffer
	head, n, err := db.WriteLog(&log)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for want, photos := range map[string]PhotoReader{
		"no photographs beside the log":  nil,
		"a.jpg is missing":               func(string, string) ([]byte, error) { return nil, errors.New("a.jpg is missing") },
		"the bytes given are of another": func(string, string) ([]byte, error) { return picture(2, 100), nil },
		"0 bytes":                        func(string, string) ([]byte, error) { return nil, nil },
	} {
		err := RestoreLog(bytes.NewReader(log.Bytes()), filepath.Join(dir, "x.soaktag"), readPlan, photos, head, n)
		if err == nil || !strings.Contains(err.Error(), "event 4") && !strings.Contains(err.Error(), "p000001") || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
	onlyFiles(t, dir)
}

// TestFormat1: a log written before there were photographs reads as it did,
// byte for byte, and its study takes a photograph.
func TestFormat1(t *testing.T) {
	const head = "23423c644eb5fd2b23c86e997df5f23e74dbfbbd302c2dbe4c33242b78361a62"
	path := filepath.Join(t.TempDir(), "old.soaktag")
	if err := os.WriteFile(path, read(t, "testdata/format1.soaktag"), 0o644); err != nil {
		t.Fatal(err)
	}
	db := mustOpen(t, path)
	var log bytes.Buffer
	h, n, err := db.WriteLog(&log)
	if err != nil || h != head || n != 5 || log.String() != string(read(t, "testdata/format1.jsonl")) {
		t.Fatalf("head %s of %d, %v\n%s", h, n, err, log.Bytes())
	}
	full := fullEvent()
	full.Seq, full.Photo, full.PhotoType, full.Dealt[0].Parent, full.Notebook = 3, "", "", "", ""
	if got, _ := mustState(t, db).Event(full.ID); !reflect.DeepEqual(got, full) {
		t.Errorf("got  %+v\nwant %+v", got, full)
	}
	back := filepath.Join(t.TempDir(), "back.soaktag")
	if err := RestoreLog(&log, back, readPlan, nil, head, 5); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{path, back} {
		if r := Verify(path); r.Head != head || len(r.Problems) > 0 || format(t, path) != plainFormat {
			t.Errorf("%+v", r)
		}
	}
	photo := picture(1, 100)
	mustKeep(t, db, photo, photoEvent(1, photo))
	if r := Verify(path); r.Events != 6 || len(r.Problems) > 0 || format(t, path) != photoFormat {
		t.Errorf("%+v", r)
	}
}

// TestKillWhileKeeping kills a process that keeps photographs again and again:
// what it said is kept has its bytes, and no photograph is there without its
// event or an event without its photograph.
func TestKillWhileKeeping(t *testing.T) {
	_, path := newStudy(t, 10, 1)
	said := 0
	for round := range 6 {
		cmd := worker(path, fmt.Sprintf("r%d", round), 100000)
		cmd.Env = append(cmd.Env, workerPhotos+"=1")
		said += len(killedAfter(t, cmd, 1+2*round))
	}
	r := Verify(path)
	if len(r.Problems) > 0 || r.Events < int64(said)+1 {
		t.Errorf("%d said, %+v", said, r)
	}
	t.Logf("6 kills, %d photographs said to be kept, %d events", said, r.Events)
}

// A life has its photographs in the order of time, whenever they came in.
func TestPhotosOfALife(t *testing.T) {
	db, _ := newStudy(t, 10, 3)
	var want []tracker.PhotoAt
	for _, n := range []int{30, 10, 20} {
		photo := picture(n, 100)
		e := photoEvent(n, photo)
		e.At, e.Note = schedule.At(noon.Add(time.Duration(n)*time.Hour)), fmt.Sprint(n) // after it was written down
		if v := mustKeep(t, db, photo, e); len(v[0].Marks) != 1 || v[0].Marks[0].Open() {
			t.Errorf("marks %+v", v[0].Marks)
		}
		want = append(want, tracker.PhotoAt{Event: e.ID, Half: 1, At: e.At, SHA: e.Photo, Type: "image/jpeg", Note: e.Note})
	}
	rec := mustState(t, db)
	want[0], want[1], want[2] = want[1], want[2], want[0]
	if got := rec.Life(rec.Specimens()[0].Code).Photos; !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	mustRecord(t, db, tracker.Event{ID: "void", Kind: tracker.Voided, Target: want[1].Event, At: schedule.At(noon), Recorded: noon})
	rec = mustState(t, db)
	if got := rec.Life(rec.Specimens()[0].Code).Photos; len(got) != 2 {
		t.Errorf("a voided photograph is still there: %+v", got)
	}
}

// TestKeepDiskFull: a photograph that does not fit is not kept, nor is its
// event; the study goes on with what fits.
func TestKeepDiskFull(t *testing.T) {
	path := filepath.Join(smallDisk(t), "study.soaktag")
	db, err := Create(path, begun(10), readPlan)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = db.Close() })
	large, small := picture(1, 2<<20), picture(2, 1000)
	if _, err := db.Keep(large, photoEvent(1, large)); !errors.Is(err, ErrFull) || !strings.HasPrefix(err.Error(), "NOT recorded") {
		t.Errorf("err = %v", err)
	}
	mustKeep(t, db, small, photoEvent(2, small))
	if err := db.Close(); err != nil {
		t.Error(err)
	}
	if r := Verify(path); len(r.Problems) > 0 || r.Events != 2 {
		t.Errorf("%+v", r)
	}
}
