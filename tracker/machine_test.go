package tracker

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker/quantity"
)

var noon = time.Date(2026, 2, 21, 12, 0, 0, 0, time.UTC)

// plainStudy stands for a plan: one adhesive, a soaked and a dry treatment.
func plainStudy([]byte) (Study, error) {
	target := func(name string, from, to schedule.Stage, text string) schedule.Interval {
		p, err := schedule.ParsePlanned(text)
		if err != nil {
			panic(err)
		}
		return schedule.Interval{Name: name, From: from, To: to, Planned: p}
	}
	age, _ := schedule.ParsePlanned("as soaked +/- 1 d")
	return Study{Prefix: "HBR", Zone: time.UTC,
		Specimen:  SpecimenPlan{BondLength: quantity.Length(0.040), BondWidth: quantity.Length(0.045)},
		Adhesives: []Adhesive{{Key: "CAS", Name: "casein", Bath: "B1"}},
		Treatments: []Treatment{{Key: "dry", Control: true, Replicates: 3, Age: age},
			{Key: "soaked", Replicates: 3, Soaked: true, State: "wet"}},
		Intervals: []schedule.Interval{target("clamp", schedule.GlueUp, schedule.ClampRemoval, "24 h +/- 2 h"),
			target("cure", schedule.ClampRemoval, schedule.Immersion, "14 d +/- 1 d"),
			target("soak", schedule.Immersion, schedule.LiftOut, "7 d +/- 4 h"),
			target("wet hold", schedule.LiftOut, schedule.Break, "at most 30 min")},
	}, nil
}

func plainBegun() Event {
	var dealt []Specimen
	for i := range 6 {
		s := Specimen{Code: labels.New("HBR", i+1), Adhesive: "CAS", Treatment: "soaked", Board: string(rune('A' + i/2)), Bath: "B1"}
		if i%2 == 1 {
			s.Treatment = "dry"
		}
		dealt = append(dealt, s)
	}
	return Event{ID: "begun", Kind: Begun, At: schedule.At(noon), Recorded: noon, Dealt: dealt}
}

// A truth is what really happened, known to the generator alone.
type truth struct {
	id, device string
	count      int64
	specimen   int
	stage      schedule.Stage // empty for a try
	try        *Try
	at         time.Time
	voided     bool
	accepted   bool // it is the break, somebody said, whatever parted the bond before
}

// generate makes up n events as three clients might record them: each with a
// skewed clock, some in the same minute, some voided afterwards, the labels of
// two specimens exchanged for a while.
func generate(rng *rand.Rand, n int) ([]Event, []truth) {
	devices := []string{"A", "B", "C"}
	skew := map[string]time.Duration{}
	count := map[string]int64{}
	events := []Event{plainBegun()}
	for _, d := range devices {
		skew[d] = time.Duration(rng.IntN(240)-120) * time.Minute
		events = append(events, Event{ID: "clock " + d, Kind: ClockSeen, Device: d, At: schedule.At(noon), Shown: noon.Add(skew[d])})
	}
	from, until := noon.Add(200*time.Hour), noon.Add(500*time.Hour)
	codes := events[0].Dealt
	events = append(events, Event{ID: "swap", Kind: Exchanged, Code: codes[0].Code.String(), Other: codes[2].Code.String(),
		At: schedule.At(from), Until: schedule.At(until), Reason: "board mark"})
	var truths []truth
	stages := schedule.Stages()
	for len(events) < n {
		d := devices[rng.IntN(3)]
		count[d]++
		t := truth{id: fmt.Sprintf("%s-%d-%d", d, count[d], rng.IntN(1e6)), device: d, count: count[d],
			specimen: rng.IntN(6), at: noon.Add(time.Duration(rng.IntN(80)) * 10 * time.Hour)}
		if k := rng.IntN(len(stages) + 1); k < len(stages)-1 {
			t.stage = stages[k]
		} else {
			how := []How{Separated, Stopped, FixtureGave, FellApart}[rng.IntN(4)]
			t.try = &Try{Rig: "press", Reading: fmt.Sprintf("%d MPa", rng.IntN(9)), How: how}
		}
		e := Event{ID: t.id, Device: d, Count: t.count, Code: readAs(t, codes, from, until), At: schedule.At(t.at.Add(skew[d])),
			DeviceTime: true, Recorded: t.at.Add(time.Duration(rng.IntN(50)) * time.Hour), Kind: Staged, Stage: t.stage, Try: t.try}
		if t.try != nil {
			e.Kind = Tried
		}
		events = append(events, e)
		if t.voided = rng.IntN(6) == 0; t.voided {
			events = append(events, Event{ID: "void " + t.id, Kind: Voided, Target: t.id, Device: d})
		}
		if t.accepted = t.try != nil && rng.IntN(3) == 0; t.accepted {
			events = append(events, Event{ID: "accept " + t.id, Kind: Accepted, Target: t.id, Rule: RuleAfterBreak, Code: e.Code, Device: d})
		}
		truths = append(truths, t)
	}
	return events, truths
}

// readAs is the code that was read: while two labels were exchanged, the other one's.
func readAs(t truth, codes []Specimen, from, until time.Time) string {
	i := t.specimen
	if swapped := !t.at.Before(from) && t.at.Before(until); swapped && (i == 0 || i == 2) {
		i = 2 - i
	}
	return codes[i].Code.String()
}

// A model of a life, as simple as can be.
type model struct {
	stages  []schedule.Stage
	spells  int
	wet     bool
	tries   int
	broke   string // id of the try that is the break
	brokeAt time.Time
}

