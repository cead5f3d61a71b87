package strength_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// What is in danger, hours after all were laid under water for 7 d +/- 4 h; lifted
// says after how many hours the three of an adhesive came out, 0 for not yet.
func TestInDanger(t *testing.T) {
	const week = 168
	type lifted map[string][3]float64
	all := func(h float64) [3]float64 { return [3]float64{h, h, h} }
	tests := []struct {
		name  string
		hours float64
		out   lifted
		want  []string
	}{
		{"all go on", week - 2, lifted{}, nil},
		{"all a day late alike", week + 24, lifted{}, nil},
		{"all ended alike", week + 30, lifted{"CAS": all(week + 24), "UF": all(week + 24), "PVA": all(week + 24)}, nil},
		{"too late to mend", week + 72, lifted{"CAS": all(week + 60), "UF": all(week), "PVA": all(week)}, nil},
		{"the last, inside its limit", week + 1, lifted{"UF": all(week), "PVA": all(week)}, nil},
		{"the last, near its limit", week + 3, lifted{"UF": all(week), "PVA": all(week)},
			[]string{"soak of HBR-001-2 (CAS soaked) goes on while the others' has ended: lift-out within 1 h, or it leaves its limit"}},
		{"forgotten", week + 24, lifted{"UF": all(week), "PVA": all(week)},
			[]string{"soak of 3, such as HBR-001-2 (CAS soaked) has run 8 d, the others' 7 d: lift-out now, every hour sets it further apart"}},
		{"one forgotten", week + 24, lifted{"CAS": {week, week, 0}, "UF": all(week), "PVA": all(week)},
			[]string{"soak of HBR-007-P goes on past its limit, unlike the rest of CAS soaked: lift-out now"}},
		{"one adhesive too early", week - 34, lifted{"UF": all(week - 36)},
			[]string{"soak of UF soaked lasted 5 d 12 h, the others' is to last 7 d: lift-out of the 6 that go on after 5 d 12 h too, and they can be compared"}},
		{"all go on alike, one group ended in part", week + 38, lifted{"UF": all(week + 36), "PVA": {week + 36, 0, 0}}, nil},
		{"one adhesive too late, in lots", week + 38, lifted{"UF": all(week + 36), "PVA": {week, week, 0}, "CAS": all(week)}, []string{
			"soak of HBR-009-L goes on past its limit, unlike the rest of PVA soaked: lift-out now"}},
		{"too early, and the others past that", week - 2, lifted{"UF": all(week - 36)}, nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			var dealt []tracker.Specimen
			for i := range 9 {
				dealt = append(dealt, tracker.Specimen{Code: labels.New("HBR", i+1), Adhesive: []string{"CAS", "UF", "PVA"}[i%3], Treatment: "soaked"})
			}
			r := tracker.NewRecord(stakedStudy)
			r.Add(tracker.Event{ID: "begun", Kind: tracker.Begun, At: schedule.At(staked), Recorded: staked, Dealt: dealt})
			for i, s := range dealt {
				for stage, hours := range map[schedule.Stage]float64{schedule.GlueUp: -week, schedule.Immersion: 0, schedule.LiftOut: test.out[s.Adhesive][i/3]} {
					at := staked.Add(time.Duration(hours * float64(time.Hour)))
					if stage != schedule.LiftOut || hours > 0 {
						r.Add(tracker.Event{ID: fmt.Sprint(stage, i), Kind: tracker.Staged, Stage: stage, Code: s.Code.String(), At: schedule.At(at), Recorded: at, Via: "scan"})
					}
				}
			}
			var got []string
			for _, d := range strength.InDanger(r, staked.Add(time.Duration(test.hours*float64(time.Hour)))) {
				if d.Interval == schedule.Soak {
					got = append(got, wording.Danger(d))
				}
			}
			if !slices.Equal(got, test.want) {
				t.Errorf("in danger:\n%q\nwant\n%q", got, test.want)
			}
		})
	}
}

// Past its own limit and still short of the others, a group is told until when to wait.
func TestInDangerOfBeingShort(t *testing.T) {
	d := strength.Danger{Stake: strength.Stake{Who: strength.Party{Adhesive: "WHT", Treatment: "soaked"}, Interval: schedule.Cure, Reason: strength.Reason{Kind: strength.Differs}},
		Running: 1, Code: "HBR-004-V", Ends: schedule.Immersion, Ran: 4 * schedule.Day, OthersRan: 7 * schedule.Day, Alike: staked.Add(72 * time.Hour)}
	want := "cure of HBR-004-V (WHT soaked) has run 4 d, the others' 7 d: immersion now leaves it 3 d short of theirs, on " +
		staked.Add(72*time.Hour).Format("Mon 2 Jan 2006 15:04") + " it is as long"
	if got := wording.Danger(d); got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
