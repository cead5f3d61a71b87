package strength_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
	"soaktag/tracker/strength"
)

var staked = time.Date(2026, 2, 2, 12, 0, 0, 0, time.UTC)

// stakedStudy has three adhesives, three of each dry and three soaked.
func stakedStudy([]byte) (tracker.Study, error) {
	planned := func(text string) schedule.Planned {
		p, err := schedule.ParsePlanned(text)
		if err != nil {
			panic(err)
		}
		return p
	}
	return tracker.Study{Prefix: "HBR", Zone: time.UTC, Specimen: tracker.SpecimenPlan{BondLength: 0.04, BondWidth: 0.045},
		Rule: tracker.Limits{WoodLimitedAt: 0.8}, Rigs: []tracker.Rig{{Name: "press", RamArea: quantity.Area(15.94e-4)}},
		Adhesives:  []tracker.Adhesive{{Key: "CAS"}, {Key: "UF"}, {Key: "PVA", CuresInWater: true}},
		Treatments: []tracker.Treatment{{Key: "dry", Control: true, Age: planned("as soaked +/- 12 h")}, {Key: "soaked", Soaked: true, State: "wet"}},
		Intervals: []schedule.Interval{{Name: "cure", From: schedule.GlueUp, To: schedule.Immersion, Planned: planned("7 d +/- 12 h")},
			{Name: schedule.Soak, From: schedule.Immersion, To: schedule.LiftOut, Planned: planned("7 d +/- 4 h")},
			{Name: "wet hold", From: schedule.LiftOut, To: schedule.Break, Planned: planned("at most 1 h")}}}, nil
}

// stakedRecord is a study gone through at random: every adhesive may be hours late in
// everything.
func stakedRecord(rng *rand.Rand) *tracker.Record {
	var dealt []tracker.Specimen
	for i := range 18 {
		dealt = append(dealt, tracker.Specimen{Code: labels.New("HBR", i+1), Adhesive: []string{"CAS", "UF", "PVA"}[i%3],
			Treatment: []string{"dry", "soaked"}[i/3%2], Board: string(rune('A' + i/6))})
	}
	r := tracker.NewRecord(stakedStudy)
	r.Add(tracker.Event{ID: "begun", Kind: tracker.Begun, At: schedule.At(staked), Recorded: staked, Dealt: dealt})
	late := map[string]float64{}
	for _, a := range []string{"CAS", "UF", "PVA"} {
		for _, what := range []string{"cure", "soak", "hold", "age"} {
			late[a+what] = float64(rng.IntN(3)*rng.IntN(9)) * 2
		}
	}
	for i, s := range dealt {
		n := 0
		tell := func(hours float64, e tracker.Event) {
			at := staked.Add(time.Duration(hours * float64(time.Hour)))
			e.ID, e.Code, e.At, e.Recorded, e.Via = fmt.Sprint(i, ".", n), s.Code.String(), schedule.At(at), at, "scan"
			n++
			r.Add(e)
		}
		stage := func(hours float64, st schedule.Stage) {
			tell(hours, tracker.Event{Kind: tracker.Staged, Stage: st})
		}
		end := 24*14.0 + 0.5 + late[s.Adhesive+"age"]
		stage(0, schedule.GlueUp)
		if s.Treatment == "soaked" {
			in := 24*7 + late[s.Adhesive+"cure"]
			out := in + 24*7 + late[s.Adhesive+"soak"] + float64(rng.IntN(3))
			end = out + 0.5 + late[s.Adhesive+"hold"]/16
			stage(in, schedule.Immersion)
			stage(out, schedule.LiftOut)
		}
		tell(end, tracker.Event{Kind: tracker.Tried, Try: &tracker.Try{Rig: "press", Reading: fmt.Sprint(3+rng.IntN(9), " MPa"), How: tracker.Separated}})
	}
	return r
}

// What accepting is said not to mend is what the results then do not compare, and
// nothing else: of 100 studies gone through at random.
func TestStakesAreWhatResultsWithhold(t *testing.T) {
	unlike := []strength.ReasonKind{strength.CannotTell, strength.Differs, strength.BeyondLimit, strength.TooFarApart, strength.OtherAge, strength.AgeUnsure}
	met := 0
	for seed := range uint64(100) {
		r := stakedRecord(rand.New(rand.NewPCG(seed, 11)))
		report, stakes := strength.Results(r), strength.AtStake(r, staked.Add(999*time.Hour))
		var withheld []strength.Reason
		for _, c := range report.Comparisons {
			withheld = append(withheld, c.Reasons...)
		}
		for _, k := range report.Retention {
			withheld = append(withheld, k.Reasons...)
		}
		for _, why := range withheld {
			said := slices.ContainsFunc(stakes, func(s strength.Stake) bool { return s.Reason == why })
			if slices.Contains(unlike, why.Kind) && !said {
				t.Fatalf("seed %d: withheld for %+v, not said", seed, why)
			}
		}
		for _, s := range stakes {
			if met++; !s.Unless && !slices.Contains(withheld, s.Reason) {
				t.Fatalf("seed %d: said %+v, not withheld", seed, s)
			}
		}
	}
	if met < 100 {
		t.Errorf("only %d stakes were met", met)
	}
}

// A mark bears on the group and the interval that it is about.
func TestStakesOfMarks(t *testing.T) {
	for seed := range uint64(50) {
		r := stakedRecord(rand.New(rand.NewPCG(seed, 12)))
		now := staked.Add(999 * time.Hour)
		for _, m := range r.Marks() {
			sp, _, _ := r.Resolve(m.Code)
			for _, s := range strength.StakesOf(r, now, []tracker.Mark{m}) {
				if s.Interval != m.OfInterval() || s.Reason.Who.Adhesive != sp.Adhesive && s.Reason.Than.Adhesive != sp.Adhesive {
					t.Fatalf("seed %d: %s of %s (%s): %+v", seed, m.Rule, m.Code, sp.Adhesive, s)
				}
			}
		}
	}
	r := stakedRecord(rand.New(rand.NewPCG(1, 12)))
	if some := strength.StakesOf(r, staked, []tracker.Mark{{Rule: tracker.RuleNoStage, About: tracker.Unstaged{}, Code: "HBR-001-2"}}); some != nil {
		t.Errorf("an entry without a stage leaves %+v", some)
	}
}
