package intake

import (
	"path/filepath"
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// A study begins now or earlier, with the beginning of a range; its event says when
// it was written down.
func TestBeginEarlier(t *testing.T) {
	earlier := schedule.Span{From: noon.Add(-48 * time.Hour), To: noon.Add(-24 * time.Hour)}
	for name, test := range map[string]struct {
		at   schedule.Span
		want time.Time // zero: refused
	}{
		"now":           {schedule.Span{}, noon},
		"a range":       {earlier, earlier.From},
		"in the future": {schedule.At(noon.Add(time.Minute)), time.Time{}},
		"until then":    {schedule.Span{To: noon}, time.Time{}},
	} {
		path := filepath.Join(t.TempDir(), "s.soaktag")
		err := Begin(path, Beginning{Plan: []byte(smallPlan), Dealt: dealt(), At: test.at}, noon)
		if test.want.IsZero() {
			if !refusedWith(err, "begins now or at an earlier time") {
				t.Errorf("%s: %v", name, err)
			}
			continue
		}
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		d, _ := deskAt(t, path)
		if e := d.Record().Events()[0]; e.Kind != tracker.Begun || !e.At.From.Equal(test.want) || !e.At.Exact() || !e.Recorded.Equal(noon) {
			t.Errorf("%s: %+v", name, e)
		}
	}
}

// A study is a namesake by its prefix alone; a file that is none is left out.
func TestNamesakes(t *testing.T) {
	path := begun(t)
	other := filepath.Join(filepath.Dir(path), "other.soaktag")
	if all := Namesakes(other, "TRF"); len(all) != 1 || all[0].File != filepath.Base(path) || all[0].Prefix != "TRF" {
		t.Errorf("%+v", all)
	}
	if all := Namesakes(other, "TRG"); len(all) != 0 {
		t.Errorf("another prefix: %+v", all)
	}
}

// A force under a dial of pressure is taken, and said.
func TestAReadingOfAnotherKindIsTakenAndSaid(t *testing.T) {
	d, c := deskAt(t, begun(t))
	out := c.took(t, d, Try{Subject: "3", Reading: "18 kN", Ended: "separated"})
	if n := noted[ForeignReading](t, out); n != (ForeignReading{"18 kN", "press", "MPa"}) {
		t.Errorf("%+v", n)
	}
	for _, n := range c.took(t, d, Try{Subject: "4", Reading: "1310 psig", Ended: "separated"}).Notes {
		if _, is := n.(ForeignReading); is {
			t.Error("psi are said to be no pressure")
		}
	}
}
