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

// trialEvents is a trial of ten labels in the order in which it happened: put
// under water, read after one day and after seven, the third lost on the way,
// the fourth not answered for, and the tenth withdrawn. A second stock has two
// labels that stay dry.
func trialEvents() []Event {
	events := []Event{plainBegun()}
	add := func(kind Kind, n int, hours float64, with func(*Event)) {
		at := noon.Add(time.Duration(hours * float64(time.Hour))).Add(time.Duration(n) * time.Second)
		e := Event{ID: fmt.Sprintf("t%03d", len(events)), Kind: kind, Code: labels.Trial(n).Symbol(), At: schedule.At(at), Recorded: at, Via: "scan"}
		with(&e)
		events = append(events, e)
	}
	printed := func(stock string) func(*Event) {
		return func(e *Event) { e.Via, e.Values = "typed", []Value{{StockValue, stock}} }
	}
	for n := 1; n <= 10; n++ {
		add(Issued, n, 0, printed("film"))
	}
	add(Issued, 11, 0, printed("paper"))
	add(Issued, 12, 0, printed("paper"))
	for n := 1; n <= 10; n++ {
		add(Staged, n, 1, func(e *Event) { e.Stage = schedule.Immersion })
		add(Staged, n, 25, func(e *Event) {})
	}
	add(Ended, 3, 100, func(e *Event) { e.Via, e.End, e.Note = "typed", Lost, "came off" })
	add(Ended, 10, 101, func(e *Event) { e.Via, e.End, e.Note = "typed", Withdrawn, "the offcut split" })
	for _, n := range []int{1, 2, 5, 6, 7, 8, 9} {
		add(Staged, n, 169, func(e *Event) {})
	}
	add(Noted, 4, 169, func(e *Event) { e.Via, e.Note = "typed", "read by eye" })
	return events
}

func TestTrial(t *testing.T) {
	r := foldAll(t, trialEvents())
	trials := r.Trials()
	if len(trials) != 2 || trials[0].Stock != "film" || trials[1].Stock != "paper" || len(trials[0].Labels) != 10 || len(trials[1].Labels) != 2 {
		t.Fatalf("trials %+v", trials)
	}
	if !trials[0].ReadWet() || trials[1].ReadWet() || len(trials[1].Readings()) != 0 {
		t.Error("the film was read wet, the paper was not")
	}
	var got []string
	for _, round := range trials[0].Readings() {
		got = append(got, fmt.Sprintf("%s: %d of %d, silent %v", schedule.Short(round.Wet), round.Read, round.Of, round.Silent))
	}
	want := []string{"0 s: 9 of 9, silent []", "1 d: 9 of 9, silent []", "7 d: 7 of 9, silent [TRIAL-03 TRIAL-04]"}
	if !slices.Equal(got, want) {
		t.Errorf("rounds %q, want %q", got, want)
	}
	if third := trials[0].Labels[2]; third.End != Lost || third.EndNote != "came off" || !third.UnderWater() {
		t.Errorf("the third: %+v", third)
	}
}

// The order of arrival changes nothing, and a record that grew event by event
// is the same as one told at once.
func TestTrialOrder(t *testing.T) {
	events := trialEvents()
	want := foldAll(t, events).Trials()
	rng := rand.New(rand.NewPCG(4, 4))
	for range 50 {
		shuffled := slices.Clone(events)
		rng.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		r := NewRecord(plainStudy)
		for _, e := range shuffled {
			r.Add(e)
			r.Trials()
		}
		if got := r.Trials(); !reflect.DeepEqual(got, want) {
			t.Fatalf("shuffled: %+v\nwant %+v", got, want)
		}
	}
}

// Trial labels are no specimens: nothing about specimens changes with them.
func TestTrialIsNoSpecimen(t *testing.T) {
	plain, with := foldAll(t, []Event{plainBegun()}), foldAll(t, trialEvents())
	now := noon.Add(1000 * time.Hour)
	for what, pair := range map[string][2]any{
		"lives":     {plain.Lives(), with.Lives()},
		"specimens": {plain.Specimens(), with.Specimens()},
		"due":       {plain.Due(now), with.Due(now)},
		"drift":     {plain.Drift(now), with.Drift(now)},
		"marks":     {plain.Marks(), with.Marks()},
		"immersed":  {plain.Immersed(), with.Immersed()},
	} {
		if !reflect.DeepEqual(pair[0], pair[1]) {
			t.Errorf("%s: %v without the trial, %v with it", what, pair[0], pair[1])
		}
	}
	if _, printed := with.Stocks(); printed {
		t.Error("trial labels count as labels of specimens")
	}
	if _, _, err := with.Resolve(".TRIAL03"); err == nil {
		t.Error("a trial label resolves to a specimen")
	}
}

