package wording

import (
	"fmt"
	"strings"

	"soaktag/tracker"
)

// Mark is a mark for a person: whether it asks, where, what, and its rule.
func Mark(m tracker.Mark) string {
	lead := "note"
	if m.Open() {
		lead = "asks"
	}
	text := MarkText(m)
	if m.Code != "" && !strings.HasPrefix(text, m.Code) {
		text = m.Code + ": " + text
	}
	return fmt.Sprintf("%s: %s (%s)", lead, text, m.Rule)
}

// MarkText says what a mark is about, and what would put it right.
func MarkText(m tracker.Mark) string { return m.Text }
