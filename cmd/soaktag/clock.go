package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/labels/photo"
	"soaktag/labels/qr"
)

// clockCommand shows what tells a camera's clock from the computer's.
func (s *session) clockCommand() *cli.Command {
	return &cli.Command{
		Name:   "clock",
		Usage:  "show the time as a symbol to photograph, until Ctrl-C",
		Flags:  []cli.Flag{&cli.BoolFlag{Name: "once", Usage: "show it once and end"}},
		Action: s.clock,
	}
}

func (s *session) clock(c *cli.Context) error {
	if err := noArguments(c); err != nil {
		return err
	}
	face := clockFace{colour: s.onScreen && os.Getenv("NO_COLOR") == ""}
	if c.Bool("once") || !s.onScreen {
		return face.show(s.stdout, s.now())
	}
	s.say("photograph this with every camera, then read the photographs; Ctrl-C ends it")
	return face.run(s.stdout, s.now, s.stop)
}

// A clockFace shows the time, each second over the last.
type clockFace struct {
	colour bool
	lines  int // of what is shown already
}

// run shows every second until it is stopped.
func (f *clockFace) run(w io.Writer, now func() time.Time, stop <-chan struct{}) error {
	for {
		at := now()
		if err := f.show(w, at); err != nil {
			return err
		}
		select {
		case <-stop:
			return errInterrupted
		case <-time.After(at.Truncate(time.Second).Add(time.Second).Sub(at)):
		}
	}
}

// show draws the symbol of an instant, and writes the time below it.
func (f *clockFace) show(w io.Writer, at time.Time) error {
	symbol, err := qr.Encode(photo.ClockText(at))
	if err != nil {
		return err
	}
	text := screen.Symbol(symbol.Size, qr.QuietZone, symbol.Dark, f.colour) + at.UTC().Format("2006-01-02 15:04:05 UTC") + "\n"
	if f.lines > 0 {
		text = fmt.Sprintf("\x1b[%dA", f.lines) + text // back up over the last
	}
	f.lines = strings.Count(text, "\n")
	_, err = io.WriteString(w, text)
	return err
}
