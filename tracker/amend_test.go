package tracker

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
)

// wordsStudy stands for the plan reader: plainStudy with intervals replaced by
// lines such as "soak=20 d +/- 4 h".
func wordsStudy(text []byte) (Study, error) {
	s, _ := plainStudy(nil)
	s.Text = text
	for line := range strings.Lines(string(text)) {
		name, planned, _ := strings.Cut(strings.TrimSpace(line), "=")
		p, err := schedule.ParsePlanned(planned)
		if err != nil {
			return s, err
		}
		for i := range s.Intervals {
			if s.Intervals[i].Name == name {
				s.Intervals[i].Planned = p
			}
		}
	}
	return s, nil
}

func hour(h float64) time.Time { return noon.Add(time.Duration(h * float64(time.Hour))) }

func amended(id string, at float64, plan string) Event {
	return Event{ID: id, Kind: PlanAmended, At: schedule.At(hour(at)), Recorded: hour(at), Plan: []byte(plan), Reason: "r"}
}

func adding(id string, at float64, serials ...int) Event {
	e := Event{ID: id, Kind: PlanAmended, At: schedule.At(hour(at)), Recorded: hour(at), Reason: "press slipped"}
	for _, n := range serials {
		e.Dealt = append(e.Dealt, Specimen{Code: labels.New("HBR", n), Adhesive: "CAS", Treatment: "soaked", Board: "A",
			Parent: labels.New("HBR", 1).String()})
	}
	return e
}

func staged(at float64, serial int, stage schedule.Stage) Event {
	return Event{ID: fmt.Sprint(serial, stage, at), Kind: Staged, Stage: stage, Code: labels.New("HBR", serial).String(),
		At: schedule.At(hour(at)), Recorded: hour(at), Via: "scan"}
}

// soaks is a study in which specimen 1 was sunk at 360 h and specimen 3 at 400 h.
func soaks(t *testing.T, more ...Event) *Record {
	t.Helper()
	r := NewRecord(wordsStudy)
	events := []Event{plainBegun()}
	for serial, sunk := range map[int]float64{1: 360, 3: 400} {
		events = append(events, staged(0, serial, schedule.GlueUp), staged(24, serial, schedule.ClampRemoval), staged(sunk, serial, schedule.Immersion))
	}
	for _, e := range append(events, more...) {
		if _, err := r.Add(e); err != nil {
			t.Fatal(err)
		}
	}
	return r
}

func lapseOf(t *testing.T, r *Record, serial int, name string) Lapse {
	t.Helper()
	for _, l := range r.Life(labels.New("HBR", serial)).Lapses {
		if l.Interval.Name == name {
			return l
		}
	}
	t.Fatalf("HBR-%03d has no %s", serial, name)
	return Lapse{}
}

// The amended plan governs intervals not yet begun at its instant (DESIGN 5).
func TestAmendedPlanGovernsWhatBeganLater(t *testing.T) {
	r := soaks(t, amended("p1", 380, "soak=20 d +/- 4 h\nwet hold=at most 10 min"), amended("p2", 410, "soak=30 d +/- 4 h\nwet hold=at most 5 min"))
	for serial, want := range map[int]string{1: "7 d +/- 4 h", 3: "20 d +/- 4 h", 5: "30 d +/- 4 h"} {
		l := lapseOf(t, r, serial, "soak")
		if got := l.Interval.Planned.String(); got != want || l.Original.String() != "7 d +/- 4 h" {
			t.Errorf("soak of %d: %s, want %s; original %s", serial, got, want, l.Original)
		}
	}
	if l := lapseOf(t, r, 1, "wet hold"); l.Interval.Planned.Length != 5*time.Minute {
		t.Errorf("the wet hold of 1 has yet to begin and is %s", l.Interval.Planned)
	}
	if _, err := r.Add(Event{ID: "v", Kind: Voided, Target: "p1", At: schedule.At(hour(420))}); err != nil {
		t.Fatal(err)
	}
	if l := lapseOf(t, r, 3, "soak"); l.Interval.Planned.String() != "7 d +/- 4 h" {
		t.Errorf("p1 was voided, soak of 3 is %s", l.Interval.Planned)
	}
	if s := string(r.AsOf(hour(390)).Study().Text); s != "" {
		t.Errorf("as of 390 h the plan was %q", s)
	}
}

