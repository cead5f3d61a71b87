package sheet

import (
	"fmt"
	"strconv"
	"strings"
	"sync"

	"soaktag/labels/qr"
)

// A SymbolsError names the symbols that cannot be encoded or do not read back.
type SymbolsError struct {
	Texts  []string // in printing order
	Causes []error  // one for each
}

func (e *SymbolsError) Error() string {
	const most = 10
	shown := e.Texts[:min(len(e.Texts), most)]
	more := ""
	if rest := len(e.Texts) - len(shown); rest > 0 {
		more = fmt.Sprintf(" and %d more", rest)
	}
	return fmt.Sprintf("nothing printed: %d of the symbols fail: %s%s: %v", len(e.Texts), strings.Join(shown, ", "), more, e.Causes[0])
}

// Unwrap returns the causes.
func (e *SymbolsError) Unwrap() []error { return e.Causes }

// A symbol is ready to be drawn: one path in module units, and its size.
type symbol struct {
	size int
	path string
}

// workers encode and read back ahead of drawing; more do not pay.
const workers = 2

// encode makes every symbol and reads it back. It returns no symbols at all
// unless all are good.
func encode(texts []string) ([]symbol, error) { return encodeWith(texts, qr.Encode, qr.ReadBack) }

func encodeWith(texts []string, encode func(string) (qr.Symbol, error), check func(qr.Symbol) error) ([]symbol, error) {
	symbols, causes := make([]symbol, len(texts)), make([]error, len(texts))
	var done sync.WaitGroup
	for worker := range workers {
		done.Go(func() {
			for i := worker; i < len(texts); i += workers {
				symbols[i], causes[i] = one(texts[i], encode, check)
			}
		})
	}
	done.Wait()
	failed := &SymbolsError{}
	for i, cause := range causes {
		if cause != nil {
			failed.Texts, failed.Causes = append(failed.Texts, texts[i]), append(failed.Causes, cause)
		}
	}
	if len(failed.Texts) > 0 {
		return nil, failed
	}
	return symbols, nil
}

func one(text string, encode func(string) (qr.Symbol, error), check func(qr.Symbol) error) (symbol, error) {
	s, err := encode(text)
	if err != nil {
		return symbol{}, err
	}
	if err := check(s); err != nil {
		return symbol{}, err
	}
	return symbol{s.Size, path(s)}, nil
}

// path draws the symbol as one path of runs of dark modules.
func path(s qr.Symbol) string {
	b := make([]byte, 0, 2048)
	s.Runs(func(x, y, length int) {
		b = strconv.AppendInt(b, int64(x), 10)
		b = append(b, ' ')
		b = strconv.AppendInt(b, int64(y), 10)
		b = append(b, ' ')
		b = strconv.AppendInt(b, int64(length), 10)
		b = append(b, " 1 re "...)
	})
	return string(b)
}
