package store

import (
	"bytes"
	"errors"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestDamagedJournal does to the journal of a study, as a killed program leaves it, what
// rubbish collectors and bad disks do: deletes, empties, cuts it, flips bits in it. What
// is lost by that is said each time, and nothing is said where nothing is.
func TestDamagedJournal(t *testing.T) {
	db, path := newStudy(t, 10, 1)
	const recorded = 100
	for i := range recorded - 1 {
		mustRecord(t, db, stageEvent(i, 10))
	}
	db.moving.pause.Stop() // it lies there as it is until the last copy is made
	waits := InJournal(path, recorded)
	if waits == 0 || waits > moveEvery {
		t.Fatalf("%d events in the journal, want 1 to %d", waits, moveEvery)
	}
	wal := mustRead(t, path+"-wal")
	damages := map[string]func(*rand.Rand) []byte{
		"deleted":  nil,
		"emptied":  func(*rand.Rand) []byte { return []byte{} },
		"left":     func(*rand.Rand) []byte { return wal },
		"cut":      func(r *rand.Rand) []byte { return wal[:r.IntN(len(wal))] },
		"flipped":  func(r *rand.Rand) []byte { return flipped(wal, r.IntN(len(wal)*8)) },
		"a sector": func(r *rand.Rand) []byte { return blank(wal, r.IntN(len(wal)), 512) },
	}
	for name, damage := range damages {
		lost := 0
		for n := range times(name, atLength(150, 25)) {
			copied := copyWith(t, path, damage, rand.New(rand.NewPCG(uint64(n), 14)))
			r := Verify(copied)
			said := strings.Contains(strings.Join(r.Problems, "\n"), "missing, ") && strings.Contains(strings.Join(r.Problems, "\n"), "event 100:")
			if said != (r.Events < recorded) {
				t.Fatalf("%s, %d: %d of %d events, and it says %q", name, n, r.Events, recorded, r.Problems)
			}
			if said {
				lost++
			}
		}
		t.Logf("%s: %d times something was lost, and said", name, lost)
		if (name == "left") != (lost == 0) {
			t.Errorf("%s: %d times something was lost", name, lost)
		}
	}
}

func times(name string, n int) int {
	if name == "deleted" || name == "emptied" || name == "left" {
		return 1
	}
	return n
}

func flipped(b []byte, bit int) []byte {
	b = bytes.Clone(b)
	b[bit/8] ^= 1 << (bit % 8)
	return b
}

func blank(b []byte, at, n int) []byte {
	b = bytes.Clone(b)
	clear(b[at:min(len(b), at+n)])
	return b
}

// copyWith copies a study as it lies there while it is open, with another journal; nil
// leaves it out.
func copyWith(t *testing.T, path string, journal func(*rand.Rand) []byte, r *rand.Rand) string {
	t.Helper()
	copied := filepath.Join(t.TempDir(), "study.soaktag")
	for _, tail := range []string{"", witnessTail} {
		mustWrite(t, copied+tail, mustRead(t, path+tail))
	}
	if journal != nil {
		mustWrite(t, copied+"-wal", journal(r))
	}
	return copied
}

func mustRead(t *testing.T, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func mustWrite(t *testing.T, name string, b []byte) {
	t.Helper()
	if err := os.WriteFile(name, b, 0o644); err != nil {
		t.Fatal(err)
	}
}

// A loss is said until somebody takes its witness away, whatever is recorded meanwhile,
// and no longer where the journal was put back.
func TestLossIsKept(t *testing.T) {
	db, path := newStudy(t, 10, 1)
	for i := range 20 {
		mustRecord(t, db, stageEvent(i, 10))
	}
	db.moving.pause.Stop()
	lost := copyWith(t, path, nil, nil)
	for n := range 3 {
		again := mustOpen(t, lost)
		loss := again.Lost()
		if loss == nil || loss.Recorded != 21 || loss.Witness != lost+lostTail || n == 0 && loss.Holds >= 21 {
			t.Fatalf("opened for the %dth time: %+v", n+1, loss)
		}
		for i := range 25 { // it grows beyond what it had
			mustRecord(t, again, stageEvent(100+25*n+i, 10))
		}
		mustClose(t, again)
	}
	if r := Verify(lost); len(r.Problems) != 1 || !strings.Contains(r.Problems[0], "event 21 is not the one that was recorded") {
		t.Errorf("%q", r.Problems)
	}
	if err := os.Remove(lost + lostTail); err != nil {
		t.Fatal(err)
	}
	if r := Verify(lost); len(r.Problems) > 0 {
		t.Errorf("after that was acknowledged: %q", r.Problems)
	}

	back := copyWith(t, path, nil, nil)
	again, err := OpenToRead(back, readPlan)
	if err != nil || again.Lost() == nil {
		t.Fatalf("%v, %+v", err, again)
	}
	mustClose(t, again)
	mustWrite(t, back+"-wal", mustRead(t, path+"-wal"))
	again = mustOpen(t, back)
	defer mustClose(t, again)
	if _, err := os.Stat(back + lostTail); again.Lost() != nil || !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("the journal is back: %+v, %v", again.Lost(), err)
	}
}

// A study that is closed has nothing beside it; one that others write to meanwhile, that
// was moved, copied, backed up, or that another one's witness lies beside, is not told of
// a loss.
func TestNoFalseAlarm(t *testing.T) {
	db, path := newStudy(t, 10, 1)
	done := make(chan error)
	go func() { done <- worker(path, "a", atLength(5000, 300)).Run() }()
	for opened := 0; ; opened++ {
		select {
		case err := <-done:
			if err != nil || opened == 0 {
				t.Errorf("%v, opened %d times", err, opened)
			}
		default:
			other, err := OpenToRead(path, readPlan)
			if err != nil {
				t.Fatal(err)
			}
			if other.Lost() != nil {
				t.Fatalf("opened beside: %v", other.Lost())
			}
			mustClose(t, other)
			if r := Verify(path); len(r.Problems) > 0 {
				t.Fatalf("verified beside: %q", r.Problems)
			}
			continue
		}
		break
	}
	mustRecord(t, db, stageEvent(1000, 10))
	foreign := mustRead(t, path+witnessTail)
	mustClose(t, db)
	if left := leftBehind(path); left != nil {
		t.Errorf("beside the closed study lie %v", left)
	}
	other, place := newStudy(t, 12, 3)
	mustClose(t, other)
	mustWrite(t, place+witnessTail, foreign)
	mustWrite(t, place+lostTail, []byte("soaktag head 1 torn"))
	if r := Verify(place); len(r.Problems) > 0 {
		t.Errorf("beside another's witness: %q", r.Problems)
	}
	mustClose(t, mustOpen(t, place))
	if left := leftBehind(place); left != nil {
		t.Errorf("beside it then lie %v", left)
	}
}

// What was recorded is moved into the file after a pause.
func TestJournalIsMovedInAPause(t *testing.T) {
	db, path := newStudy(t, 10, 5)
	if n := InJournal(path, 5); n != 4 { // the file begins with the first
		t.Errorf("%d events in the journal at once", n)
	}
	db.paused()
	if n := InJournal(path, 5); n != 0 {
		t.Errorf("%d after the pause", n)
	}
}

// A witness that is cut or changed anywhere is none.
func TestTornWitness(t *testing.T) {
	db, path := newStudy(t, 10, 5)
	text := mustRead(t, path+witnessTail)
	name := filepath.Join(t.TempDir(), "w")
	for i := range text {
		for _, torn := range [][]byte{text[:i], flipped(text, 8*i+i%8)} {
			mustWrite(t, name, torn)
			if w, ok := readWitness(name); ok {
				t.Errorf("%q is taken for %+v", torn, w)
			}
		}
	}
	mustWrite(t, name, text)
	if w, ok := readWitness(name); !ok || w.last != db.at || w.first != db.first {
		t.Errorf("%+v, %v", w, ok)
	}
}

func mustClose(t *testing.T, db *DB) {
	t.Helper()
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
}
