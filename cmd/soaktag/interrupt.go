package main

import (
	"errors"
	"os"
	"os/signal"
	"syscall"
	"time"

	"soaktag/tracker/store"
)

// grace is how long an interrupted run may take to finish what it is writing,
// so that no half-made file stays behind.
const grace = time.Second

// errInterrupted ends what was waiting for a line when the run was interrupted.
var errInterrupted = errors.New("interrupted")

// await returns what read reads, unless the run is interrupted first: then
// read may go on waiting, but nobody waits for it.
func await(stop <-chan struct{}, read func() (string, error)) (string, error) {
	if stop == nil {
		return read()
	}
	type answer struct {
		line string
		err  error
	}
	answers := make(chan answer, 1)
	go func() {
		line, err := read()
		answers <- answer{line, err}
	}()
	select {
	case a := <-answers:
		return a.line, a.err
	case <-stop:
		return "", errInterrupted
	}
}

// making is work that gives path its file, all or nothing: an interrupted run does not
// wait for it, and leaves nothing half made beside path.
func (s *session) making(path string, work func() error) error {
	done := make(chan struct{})
	go func() {
		select {
		case <-s.stop:
			for !store.Abandon(path) && !closed(done) {
				time.Sleep(time.Millisecond)
			}
		case <-done:
		}
	}()
	err := work()
	close(done)
	if err != nil && s.stopped() {
		return errInterrupted
	}
	return err
}

// endings are the signals that end a run as Ctrl-C does, so that what was answered
// is kept: a terminal that is closed, a machine that is shut down. They come twice
// where a shell passes them on, so the second means nothing. Under nohup a closed
// terminal ends nothing.
func endings() []os.Signal {
	if signal.Ignored(syscall.SIGHUP) {
		return []os.Signal{syscall.SIGTERM}
	}
	return []os.Signal{syscall.SIGTERM, syscall.SIGHUP}
}