// An interval that began at the very instant of the amendment goes by the new plan.
func TestAmendedAtTheInstant(t *testing.T) {
	r := soaks(t, amended("p1", 400, "soak=20 d +/- 4 h"))
	if l := lapseOf(t, r, 3, "soak"); l.Interval.Planned.String() != "20 d +/- 4 h" {
		t.Errorf("soak %s", l.Interval.Planned)
	}
}

// Due follows the plan in force.
func TestDueFollowsTheAmendedPlan(t *testing.T) {
	r := soaks(t, amended("p1", 380, "soak=20 d +/- 4 h"))
	for _, d := range r.Due(hour(420)) {
		want := hour(360 + 7*24)
		if d.Specimen.Code.Serial == 3 {
			want = hour(400 + 20*24)
		}
		if !d.Window.At.Equal(want) {
			t.Errorf("%s at %s, want %s", d.Specimen.Code, d.Window.At, want)
		}
	}
}

// A clamp that the amended plan leaves out stays a stage of what was glued
// before, and its cure still begins at clamp removal.
func TestClampLeftOutLater(t *testing.T) {
	r := soaks(t, staged(30, 5, schedule.GlueUp), amended("p1", 20, "clamp=none\ncure=20 d +/- 1 d"))
	if !slices.Contains(r.Life(labels.New("HBR", 1)).path, schedule.ClampRemoval) || r.Life(labels.New("HBR", 5)).Next != schedule.Immersion {
		t.Error("the path of 1 or 5 is wrong")
	}
	if l := lapseOf(t, r, 1, "cure"); l.Interval.From != schedule.ClampRemoval || l.Interval.Planned.Length != 20*schedule.Day {
		t.Errorf("cure of 1: %+v", l.Interval)
	}
	if l := lapseOf(t, r, 5, "cure"); l.Interval.From != schedule.GlueUp {
		t.Errorf("cure of 5: %+v", l.Interval)
	}
	r.Add(staged(16, 6, schedule.GlueUp))
	if n := r.Life(labels.New("HBR", 6)).Next; n != schedule.ClampRemoval {
		t.Errorf("6 was glued before the amendment, next is %s", n)
	}
}

// Groups that kept to different plans were not treated alike: where the plan was
// amended in between, all are held against the first.
func TestDriftOfMixedPlans(t *testing.T) {
	r := soaks(t, amended("p1", 380, "soak=20 d +/- 4 h"), staged(360+7*24, 1, schedule.LiftOut), staged(400+20*24, 3, schedule.LiftOut))
	for _, d := range r.Drift(hour(2000)) {
		if d.Interval != "soak" {
			continue
		}
		if !d.Mixed || d.Planned.Length != 7*schedule.Day || d.Common != 13*schedule.Day/2 || d.CommonVerdict != schedule.Late {
			t.Errorf("mixed %v, planned %s, common %s %s", d.Mixed, d.Planned, d.Common, d.CommonVerdict)
		}
		for _, s := range d.Specimens {
			if s.Verdict != schedule.Within || s.Drift != 0 {
				t.Errorf("%s kept to its plan: %s, %s", s.Of.Code, s.Drift, s.Verdict)
			}
			if off, ok := s.DriftOriginal(); s.Of.Code.Serial == 3 && (!ok || off != 13*schedule.Day) {
				t.Errorf("against the original: %s", off)
			}
		}
	}
	later := soaks(t, amended("p1", 350, "soak=20 d +/- 4 h"), staged(360+20*24, 1, schedule.LiftOut))
	for _, d := range later.Drift(hour(2000)) {
		if d.Interval == "soak" && (d.Mixed || d.Planned.Length != 20*schedule.Day || d.Original.Length != 7*schedule.Day || d.Common != 0) {
			t.Errorf("mixed %v, planned %s, original %s, common %s", d.Mixed, d.Planned, d.Original, d.Common)
		}
	}
}

