package screen

import (
	"fmt"
	"io"
	"strings"
	"time"
)

// patience is how long a work may take before somebody is told how far it is.
const patience = time.Second

// barWidth is how many characters a whole work is.
const barWidth = 20

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

// At says how far the work is, and how long the rest will take at the pace so far:
// "photograph 3 of 40 [#...................] about 25 s left".
func (p *Progress) At(what string, done, of int) {
	spent := p.now().Sub(p.started)
	if spent <= patience || of < 1 {
		return
	}
	p.told = true
	full := barWidth * done / of
	bar := strings.Repeat("#", full) + strings.Repeat(".", barWidth-full)
	fmt.Fprintf(p.out, "\rsoaktag: %s %d of %d [%s]%s\x1b[K", what, done, of, bar, timeLeft(spent, done, of)) // and clear the rest of the line
}

// timeLeft is what is left at the pace so far; nothing where there is none.
func timeLeft(spent time.Duration, done, of int) string {
	if done < 1 || done >= of {
		return ""
	}
	left := time.Duration(float64(spent) / float64(done) * float64(of-done))
	if left < 90*time.Second {
		return fmt.Sprintf(" about %.0f s left", max(1, left.Seconds()))
	}
	return fmt.Sprintf(" about %.0f min left", left.Minutes())
}

// End leaves the line, where there was one.
func (p *Progress) End() {
	if p.told {
		fmt.Fprintln(p.out)
	}
}
