package tracker

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
)

// twoRigs is the plain study with two rigs.
func twoRigs(text []byte) (Study, error) {
	s, err := plainStudy(text)
	s.Rigs = []Rig{{Name: "frame"}, {Name: "press"}}
	return s, err
}

// dummyEvents takes the six specimens of the plain study from glue-up into the
// bath, and dummies to the rigs: on the frame one that held not, on the press
// one that separated, and a second that was voided.
func dummyEvents() []Event {
	events := []Event{plainBegun()}
	add := func(kind Kind, code string, hours float64, with func(*Event)) {
		at := noon.Add(time.Duration(hours * float64(time.Hour)))
		e := Event{ID: fmt.Sprintf("d%03d", len(events)), Kind: kind, Code: code, At: schedule.At(at), Recorded: at}
		with(&e)
		events = append(events, e)
	}
	stage := func(s schedule.Stage) func(*Event) { return func(e *Event) { e.Stage = s } }
	for n := 1; n <= 6; n++ {
		code := labels.New("HBR", n).String()
		add(Staged, code, 0, stage(schedule.GlueUp))
		add(Staged, code, 24, stage(schedule.ClampRemoval))
		if n%2 == 1 {
			add(Staged, code, 360, stage(schedule.Immersion))
		}
	}
	try := func(rig string, how How) func(*Event) {
		return func(e *Event) { e.Try = &Try{Rig: rig, Reading: "9 MPa", How: how} }
	}
	add(Tried, DummyCode, 480, try("frame", FixtureGave))
	add(Tried, DummyCode, 481, try("press", Separated))
	add(Tried, DummyCode, 482, try("frame", Separated))
	events = append(events, Event{ID: "void", Kind: Voided, Code: DummyCode, Target: events[len(events)-1].ID, At: schedule.At(noon.Add(483 * time.Hour))})
	return events
}

func foldRigs(t *testing.T, events []Event) *Record {
	t.Helper()
	r := NewRecord(twoRigs)
	for _, e := range events {
		if _, err := r.Add(e); err != nil {
			t.Fatal(err)
		}
	}
	return r
}

func hoursIn(h float64) time.Time { return noon.Add(time.Duration(h * float64(time.Hour))) }

func TestDummies(t *testing.T) {
	all := dummyEvents()
	until := func(last int) []Event { return all[:len(all)-last] }
	opens := 360 + 168 - 4 - 48.0 // planned: soak 7 d +/- 4 h from the immersion on, two days before
	for _, test := range []struct {
		what  string
		gone  []Event
		at    float64
		rigs  []string
		state schedule.State
	}{
		{"before anything began", all[:1], 0, nil, 0},
		{"before the immersion, as forecast", slices.Clone(all[:3]), 30, []string{"frame", "press"}, schedule.Ongoing},
		{"too early", until(4), opens - 0.1, []string{"frame", "press"}, schedule.Ongoing},
		{"two days ahead", until(4), opens, []string{"frame", "press"}, schedule.Due},
		{"the window of the lift-out closed, and nothing was lifted", until(4), opens + 60, []string{"frame", "press"}, schedule.Due},
		{"what gave way was not broken", until(3), opens, []string{"frame", "press"}, schedule.Due},
		{"one broken", until(2), opens, []string{"frame"}, schedule.Due},
		{"both broken", until(1), opens, nil, 0},
		{"and one voided", all, opens, []string{"frame"}, schedule.Due},
	} {
		got := foldRigs(t, test.gone).Dummies(hoursIn(test.at))
		var rigs []string
		for _, d := range got {
			rigs = append(rigs, d.Rig)
			if d.State != test.state || d.Stage != DummyStage || d.Specimen != (Specimen{}) {
				t.Errorf("%s: %+v", test.what, d)
			}
		}
		if !slices.Equal(rigs, test.rigs) {
			t.Errorf("%s: dummies on %v, want %v", test.what, rigs, test.rigs)
		}
	}
	if d := foldRigs(t, all).Dummies(hoursIn(opens))[0]; !d.Window.Opens.Equal(hoursIn(opens)) || !d.Window.Closes.Equal(hoursIn(opens+48)) || !d.Sure {
		t.Errorf("window %+v", d)
	}
	if d := foldRigs(t, all[:3]).Dummies(hoursIn(30))[0]; !d.Window.Closes.Equal(hoursIn(24+336+168-4)) || d.Sure {
		t.Errorf("forecast %+v", d)
	}
}

