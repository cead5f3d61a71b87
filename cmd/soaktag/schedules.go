package main

import (
	"fmt"
	"strings"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/tracker"
	"soaktag/tracker/tables"
)

// printSchedules shows what a schedule's name stands for, how far each step was
// confirmed, and where it comes from.
func (s *session) printSchedules(study *tracker.Study) {
	for _, doc := range tables.NewSchedules(study) {
		t := &screen.Table{}
		for i, step := range doc.Steps {
			t.Row(count(i+1), step.Text, strings.ToLower(step.Status))
		}
		s.table(fmt.Sprintf("Schedule of %s: %s, %s (%s)", doc.Treatment, doc.Name, doc.Standing, doc.Notice), t)
		for _, source := range doc.Sources() {
			s.print("  source: %s\n", source)
		}
	}
}
