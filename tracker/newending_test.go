package tracker_test

import (
	"strings"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// A way to end that leaves the bond whole is a row in one table, and everything
// that reads, judges, sums up and words tries goes by it.
func TestANewEndingIsARow(t *testing.T) {
	const burst tracker.How = "hose burst"
	defer tracker.Offer(burst, "hose failure")()
	if how, err := tracker.ParseHow("hose"); how != burst || err != nil {
		t.Errorf("typed: %q, %v", how, err)
	}
	study := &tracker.Study{Prefix: "HBR", Zone: time.UTC, Rigs: []tracker.Rig{{Name: "press", RamArea: quantity.Rectangle(0.04, 0.045)}}}
	life := &tracker.Life{Specimen: tracker.Specimen{Code: labels.New("HBR", 1), Adhesive: "RF", Treatment: "soaked"}, BondLength: 0.04, BondWidth: 0.045,
		Tries: []tracker.TryAt{{Try: tracker.Try{Rig: "press", Reading: "7 MPa", How: burst}}}}
	s := strength.Of(study, life)
	if s.Bound != stat.AtLeast || wording.Strength(s, quantity.Metric) != "hose failure, at least 7.00 MPa" {
		t.Errorf("%v: %q", s.Bound, wording.Strength(s, quantity.Metric))
	}
	if load, err := strength.OfTry(study, life, life.Tries[0].Try); err != nil || load.Bound != stat.AtLeast {
		t.Errorf("one try: %+v, %v", load, err)
	}
	rec, err := begun(study, life.Specimen)
	if err != nil {
		t.Fatal(err)
	}
	for row, want := range map[string]string{"Hose  burst,7 MPa": "", "hose burst,": "hose burst wants the reading", "hose,7 MPa": "or hose burst"} {
		csv := "specimen,stage,at,ended,reading,rig\n" + life.Specimen.Code.String() + ",break,2026-03-02 10:00," + row + ",press\n"
		events, _, err := tables.ReadEvents("e.csv", strings.NewReader(csv), rec, time.Date(2026, 4, 1, 0, 0, 0, 0, time.UTC))
		if want == "" && (err != nil || events[0].Try.How != burst) || want != "" && (err == nil || !strings.Contains(err.Error(), want)) {
			t.Errorf("%s: %v, %v", row, events, err)
		}
	}
}

// begun is a study of one specimen, begun.
func begun(study *tracker.Study, of tracker.Specimen) (*tracker.Record, error) {
	at := time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)
	rec := tracker.NewRecord(func([]byte) (tracker.Study, error) { return *study, nil })
	_, err := rec.Add(tracker.Event{ID: "begun", Kind: tracker.Begun, At: schedule.At(at), Recorded: at, Plan: []byte("plan"), Dealt: []tracker.Specimen{of}})
	return rec, err
}