// TestDummiesOverdue: from the lift-out until a specimen breaks there, or none
// is left; back in the water there is time again.
func TestDummiesOverdue(t *testing.T) {
	events := dummyEvents()
	add := func(id string, kind Kind, n int, hours float64, with func(*Event)) *Record {
		e := Event{ID: id, Kind: kind, Code: labels.New("HBR", n).String(), At: schedule.At(hoursIn(hours)), Recorded: hoursIn(hours)}
		with(&e)
		events = append(events, e)
		return foldRigs(t, events)
	}
	r := add("out", Staged, 1, 528, func(e *Event) { e.Stage = schedule.LiftOut })
	got := r.Due(hoursIn(529))
	i := slices.IndexFunc(got, func(d Due) bool { return d.Rig == "frame" })
	if i < 0 || got[i].State != schedule.Overdue || got[i].Over != time.Hour || !slices.IsSortedFunc(got, func(a, b Due) int { return a.deadline().Compare(b.deadline()) }) {
		t.Fatalf("lifted out: %+v", got)
	}
	back := add("back", Staged, 1, 530, func(e *Event) { e.Stage = schedule.Immersion })
	if got := back.Dummies(hoursIn(531)); len(got) != 1 || got[0].State != schedule.Due {
		t.Errorf("put back: %+v", got)
	}
	again := add("again", Staged, 1, 540, func(e *Event) { e.Stage = schedule.LiftOut })
	if got := again.Dummies(hoursIn(541)); len(got) != 1 || got[0].Over != time.Hour {
		t.Errorf("lifted again: %+v", got)
	}
	if got := again.AsOf(hoursIn(500)).Dummies(hoursIn(500)); len(got) != 1 || got[0].State != schedule.Due {
		t.Errorf("as of before: %+v", got)
	}
	broken := add("try", Tried, 1, 541, func(e *Event) { e.Try = &Try{Rig: "FRAME", Reading: "2 MPa", How: Separated} })
	if got := broken.Dummies(hoursIn(541)); len(got) != 0 {
		t.Errorf("a specimen broke on it: %+v", got)
	}
}

// TestNothingLeftToBreak: a rig that was never used is not asked about for ever.
func TestNothingLeftToBreak(t *testing.T) {
	events := dummyEvents()
	for n := 1; n <= 5; n += 2 {
		events = append(events, Event{ID: fmt.Sprint("gone", n), Kind: Ended, End: Withdrawn, Code: labels.New("HBR", n).String(), At: schedule.At(hoursIn(500)), Recorded: hoursIn(500)})
	}
	if got := foldRigs(t, events).Dummies(hoursIn(2000)); len(got) != 0 {
		t.Errorf("%+v", got)
	}
}

// TestDummyIsNoSpecimen: nothing but what is due, and its own list, tells it.
func TestDummyIsNoSpecimen(t *testing.T) {
	all := dummyEvents()
	plain, with := foldRigs(t, all[:len(all)-4]), foldRigs(t, all)
	now := hoursIn(600)
	specimens := func(r *Record) []Due {
		return slices.DeleteFunc(r.Due(now), func(d Due) bool { return d.Rig != "" })
	}
	for what, pair := range map[string][2]any{
		"lives": {plain.Lives(), with.Lives()}, "marks": {plain.Marks(), with.Marks()},
		"drift": {plain.Drift(now), with.Drift(now)}, "due": {specimens(plain), specimens(with)},
	} {
		if !reflect.DeepEqual(pair[0], pair[1]) {
			t.Errorf("dummies changed the %s", what)
		}
	}
	tries := with.DummyTries()
	if len(tries) != 4 || tries[0].Voided || !tries[2].Voided || tries[1].Try.Rig != "press" {
		t.Errorf("tries %+v", tries)
	}
	judged := func(e Event) Verdict { with.Add(e); return with.Verdict(e) }
	if v := judged(Event{ID: "x", Kind: Tried, Code: DummyCode, Try: &Try{How: Separated}, At: schedule.At(now), Recorded: now}); len(v.Marks) > 0 {
		t.Errorf("it asks: %+v", v.Marks)
	}
	if v := judged(Event{ID: "y", Kind: Staged, Stage: schedule.GlueUp, Code: DummyCode, At: schedule.At(now)}); len(v.Marks) != 1 {
		t.Errorf("a dummy goes through no stage: %+v", v.Marks)
	}
}

// TestDummyOrder: in whatever order the events arrive, and asked at any moment in
// between, the same is due.
func TestDummyOrder(t *testing.T) {
	want := foldRigs(t, dummyEvents())
	for seed := range uint64(100) {
		rng := rand.New(rand.NewPCG(seed, 11))
		events := dummyEvents()
		rng.Shuffle(len(events), func(i, j int) { events[i], events[j] = events[j], events[i] })
		got := NewRecord(twoRigs)
		for _, e := range events {
			got.Add(e)
			if rng.IntN(8) == 0 {
				got.Due(hoursIn(500)) // also of a study whose plan is not there yet
			}
		}
		for _, at := range []float64{0, 100, 476, 500, 529, 900} {
			if !reflect.DeepEqual(got.Dummies(hoursIn(at)), want.Dummies(hoursIn(at))) || !reflect.DeepEqual(got.Due(hoursIn(at)), want.Due(hoursIn(at))) {
				t.Fatalf("seed %d, hour %v: another order of delivery gives other dummies", seed, at)
			}
		}
		if !reflect.DeepEqual(withoutSeq(got.DummyTries()), withoutSeq(want.DummyTries())) {
			t.Fatalf("seed %d: other tries", seed)
		}
	}
}

func withoutSeq(entries []Entry) []Entry {
	for i := range entries {
		entries[i].Seq = 0
	}
	return entries
}
