package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/labels/photo"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/wholefile"
	"soaktag/tracker/wording"
)

// A photoFile is a file to be read as a photograph.
type photoFile struct {
	path  string
	named bool // by the person, not met in a folder
}

// photoFiles lists the files named and the photographs in the folders named and
// below, by name; passed counts the other files in them. A file that is no
// photograph but is called like one is listed: it may be damaged.
func photoFiles(words []string) (files []photoFile, passed int, err error) {
	for _, word := range words {
		info, err := os.Stat(word)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return nil, 0, usageError("there is no file or folder %s; nothing recorded", word)
		case err != nil:
			return nil, 0, refused(err)
		case !info.IsDir():
			files = append(files, photoFile{word, true})
			continue
		}
		inside, others, err := photosUnder(filepath.Clean(word) + string(filepath.Separator)) // through a link too
		if err != nil {
			return nil, 0, refused(fmt.Errorf("look through %s: %w", word, err))
		}
		files, passed = append(files, inside...), passed+others
	}
	if len(files) == 0 {
		return nil, 0, usageError("no photographs in %s; nothing recorded", strings.Join(words, ", "))
	}
	return files, passed, nil
}

func photosUnder(folder string) (files []photoFile, others int, err error) {
	err = filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil && path == folder:
			return err
		case err != nil: // the others go on, and this one is said
			files = append(files, photoFile{path, false})
		case strings.HasPrefix(d.Name(), ".") && path != folder:
			if d.IsDir() {
				return fs.SkipDir
			}
		case d.IsDir():
		case !isFile(path):
			others++
		case calledPhoto(path) || beginsAsPhoto(path):
			files = append(files, photoFile{path, false})
		default:
			others++
		}
		return nil
	})
	return files, others, err
}

// isFile reports whether a path is a file, or leads to one.
func isFile(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Mode().IsRegular()
}

func calledPhoto(path string) bool {
	return slices.Contains([]string{".jpg", ".jpeg", ".png", ".webp", ".heic", ".heif"}, strings.ToLower(filepath.Ext(path)))
}

func beginsAsPhoto(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	head := make([]byte, 16)
	n, _ := io.ReadFull(f, head) // a shorter file is judged by what there is
	return photo.IsPhoto(head[:n])
}

// A shot is a photograph as it was read, beside what the desk takes: where things stand in
// it. The picture itself is not held.
type shot struct {
	intake.Photograph
	prints  []photo.Print    // how well what was found is printed
	upright [][4]photo.Point // the corners of what was found, in the picture turned upright
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
func (s *session) readShots(files []photoFile, list *photo.List, o photo.Options) ([]*shot, error) {
	shots, next := make([]*shot, len(files)), make(chan int)
	var busy sync.WaitGroup
	var large sync.RWMutex
	var read atomic.Int64
	for range min(readers, len(files)) {
		busy.Go(func() {
			for i := range next {
				shots[i] = newShot(files[i])
				shots[i].look(list, o, &large)
				read.Add(1)
			}
		})
	}
	err := s.feed(next, len(files))
	if err == nil {
		err = s.waitFor(&busy)
	}
	if err != nil {
		s.say("interrupted: nothing recorded; %d of %s were read: type the same command again", read.Load(), wording.Plural(len(files), "photograph"))
		return nil, err
	}
	return shots, nil
}

func newShot(f photoFile) *shot {
	load := func() ([]byte, error) { return loadPhoto(f.path) }
	return &shot{Photograph: intake.Photograph{Name: f.path, Named: f.named, Load: load}}
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

// feed hands out the numbers below n, and says how far it is where somebody
// waits at a terminal.
func (s *session) feed(next chan<- int, n int) error {
	defer close(next)
	progress := screen.NewProgress(s.stderr, s.now)
	defer progress.End()
	for i := range n {
		if s.stopped() {
			return errInterrupted
		}
		select {
		case <-s.stop:
			return errInterrupted
		case next <- i:
		}
		if s.terminal {
			progress.At("photograph", i+1, n)
		}
	}
	return nil
}

// stopped reports whether the run was interrupted.
func (s *session) stopped() bool {
	select {
	case <-s.stop:
		return true
	default:
		return false
	}
}

// look reads the file and what is in the picture.
func (sh *shot) look(list *photo.List, o photo.Options, large *sync.RWMutex) {
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
	sh.read(file, list, o)
}

func (sh *shot) read(file []byte, list *photo.List, o photo.Options) {
	picture, err := photo.Open(file)
	if err != nil {
		sh.Err = err
		return
	}
	sh.Exif = picture.Exif
	sh.Found = photo.Read(picture.Image, list, o)
	sh.prints = photo.Prints(picture.Image, sh.Found)
	for _, f := range sh.Found {
		corners := f.Corners
		for i := range corners {
			corners[i] = picture.Upright(corners[i])
		}
		sh.upright = append(sh.upright, corners)
	}
}

// loadPhoto reads a file that may be kept in a study. The errors do not name
// it.
func loadPhoto(path string) ([]byte, error) {
	if err := pipeless(path); err != nil {
		return nil, err
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, wholefile.Cause(err)
	}
	defer f.Close()
	file, err := io.ReadAll(io.LimitReader(f, tracker.MaxPhoto+1))
	if err != nil {
		return nil, wholefile.Cause(err)
	}
	if len(file) > tracker.MaxPhoto {
		return nil, fmt.Errorf("over %d MB; save it smaller", tracker.MaxPhoto/1_000_000)
	}
	return file, nil
}

// pipeless refuses what would have to be waited for: a pipe, a device.
func pipeless(path string) error {
	info, err := os.Stat(path)
	if err == nil && !info.Mode().IsRegular() && !info.IsDir() {
		return errors.New("is no file: a pipe or a device")
	}
	return nil
}
