package tables

import (
	"bufio"
	"slices"
	"strings"
)

// IsExport reports whether a table is the list of events that an export writes,
// by columns that nobody types. It takes nothing from the text.
func IsExport(text *bufio.Reader) bool {
	start, _ := text.Peek(2048) // shorter where the file is
	header, _, _ := strings.Cut(string(start), "\n")
	columns := strings.FieldsFunc(header, func(c rune) bool { return strings.ContainsRune(",;\t\r\"\ufeff", c) })
	for _, own := range []string{"event", "kind", "corrected_at", "device_clock", "voided"} {
		if !slices.Contains(columns, own) {
			return false
		}
	}
	return true
}
