package stat_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"soaktag/tracker/stat"
)

// remission reads one arm of the 6-MP trial.
func remission(t *testing.T, arm string) (obs []stat.Observation) {
	for _, row := range table(t, "km_6mp_data.csv")[1:] {
		if row[0] == arm {
			obs = append(obs, stat.Observation{Value: number(t, row[1]), Bound: atLeastIf(row[2] == "0")})
		}
	}
	return obs
}

func kaplanMeier(t *testing.T, obs []stat.Observation) []stat.Step {
	t.Helper()
	steps, err := stat.KaplanMeier(obs, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	return steps
}

// Data: Freireich et al., Blood 21 (1963) 699-716. Source of the estimates: R
// 4.2.2, survfit (survival 3.5-3), ten decimals. Rows without an event are no
// steps of ours.
func TestKaplanMeierOfRemission(t *testing.T) {
	rows := table(t, "km_6mp.csv")
	for arm, want := range map[string]int{"6-MP": 7, "placebo": 12} {
		steps, seen := kaplanMeier(t, remission(t, arm)), 0
		for _, row := range rows[1:] {
			if row[0] != arm || row[3] == "0" {
				continue
			}
			checkStep(t, steps[seen], row)
			seen++
		}
		if seen != want || len(steps) != want {
			t.Errorf("%s: %d rows, %d steps, want %d", arm, seen, len(steps), want)
		}
	}
}

func checkStep(t *testing.T, s stat.Step, row []string) {
	t.Helper()
	at := row[0] + " " + row[1]
	near(t, at, s.At, number(t, row[1]), 0)
	near(t, at+" at risk", float64(s.AtRisk), number(t, row[2]), 0)
	near(t, at+" events", float64(s.Events), number(t, row[3]), 0)
	near(t, at+" survival", s.Survival, number(t, row[5]), 5.1e-11)
	if row[6] == "" {
		if s.Limits != nil || s.SE != 0 {
			t.Errorf("%s: limits of a curve on the floor: %+v", at, s)
		}
		return
	}
	near(t, at+" se", s.SE, number(t, row[6]), 5.1e-11)
	near(t, at+" low", s.Limits.Low, number(t, row[11]), 5.1e-11)
	near(t, at+" high", s.Limits.High, number(t, row[12]), 5.1e-11)
}

// Source: R 4.2.2, survfit with log-log limits; the median 23 of the treated
// has no upper limit.
func TestMedianSurvivalOfRemission(t *testing.T) {
	value, low, high := stat.MedianSurvival(kaplanMeier(t, remission(t, "6-MP")))
	if value == nil || *value != 23 || low == nil || *low != 13 || high != nil {
		t.Errorf("6-MP: %v %v %v", value, low, high)
	}
	value, low, high = stat.MedianSurvival(kaplanMeier(t, remission(t, "placebo")))
	if value == nil || low == nil || high == nil || *value != 8 || *low != 4 || *high != 11 {
		t.Errorf("placebo: %v %v %v", value, low, high)
	}
}

// Data: NIST/SEMATECH e-Handbook 8.4.1.2, ten failures, ten units stopped at
// 500 h. Nothing is censored before the last failure, so S falls by 0.05 and
// Greenwood's is the binomial sqrt(S(1-S)/20); R 4.2.2 agrees.
func TestKaplanMeierOfUnitsOnTest(t *testing.T) {
	var obs []stat.Observation
	for _, h := range []float64{54, 187, 216, 240, 244, 335, 361, 373, 375, 386} {
		obs = append(obs, stat.Observation{Value: h}, stat.Observation{Value: 500, Bound: stat.AtLeast})
	}
	steps := kaplanMeier(t, obs)
	for i, s := range steps {
		near(t, "S", s.Survival, 0.95-0.05*float64(i), 1e-15)
		near(t, "se", s.SE, math.Sqrt(s.Survival*(1-s.Survival)/20), 1e-15)
	}
	near(t, "54 h", steps[0].SE, 0.048733972, 5e-10)
	near(t, "386 h", steps[9].SE, 0.111803399, 5e-10)
	if value, _, high := stat.MedianSurvival(steps); value == nil || *value != 386 || high != nil {
		t.Errorf("median %v, upper limit %v", value, high)
	}
}

// Common practice, no published source: by hand.
func TestKaplanMeierByHand(t *testing.T) {
	// A bound at 3 counts as there when the other breaks at 3; order is free.
	obs := []stat.Observation{{Value: 3, Bound: stat.AtLeast}, {Value: 5}, {Value: 3}}
	steps := kaplanMeier(t, obs)
	if len(steps) != 2 || steps[0].AtRisk != 3 || steps[1].AtRisk != 1 || steps[1].Survival != 0 {
		t.Errorf("tie: %+v", steps)
	}
	slices.Reverse(obs)
	near(t, "order", kaplanMeier(t, obs)[0].Survival, steps[0].Survival, 0)
	// One half between 1 and 7: the middle.
	value, _, _ := stat.MedianSurvival(kaplanMeier(t, []stat.Observation{{Value: 1}, {Value: 7}}))
	if value == nil || *value != 4 {
		t.Errorf("median of 1 and 7: %v", value)
	}
	none := kaplanMeier(t, []stat.Observation{{Value: 1, Bound: stat.AtLeast}})
	if value, low, high := stat.MedianSurvival(none); len(none) != 0 || value != nil || low != nil || high != nil {
		t.Errorf("nothing broke: %v", none)
	}
}

func TestKaplanMeierRefuses(t *testing.T) {
	for _, c := range []struct {
		obs   []stat.Observation
		level float64
		err   error
	}{
		{nil, 0.95, stat.ErrNoData},
		{[]stat.Observation{{Value: math.Inf(1)}}, 0.95, stat.ErrNotFinite},
		{[]stat.Observation{{Value: 1}}, 1, stat.ErrLevel},
		{[]stat.Observation{{Value: 1}}, math.NaN(), stat.ErrLevel},
	} {
		if _, err := stat.KaplanMeier(c.obs, c.level); !errors.Is(err, c.err) {
			t.Errorf("%v at %v: %v, want %v", c.obs, c.level, err, c.err)
		}
	}
}

// Whatever comes, heights fall and limits enclose them.
func FuzzKaplanMeier(f *testing.F) {
	f.Add(1.0, 2.0, 2.0, true, 0.95)
	f.Add(math.MaxFloat64, -math.MaxFloat64, 0.0, false, 0.9999999999999999)
	f.Fuzz(func(t *testing.T, a, b, c float64, bound bool, level float64) {
		steps, err := stat.KaplanMeier([]stat.Observation{{a, atLeastIf(bound)}, {b, atLeastIf(!bound)}, {c, atLeastIf(bound)}, {Value: b}}, level)
		if err != nil {
			return
		}
		last := 1.0
		for _, s := range steps {
			inside := s.Limits == nil || 0 <= s.Limits.Low && s.Limits.Low <= s.Survival && s.Survival <= s.Limits.High && s.Limits.High <= 1
			if !(s.Survival < last) || !(s.SE >= 0) || !inside {
				t.Errorf("%+v after %v, limits %v", s, last, s.Limits)
			}
			last = s.Survival
		}
		if v, _, _ := stat.MedianSurvival(steps); v != nil && (math.IsNaN(*v) || math.IsInf(*v, 0)) {
			t.Errorf("median %v", *v)
		}
	})
}
