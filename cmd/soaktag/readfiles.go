package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"sync"
	"sync/atomic"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/labels/photo"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

// A shot is a photograph as it was read. The picture itself is not held.
type shot struct {
	intake.Photograph            // what the desk takes
	look              photo.Look // what it was taken from, with where things stand
}

func newShot(path string, named bool) *shot {
	load := func() ([]byte, error) { return loadPhoto(path) }
	return &shot{Photograph: intake.Photograph{Name: path, Named: named, Load: load}}
}

// shotsIn lists the files named and the photographs in the folders named and
// below, as photo.InFolder does; passed counts the other files in them.
func shotsIn(words []string) (shots []*shot, passed int, err error) {
	for _, word := range words {
		info, err := os.Stat(word)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return nil, 0, usageError("there is no file or folder %s; nothing recorded", word)
		case err != nil:
			return nil, 0, refused(err)
		case !info.IsDir():
			shots = append(shots, newShot(word, true))
			continue
		}
		inside, others, err := photo.InFolder(word)
		if err != nil {
			return nil, 0, refused(fmt.Errorf("look through %s: %w", word, err))
		}
		for _, path := range inside {
			shots = append(shots, newShot(path, false))
		}
		passed += others
	}
	if len(shots) == 0 {
		return nil, 0, usageError("no photographs in %s; nothing recorded", strings.Join(words, ", "))
	}
	return shots, passed, nil
}

// readers is how many photographs are read at once; one with more pixels than
// largeShot is read alone, so that memory stays bounded.
const (
	readers   = 2
	largeShot = 25_000_000
)

// readShots reads every file, in the order given. What is wrong with one file
// stands in its shot; the error is that of an interruption, which waits for no
// picture. Nothing is recorded until all are read: a stage card, UNDO or a clock
// symbol in one that is read last may bear on every other.
func (s *session) readShots(shots []*shot, list *photo.List, o photo.Options) error {
	next := make(chan *shot)
	var busy sync.WaitGroup
	var large sync.RWMutex
	var read atomic.Int64
	for range min(readers, len(shots)) {
		busy.Go(func() {
			for sh := range next {
				sh.read(list, o, &large)
				read.Add(1)
			}
		})
	}
	err := s.feed(next, shots, &read)
	if err == nil {
		err = s.waitFor(&busy)
	}
	if err != nil {
		s.say("interrupted: nothing recorded; %d of %s were read: type the same command again", read.Load(), wording.Plural(len(shots), "photograph"))
	}
	return err
}

// waitFor waits until all are done, unless the run is interrupted.
func (s *session) waitFor(busy *sync.WaitGroup) error {
	done := make(chan struct{})
	go func() { busy.Wait(); close(done) }()
	select {
	case <-done:
		return nil
	case <-s.stop:
		return errInterrupted
	}
}

// feed hands out photographs, and says how far it is where somebody waits at a
// terminal.
func (s *session) feed(next chan<- *shot, shots []*shot, read *atomic.Int64) error {
	defer close(next)
	progress := screen.NewProgress(s.stderr, s.now)
	defer progress.End()
	for _, sh := range shots {
		if s.stopped() {
			return errInterrupted
		}
		select {
		case <-s.stop:
			return errInterrupted
		case next <- sh:
		}
		if s.watched {
			progress.At("photograph", int(read.Load()), len(shots))
		}
	}
	return nil
}

// stopped reports whether the run was interrupted.
func (s *session) stopped() bool { return closed(s.stop) }

func closed(c <-chan struct{}) bool {
	select {
	case <-c:
		return true
	default:
		return false
	}
}

// read reads the file and what is in the picture.
func (sh *shot) read(list *photo.List, o photo.Options, large *sync.RWMutex) {
	defer func() {
		if p := recover(); p != nil {
			sh.Err = fmt.Errorf("a fault in the reader itself stopped it: %v", p)
		}
	}()
	file, err := loadPhoto(sh.Name)
	if err != nil {
		sh.Err = err
		return
	}
	width, height, err := photo.Size(file)
	if err != nil {
		sh.Err = err
		return
	}
	if width*height > largeShot {
		large.Lock()
		defer large.Unlock()
	} else {
		large.RLock()
		defer large.RUnlock()
	}
	sh.Sum = tracker.PhotoSum(file)
	sh.look, sh.Err = photo.LookAt(file, list, o)
	sh.Exif, sh.Found = sh.look.Exif, sh.look.Found
}

// pipeless refuses what would have to be waited for: a pipe, a device.
func pipeless(path string) error {
	info, err := os.Stat(path)
	if err == nil && !info.Mode().IsRegular() && !info.IsDir() {
		return errors.New("is no file: a pipe or a device")
	}
	return nil
}
