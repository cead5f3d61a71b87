package screen

import (
	"fmt"
	"io"
	"time"
)

// patience is how long a work may take before somebody is told how far it is.
const patience = time.Second

// A Progress is one line that says how far a work is, written over itself. It is
// for a terminal alone.
type Progress struct {
	out     io.Writer
	now     func() time.Time
	started time.Time
	told    bool
}

// NewProgress begins a work; nothing is written until it takes over a second.
func NewProgress(out io.Writer, now func() time.Time) *Progress {
	return &Progress{out: out, now: now, started: now()}
}

// At says how far the work is: "photograph 3 of 40".
func (p *Progress) At(what string, done, of int) {
	if p.now().Sub(p.started) <= patience {
		return
	}
	p.told = true
	fmt.Fprintf(p.out, "\rsoaktag: %s %d of %d ", what, done, of)
}

// End leaves the line, where there was one.
func (p *Progress) End() {
	if p.told {
		fmt.Fprintln(p.out)
	}
}