func TestAddedSpecimens(t *testing.T) {
	r := soaks(t, staged(5, 8, schedule.Cut)) // 8 was read although nobody dealt it
	next := r.Undealt(3)
	if got := fmt.Sprint(next); got != "[HBR-007-K HBR-009-H HBR-010-B]" && next[0].Serial != 7 || next[1].Serial == 8 {
		t.Fatalf("next codes %v", next)
	}
	if _, err := r.Add(adding("a1", 500, 7)); err != nil {
		t.Fatal(err)
	}
	life := r.Life(labels.New("HBR", 7))
	if life == nil || len(life.Marks) != 1 || life.Marks[0].Rule != "re-glued" || life.Marks[0].Asks {
		t.Fatalf("life of the child: %+v", life)
	}
	if c := r.Children(labels.New("HBR", 1)); len(c) != 1 || c[0].Code.Serial != 7 {
		t.Errorf("children %v", c)
	}
	for _, serial := range []int{1, 7} {
		if h := r.History(labels.New("HBR", serial)); len(h) == 0 || h[len(h)-1].ID != "a1" {
			t.Errorf("history of %d does not tell of the re-gluing", serial)
		}
	}
	if err := r.Stale(adding("a2", 501, 7)); !errors.Is(err, ErrDealt) {
		t.Errorf("a serial was dealt twice: %v", err)
	}
	r.Add(Event{ID: "v", Kind: Voided, Target: "a1"})
	if r.Life(labels.New("HBR", 7)) != nil || r.Undealt(1)[0].Serial <= 8 {
		t.Errorf("a voided specimen is still there, or its serial comes again: %v", r.Undealt(1))
	}
	if r.AsOf(hour(499)).Life(labels.New("HBR", 7)) != nil {
		t.Error("it was there before it was added")
	}
}

func TestUnreadableAmendmentLeavesNothing(t *testing.T) {
	r := soaks(t)
	if _, err := r.Add(amended("p1", 380, "soak=nonsense")); err == nil {
		t.Fatal("taken")
	}
	if r.Amended() || len(r.Events()) != 7 {
		t.Error("it left something behind")
	}
	if lapseOf(t, r, 3, "soak").Interval.Planned.Length != 7*schedule.Day {
		t.Error("it changed the plan")
	}
}

// The order of arrival decides nothing, with plans amended, specimens added and
// both voided, and with lives told at any moment in between: 500 sequences, or
// 100 without SOAKTAG_CI.
func TestAmendmentsInAnyOrder(t *testing.T) {
	t.Parallel()
	for seed := range uint64(atLength(500, 100)) {
		rng := rand.New(rand.NewPCG(seed, 11))
		events, _ := generate(rng, 50)
		events = append(events, amendments(rng)...)
		first := foldWords(t, seed, events, nil)
		shuffled := slices.Clone(events)
		rng.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		second := foldWords(t, seed, append(shuffled, events[rng.IntN(len(events))]), rng)
		same(t, seed, first, second)
		now := hour(float64(rng.IntN(800)))
		for what, pair := range map[string][2]any{
			"specimens": {first.Specimens(), second.Specimens()}, "plan": {string(first.Study().Text), string(second.Study().Text)},
			"due": {first.Due(now), second.Due(now)}, "drift": {first.Drift(now), second.Drift(now)}, "marks": {first.Marks(), second.Marks()},
		} {
			if !reflect.DeepEqual(pair[0], pair[1]) {
				t.Fatalf("seed %d: %s differ\n%+v\n%+v", seed, what, pair[0], pair[1])
			}
		}
	}
}

func amendments(rng *rand.Rand) (events []Event) {
	for i := range 4 {
		e := amended(fmt.Sprint("plan ", i), float64(rng.IntN(80)*10), fmt.Sprintf("soak=%d d +/- 4 h\ncure=%d d +/- 1 d", 5+i, 10+i))
		if rng.IntN(4) == 0 {
			e.Plan = append(e.Plan, "\nclamp=none"...)
		}
		events = append(events, e, adding(fmt.Sprint("add ", i), float64(rng.IntN(80)*10), 10+2*i, 11+2*i),
			staged(float64(rng.IntN(80)*10), 10+2*i, schedule.GlueUp), staged(float64(rng.IntN(80)*10), 11+2*i, schedule.Immersion))
	}
	for i := range 3 {
		target := events[rng.IntN(len(events))].ID
		events = append(events, Event{ID: fmt.Sprint("void ", i), Kind: Voided, Target: target},
			Event{ID: fmt.Sprint("void void ", i), Kind: Voided, Target: fmt.Sprint("void ", rng.IntN(3))})
	}
	return events
}

func foldWords(t *testing.T, seed uint64, events []Event, peek *rand.Rand) *Record {
	t.Helper()
	r := NewRecord(wordsStudy)
	for _, e := range events {
		if _, err := r.Add(e); err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if peek != nil && r.Study() != nil && peek.IntN(6) == 0 {
			r.Lives()
		}
	}
	return r
}