// breakOf is the first try that parted the bond, or the last of the later ones that
// were accepted; a try recorded twice is the one that it repeats.
func breakOf(own []truth) (id string) {
	var last truth
	as := "" // what the last try is known as
	for _, t := range own {
		if t.try == nil {
			continue
		}
		if last.try == nil || !t.at.Equal(last.at) || *t.try != *last.try {
			last, as = t, t.id
		}
		if parts := t.try.How == Separated || t.try.How == FellApart; parts && (id == "" || t.accepted) {
			id = as
		}
	}
	return id
}

// live replays the truths of one specimen in true order.
func live(truths []truth, specimen int) model {
	var own []truth
	for _, t := range truths {
		if t.specimen == specimen && !t.voided {
			own = append(own, t)
		}
	}
	slices.SortFunc(own, func(a, b truth) int {
		return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.device, b.device), cmp.Compare(a.count, b.count))
	})
	m := model{broke: breakOf(own)}
	var last truth
	var lastTry truth
	for _, t := range own {
		if t.try != nil {
			same := lastTry.try != nil && t.at.Equal(lastTry.at) && *t.try == *lastTry.try
			if !same {
				m.tries++
				lastTry = t
				if t.id == m.broke {
					m.brokeAt = t.at
				}
			}
			continue
		}
		double := last.id != "" && t.stage == last.stage && t.at.Equal(last.at)
		if double || !m.brokeAt.IsZero() && t.at.After(m.brokeAt) {
			continue
		}
		last = t
		m.step(t.stage, specimen%2 == 0)
	}
	return m
}

func (m *model) step(stage schedule.Stage, soaked bool) {
	switch stage {
	case schedule.Immersion:
		if !soaked || m.wet {
			return
		}
		m.spells, m.wet = m.spells+1, true
	case schedule.LiftOut:
		if !soaked || m.spells > 0 && !m.wet {
			return
		}
		m.wet = false
		if m.spells == 0 && slices.Contains(m.stages, stage) {
			m.stages = append(m.stages, stage)
			return
		}
	case schedule.Planing: // again and again, until work goes on
		behind := func(s schedule.Stage) bool { return s != schedule.Cut && s != schedule.Planing }
		if slices.Contains(m.stages, stage) && slices.ContainsFunc(m.stages, behind) {
			return
		}
	default:
		if slices.Contains(m.stages, stage) {
			return
		}
	}
	m.stages = append(m.stages, stage)
}

func foldAll(t *testing.T, events []Event) *Record {
	t.Helper()
	r := NewRecord(plainStudy)
	for _, e := range events {
		if _, err := r.Add(e); err != nil {
			t.Fatal(err)
		}
	}
	return r
}

// The record must agree with a simple model in every order of delivery, with
// every event delivered once or more, asked for at any moment in between.
// 2,000 sequences of 50, or 400 without SOAKTAG_CI.
func TestRecordAgreesWithModel(t *testing.T) {
	t.Parallel()
	for seed := range uint64(atLength(2000, 400)) {
		rng := rand.New(rand.NewPCG(seed, 7))
		events, truths := generate(rng, 50)
		first := foldAll(t, events)
		agree(t, seed, first, truths)
		shuffled := append(slices.Clone(events), events[rng.IntN(len(events))], events[rng.IntN(len(events))])
		rng.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		second := NewRecord(plainStudy)
		for _, e := range shuffled {
			second.Add(e)
			if second.Study() != nil && rng.IntN(8) == 0 {
				second.Lives() // a life folded too early must be folded again
			}
		}
		same(t, seed, first, second)
	}
}

func agree(t *testing.T, seed uint64, r *Record, truths []truth) {
	t.Helper()
	for i, life := range r.Lives() {
		m := live(truths, i)
		var stages []schedule.Stage
		for _, s := range life.Steps {
			stages = append(stages, s.Stage)
		}
		if !slices.Equal(stages, m.stages) || len(life.Spells) != m.spells || len(life.Tries) != m.tries {
			t.Fatalf("seed %d, specimen %d: record has %v, %d spells, %d tries; the model %v, %d, %d", seed, i+1,
				stages, len(life.Spells), len(life.Tries), m.stages, m.spells, m.tries)
		}
		if broke := life.Break(); broke != nil && broke.Event != m.broke || broke == nil && m.broke != "" {
			t.Fatalf("seed %d, specimen %d: the break is %+v, the model says %s", seed, i+1, broke, m.broke)
		}
		if over := life.Next == ""; over != !m.brokeAt.IsZero() {
			t.Fatalf("seed %d, specimen %d: over is %v, the model says %v", seed, i+1, over, !over)
		}
	}
}

func same(t *testing.T, seed uint64, a, b *Record) {
	t.Helper()
	later := noon.Add(1000 * time.Hour)
	if !reflect.DeepEqual(a.Lives(), b.Lives()) || !reflect.DeepEqual(a.Marks(), b.Marks()) ||
		!reflect.DeepEqual(a.Due(later), b.Due(later)) || !reflect.DeepEqual(a.Drift(later), b.Drift(later)) {
		t.Fatalf("seed %d: another order of delivery folds to another record", seed)
	}
}

// Adding an event and voiding it leaves the lives as they were.
func TestVoidedLeavesNothing(t *testing.T) {
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 9))
		events, _ := generate(rng, 50)
		want := foldAll(t, events)
		got := foldAll(t, events)
		extra := Event{ID: "extra", Kind: Staged, Stage: schedule.ClampRemoval, Code: events[0].Dealt[rng.IntN(6)].Code.String(),
			At: schedule.At(noon.Add(30 * time.Hour)), Recorded: noon.Add(30 * time.Hour)}
		got.Add(extra)
		got.Lives()
		got.Add(Event{ID: "void extra", Kind: Voided, Target: "extra"})
		same(t, seed, want, got)
	}
}
