package main

import (
	"fmt"
	"slices"
	"strings"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/schedule"
	"soaktag/tracker"
)

// A scheduleDoc is a published schedule that a treatment follows, in check/1.
type scheduleDoc struct {
	Treatment string    `json:"treatment"`
	Name      string    `json:"name"`
	Standing  string    `json:"standing"`
	Source    string    `json:"source"`
	Notice    string    `json:"notice"`
	Steps     []stepDoc `json:"steps"`
}

type stepDoc struct {
	Text   string `json:"text"`
	Status string `json:"status"`
	Source string `json:"source"`
}

func scheduleDocs(study *tracker.Study) []scheduleDoc {
	docs := []scheduleDoc{}
	for _, t := range study.Treatments {
		if p := t.Protocol; p.Name != "" {
			docs = append(docs, scheduleDoc{t.Key, p.Name, p.Standing.String(), p.Source, schedule.NotACertificate, stepDocs(p)})
		}
	}
	return docs
}

func stepDocs(p schedule.Protocol) []stepDoc {
	docs := []stepDoc{}
	for _, s := range p.Steps {
		docs = append(docs, stepDoc{s.String(), s.Status, s.Source})
	}
	return docs
}

// printSchedules shows what a schedule's name stands for, how far each step was
// confirmed, and where it comes from.
func (s *session) printSchedules(study *tracker.Study) {
	for _, doc := range scheduleDocs(study) {
		t := &screen.Table{}
		for i, step := range doc.Steps {
			t.Row(count(i+1), step.Text, strings.ToLower(step.Status))
		}
		s.table(fmt.Sprintf("Schedule of %s: %s, %s (%s)", doc.Treatment, doc.Name, doc.Standing, doc.Notice), t)
		for _, source := range doc.sources() {
			s.print("  source: %s\n", source)
		}
	}
}

// sources are those of the steps, each once.
func (doc scheduleDoc) sources() (all []string) {
	for _, step := range doc.Steps {
		if step.Source != "" && !slices.Contains(all, step.Source) {
			all = append(all, step.Source)
		}
	}
	return all
}