func TestTrialCorrections(t *testing.T) {
	events := trialEvents()
	now := noon.Add(200 * time.Hour)
	wet := func(extra ...Event) []TrialReading {
		return foldAll(t, append(slices.Clone(events), extra...)).Trials()[0].Readings()
	}
	last := func(rounds []TrialReading) TrialReading { return rounds[len(rounds)-1] }
	scan := func(id string, n int) Event {
		return Event{ID: id, Kind: Staged, Code: labels.Trial(n).Symbol(), At: schedule.At(now), Recorded: now, Via: "scan"}
	}
	if got := last(wet(Event{ID: "v", Kind: Voided, Target: "t034"}, Event{ID: "w", Kind: Voided, Target: "t999"})); got.Of != 10 {
		t.Errorf("a withdrawal taken back: %+v", got)
	}
	if got := last(wet(scan("x", 3))); got.Read != 1 || got.Of != 9 {
		t.Errorf("a lost one that reads again begins a round: %+v", got)
	}
	if got := wet(scan("x", 3))[2]; got.Read != 8 {
		t.Errorf("what reads later had read before: %+v", got)
	}
	if got := wet(scan("x", 10)); len(got) != 3 {
		t.Errorf("a withdrawn one that reads stays withdrawn: %+v", got)
	}
	typed := scan("x", 4)
	typed.Via = "typed"
	if got := last(wet(typed)); got.Read != 7 {
		t.Errorf("read by eye is not read by a scanner: %+v", got)
	}
	asked := foldAll(t, append(slices.Clone(events), scan("x", 99))).Marks()
	if len(asked) != 1 || asked[0].Rule != "unknown code" || !asked[0].Open() {
		t.Errorf("a trial label that nobody printed: %+v", asked)
	}
	past := foldAll(t, events).AsOf(noon.Add(48 * time.Hour)).Trials()[0]
	if got := past.Readings(); len(got) != 2 || got[1].Of != 10 || got[1].Read != 10 {
		t.Errorf("on the second day: %+v", got)
	}
}

// A second sheet that goes under water later neither spoils nor helps what the
// first one showed; a label taken out early counts as not read.
func TestTrialLater(t *testing.T) {
	var events []Event
	stage := func(n int, days float64, stage schedule.Stage) {
		at := noon.Add(time.Duration(days * 24 * float64(time.Hour)))
		events = append(events, Event{ID: fmt.Sprint(n, days, stage), Kind: Staged, Code: labels.Trial(n).Symbol(), Stage: stage, At: schedule.At(at), Recorded: at, Via: "scan"})
	}
	events = append(events, plainBegun())
	for n := 1; n <= 4; n++ {
		events = append(events, Event{ID: fmt.Sprint("p", n), Kind: Issued, Code: labels.Trial(n).Symbol(), At: schedule.At(noon), Recorded: noon, Values: []Value{{StockValue, "film"}}})
	}
	stage(1, 0, schedule.Immersion)
	stage(2, 0, schedule.Immersion)
	stage(2, 3, schedule.LiftOut)
	stage(1, 7, "")
	stage(3, 7.5, schedule.Immersion)
	stage(4, 7.5, schedule.Immersion)
	stage(1, 8.5, "")
	stage(3, 8.5, "")
	rounds := foldAll(t, events).Trials()[0].Readings()
	var got []string
	for _, x := range rounds {
		got = append(got, fmt.Sprintf("%s %d/%d", schedule.Short(x.Wet), x.Read, x.Of))
	}
	// dry, day 3 (the lift-out), day 7, and a mixed round of one day
	if want := []string{"0 s 4/4", "0 s 4/4", "3 d 2/2", "7 d 1/2", "1 d 3/4"}; !slices.Equal(got, want) {
		t.Errorf("rounds %q, want %q", got, want)
	}
}
