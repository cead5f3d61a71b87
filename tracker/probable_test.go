package tracker

import (
	"strings"
	"testing"
	"time"

	"soaktag/schedule"
)

// A code that was only matched in a photograph waits until somebody compared
// it: then it counts, at the time of the photograph.
func TestAProbableCodeCountsOnceConfirmed(t *testing.T) {
	s, _ := codes()
	scan := Event{ID: "photo", Kind: Staged, Stage: schedule.GlueUp, Code: s, At: schedule.At(noon), Recorded: noon, Via: "photo", Doubt: ProbableCode + "compare it"}
	yes := Event{ID: "yes", Kind: Accepted, Target: "photo", Rule: "probable code", Code: s, At: schedule.At(noon.Add(time.Hour)), Recorded: noon.Add(time.Hour), Reason: "seen"}
	r := foldAll(t, []Event{plainBegun(), scan})
	if life := lifeOf(t, r, s); len(life.Steps) != 0 || rules(life.Marks, true) != "probable code" {
		t.Errorf("unconfirmed: %d steps, asks %q", len(life.Steps), rules(life.Marks, true))
	}
	if _, err := r.Add(yes); err != nil {
		t.Fatal(err)
	}
	for name, rec := range map[string]*Record{"added": r, "folded again": foldAll(t, []Event{yes, scan, plainBegun()})} {
		if life := lifeOf(t, rec, s); len(life.Steps) != 1 || rules(life.Marks, true) != "" {
			t.Errorf("%s: %d steps, asks %q", name, len(life.Steps), rules(life.Marks, true))
		}
	}
}

func lifeOf(t *testing.T, r *Record, code string) *Life {
	t.Helper()
	sp, _, err := r.Resolve(code)
	if err != nil {
		t.Fatal(err)
	}
	return r.Life(sp.Code)
}

// TestStands: in the place of an entry stands its last correction; one that was
// voided stands for nothing, and what it had replaced counts again.
func TestStands(t *testing.T) {
	s, _ := codes()
	at := func(id, target string, kind Kind, stage schedule.Stage) Event {
		return Event{ID: id, Kind: kind, Stage: stage, Code: s, Target: target, At: schedule.At(noon), Recorded: noon}
	}
	entry, yes := at("entry", "", Staged, ""), at("yes", "entry", Accepted, "")
	cut, glue := at("cut", "entry", Staged, schedule.Cut), at("glue", "cut", Staged, schedule.GlueUp)
	noGlue, noCut, noEntry := at("no glue", "glue", Voided, ""), at("no cut", "cut", Voided, ""), at("no entry", "entry", Voided, "")
	for want, events := range map[string][]Event{
		"entry":          {entry, yes},
		"cut":            {entry, cut, yes},
		"glue":           {glue, entry, cut},
		"cut again":      {entry, cut, glue, noGlue},
		"entry again":    {entry, cut, noCut},
		"":               {entry, noEntry},
		"nobody's entry": {},
	} {
		r := foldAll(t, append([]Event{plainBegun()}, events...))
		got, ok := r.Stands("entry")
		want, _, _ = strings.Cut(want, " ")
		if want == "nobody's" {
			want = ""
		}
		if got.ID != want || ok != (want != "") || ok && r.Voided(got.ID) {
			t.Errorf("%d events: %q stands, want %q", len(events), got.ID, want)
		}
	}
}
