package worksheet

import (
	"bytes"
	"strings"
	"testing"

	"soaktag/labels"
	"soaktag/labels/sheet"
	"soaktag/labels/sheet/sheettest"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

func TestCaution(t *testing.T) {
	for _, stage := range append(schedule.Stages(), "Glue Up", "faces") {
		if c := Caution(string(stage), quantity.Metric); len(c) < len(first)+40 || !strings.HasSuffix(c, first) || sheet.Legible(c) != c {
			t.Errorf("caution of %q: %q", stage, c)
		}
	}
	if Caution("tea break", quantity.Metric) != first || Caution("Immersion 2", quantity.Inch) != Caution("immersion", quantity.Inch) || !strings.Contains(bathWarning, "child drowns") {
		t.Error("an unknown stage lacks the reminder, or the tag its warning")
	}
}

// TestCautionInInches: a saw and a tub are spoken of in the study's units.
func TestCautionInInches(t *testing.T) {
	for stage, want := range map[string][2]string{"cut": {"under 300 mm ask", "under 12 in ask"}, "immersion": {"60 L of water weigh 60 kg: fill", "15 gal of water weigh 125 lb: fill"}} {
		for u, words := range want {
			if c := Caution(stage, quantity.System(u)); !strings.Contains(c, words) || strings.ContainsAny(c, "{}") {
				t.Errorf("%q is not in %q", words, c)
			}
		}
	}
}

// TestCards: each card says what there is to mind, and each tag what it holds.
func TestCards(t *testing.T) {
	rec := tracker.NewRecord(func([]byte) (tracker.Study, error) {
		return tracker.Study{Prefix: "HBR", Adhesives: []tracker.Adhesive{{Key: "casein", Bath: "B1"}}}, nil
	})
	dealt := []tracker.Specimen{{Code: labels.New("HBR", 17), Adhesive: "casein", Bath: "B1"}, {Code: labels.New("HBR", 18), Adhesive: "casein"}}
	if _, err := rec.Add(tracker.Event{ID: "begun", Kind: tracker.Begun, Dealt: dealt}); err != nil {
		t.Fatal(err)
	}
	cards := Cards(rec, nil, []string{"B1", "B2"})
	stock, err := labels.ParseStock("a4 3x9 63.5x29.6")
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := sheet.Write(&b, sheet.Job{Stock: stock, Cards: cards}); err != nil {
		t.Fatal(err)
	}
	got := sheettest.Words(t, b.Bytes())
	for _, want := range []string{"riving knife", "asthma", "hydrogen sulfide", "Pieces and tools fly", "defer to local codes",
		"DANGER FOR CHILDREN", "siphon to empty", "holds HBR-017-J"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not printed", want)
		}
	}
	if strings.Contains(got, "HBR-018-H") || strings.Contains(got, "casein") {
		t.Error("a tag names what it does not hold, or the adhesive")
	}
}
