package intake

import (
	"bufio"
	"io"
	"strings"
)

// LongestLine is how many bytes of a line are read: some thousand codes. Of a longer
// one nothing is recorded, since a code or a time may stand behind what was read.
const LongestLine = 1 << 16

// NextLine reads one line of any length in bounded memory and drops what a scanner
// may put around a code. Of a line that is too long it returns more than LongestLine
// bytes, which a desk refuses. The error is io.EOF after the last line.
func NextLine(in *bufio.Reader) (Line, error) {
	var kept []byte
	for {
		part, err := in.ReadSlice('\n')
		kept = append(kept, part[:min(len(part), LongestLine+1-len(kept))]...)
		if err == bufio.ErrBufferFull {
			continue
		}
		if err == io.EOF && len(kept) > 0 {
			err = nil
		}
		if len(kept) > LongestLine {
			return Line(kept), err
		}
		return Line(strings.Trim(string(kept), "\r\n\t \x00\x02\x03\ufeff")), err
	}
}

// tooLong refuses a line of which not all was read.
func (l Line) tooLong() *Refusal {
	return refuse("%s: a line of more than %d bytes, of which nothing was recorded", Quoted(string(l[:40])), LongestLine).
		with(Advice{"let the scanner send Enter after every code, then scan these again"})
}
