package photo

import (
	"bufio"
	"bytes"
	"fmt"
	"strings"

	"soaktag/labels"
)

// A LineError says which line of a list of codes is none.
type LineError struct {
	Line int // from 1
	Text string
	Err  error // of labels.Parse
}

func (e *LineError) Error() string {
	return fmt.Sprintf("line %d: %q is no code: %v", e.Line, e.Text, e.Err)
}
func (e *LineError) Unwrap() error { return e.Err }

// ParseList reads a list of codes, one a line: codes in any spelling, and stage
// cards with a dot before their name. Empty lines and those that begin with #
// are passed. The error is a *LineError, or says that a line is too long.
func ParseList(text []byte) (*List, error) {
	var codes []labels.Code
	var cards []labels.Card
	lines := bufio.NewScanner(bytes.NewReader(bytes.TrimPrefix(text, []byte("\ufeff"))))
	for n := 1; lines.Scan(); n++ {
		line := strings.TrimSpace(lines.Text())
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		if card, ok := strings.CutPrefix(line, "."); ok {
			cards = append(cards, labels.Card{Kind: labels.CardStage, Name: card})
			continue
		}
		code, err := labels.Parse(line)
		if err != nil {
			return nil, &LineError{n, line, err}
		}
		codes = append(codes, code)
	}
	return NewList(codes, cards...), lines.Err()
}
