package store

import (
	"bytes"
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"soaktag/tracker"
)

// smallStudy is a closed study of some events, one with a long note, and two photographs,
// of which one fills several pages.
func smallStudy(t testing.TB) (path string, whole []tracker.Event) {
	t.Helper()
	db, path := newStudy(t, 10, 40)
	large := append([]byte("\xff\xd8\xff"), bytes.Repeat([]byte("soaked "), 2000)...)
	note := stageEvent(60, 10)
	note.Note = string(bytes.Repeat([]byte("long "), 3000))
	for i, photo := range [][]byte{fullPhoto, large} {
		e := tracker.Event{ID: fmt.Sprint("photo", i), Kind: tracker.Photographed, Recorded: noon, Photo: tracker.PhotoSum(photo), PhotoType: "image/jpeg"}
		mustKeep(t, db, photo, e)
	}
	mustRecord(t, db, note, stageEvent(61, 10))
	whole = mustState(t, db).Events()
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	return path, whole
}

// saved reads what is left, and checks that all of it is what was recorded.
func saved(t testing.TB, path string, whole []tracker.Event) (n int, missing int64) {
	t.Helper()
	s, err := OpenSalvage(path)
	if err != nil {
		return 0, int64(len(whole))
	}
	defer s.Close()
	for _, e := range s.Events {
		if e.Seq < 1 || e.Seq > int64(len(whole)) || !bytes.Equal(Encode(e), Encode(whole[e.Seq-1])) {
			t.Fatalf("event %d is not what was recorded: %+v", e.Seq, e)
		}
	}
	for _, g := range s.Gaps {
		missing += g.Count
	}
	if err := s.EachPhoto(func(string, string, []byte) error { return nil }); err != nil {
		t.Fatal(err)
	}
	return len(s.Events), missing
}

// bySQL counts the events that the database itself still hands out.
func bySQL(path string) (n int) {
	db, err := sql.Open("sqlite", "file:"+path+"?mode=ro")
	if err != nil {
		return 0
	}
	defer db.Close()
	rows, err := db.Query("SELECT body FROM event ORDER BY seq")
	if err != nil {
		return 0
	}
	defer rows.Close()
	for rows.Next() {
		var body []byte
		if rows.Scan(&body) == nil {
			if _, err := Decode(body); err == nil {
				n++
			}
		}
	}
	return n
}

// Whatever byte is flipped: what is left is what was recorded, at most two events are
// lost (that in which it lies, and one that it leads to), and what is missing is counted.
func TestSalvageFlipped(t *testing.T) {
	path, whole := smallStudy(t)
	text := read(t, path)
	step := 149 // 7 with SOAKTAG_CI=1: each bit pattern of a place is like its neighbours'
	if os.Getenv("SOAKTAG_CI") == "1" {
		step = 7
	}
	lost := map[int]int{}
	for i := 0; i < len(text); i += step {
		broken := bytes.Clone(text)
		broken[i] ^= 0x55
		damagedFile := filepath.Join(t.TempDir(), "d.soaktag")
		write(t, damagedFile, string(broken))
		n, missing := saved(t, damagedFile, whole)
		if len(whole)-n > 1 || n+int(missing) != len(whole) {
			t.Fatalf("byte %d: %d of %d saved, %d said to be missing", i, n, len(whole), missing)
		}
		lost[len(whole)-n]++
		os.Remove(damagedFile)
	}
	t.Logf("files by events lost: %v", lost)
}

// Whatever page is emptied, and wherever the file is cut: nothing is invented, what is
// missing is counted, and more is saved than the database hands out.
func TestSalvagePages(t *testing.T) {
	path, whole := smallStudy(t)
	text := read(t, path)
	ours, theirs := 0, 0
	try := func(name string, broken []byte) {
		damagedFile := filepath.Join(t.TempDir(), "d.soaktag")
		write(t, damagedFile, string(broken))
		n, missing := saved(t, damagedFile, whole)
		ours, theirs = ours+n, theirs+bySQL(damagedFile)
		if n+int(missing) > len(whole) {
			t.Errorf("%s: %d of %d saved, %d said to be missing", name, n, len(whole), missing)
		}
	}
	for at := 0; at < len(text); at += usualPage {
		emptied := bytes.Clone(text)
		clear(emptied[at : at+usualPage])
		try(fmt.Sprint("page ", at/usualPage+1), emptied)
		try(fmt.Sprint("cut at ", at), text[:at])
		try(fmt.Sprint("cut behind ", at), text[:at+usualPage/3])
	}
	if ours <= theirs {
		t.Errorf("%d events saved, the database hands out %d", ours, theirs)
	}
	t.Logf("saved %d, by the database %d", ours, theirs)
}

// Of a study whose journal was not moved into the file yet all is saved, from the two of
// them, and without the journal what the file has: what is missing is known by the witness.
func TestSalvageJournal(t *testing.T) {
	db, path := newStudy(t, 10, 30)
	mustRecord(t, db, stageEvent(200, 10))
	dir := t.TempDir()
	copied := filepath.Join(dir, "c.soaktag")
	for _, tail := range []string{"", "-wal", "-head"} {
		if text, err := os.ReadFile(path + tail); err == nil {
			write(t, copied+tail, string(text))
		}
	}
	whole := mustState(t, db).Events()
	if n, missing := saved(t, copied, whole); n != len(whole) || missing != 0 {
		t.Errorf("%d of %d saved, %d missing", n, len(whole), missing)
	}
	if err := os.Remove(copied + "-wal"); err != nil {
		t.Fatal(err)
	}
	if n, missing := saved(t, copied, whole); n+int(missing) != len(whole) || n == len(whole) {
		t.Errorf("without the journal %d of %d saved, %d missing", n, len(whole), missing)
	}
}

// A chain broken by hand: a changed event, one taken out, one moved.
func TestSalvageChain(t *testing.T) {
	for query, lost := range map[string]int64{
		"DELETE FROM event WHERE seq IN (7, 8)":                                        2,
		"UPDATE event SET hash = zeroblob(32) WHERE seq = 5":                           0,
		"UPDATE event SET id = 'x' WHERE seq = 5":                                      0,
		"UPDATE event SET seq = 99 WHERE seq = 5":                                      0,
		"UPDATE event SET body = (SELECT body FROM event WHERE seq = 9) WHERE seq = 5": 1,
		"DELETE FROM head":                 0,
		"DELETE FROM event WHERE seq > 30": 14,
	} {
		path, whole := smallStudy(t)
		tamper(t, path, "DROP TRIGGER event_no_update; DROP TRIGGER event_no_delete; "+query+"; VACUUM")
		n, missing := saved(t, path, whole)
		if missing != lost || n != len(whole)-int(lost) {
			t.Errorf("%s: %d of %d saved, %d missing, want %d", query, n, len(whole), missing, lost)
		}
	}
}
