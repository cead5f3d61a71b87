package tracker

import (
	"fmt"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
)

// manyEvents is a study in which every specimen went through five stages.
func manyEvents(n int) []Event {
	begun := plainBegun()
	begun.Dealt = nil
	stages := []schedule.Stage{schedule.Cut, schedule.Planing, schedule.GlueUp, schedule.ClampRemoval, schedule.Immersion}
	var events []Event
	for i := range n / len(stages) {
		s := Specimen{Code: labels.New("HBR", i+1), Adhesive: "CAS", Treatment: "soaked", Board: fmt.Sprint(i / 2)}
		if i%2 == 1 {
			s.Treatment = "dry"
		}
		begun.Dealt = append(begun.Dealt, s)
		for k, stage := range stages {
			at := noon.Add(time.Duration(k)*100*time.Hour + time.Duration(i)*time.Minute)
			events = append(events, Event{ID: fmt.Sprint(i, "-", k), Kind: Staged, Stage: stage, Code: s.Code.String(),
				At: schedule.At(at), Recorded: at, Via: "scan"})
		}
	}
	return append([]Event{begun}, events...)
}

// BenchmarkDue100k folds 100,000 events and tells what is due.
func BenchmarkDue100k(b *testing.B) {
	events := manyEvents(100_000)
	for b.Loop() {
		r := NewRecord(plainStudy)
		for _, e := range events {
			r.Add(e)
		}
		if len(r.Due(noon.Add(2000*time.Hour))) == 0 {
			b.Fatal("nothing due")
		}
	}
}

// BenchmarkVerdict judges a scan in a study of 20,000 events.
func BenchmarkVerdict(b *testing.B) {
	r := NewRecord(plainStudy)
	events := manyEvents(20_000)
	for _, e := range events {
		r.Add(e)
	}
	r.Lives()
	scan := events[len(events)/2]
	scan.ID, scan.Stage = "new", schedule.LiftOut
	r.Add(scan)
	for b.Loop() {
		r.Verdict(scan)
	}
}
