package tracker

import (
	"fmt"
	"testing"
	"time"

	"soaktag/schedule"
)

// tubStudy is plainStudy with its water to be changed every 2 d, half a day
// earlier or later.
func tubStudy(text []byte) (Study, error) {
	s, err := plainStudy(text)
	s.Treatments[1].WaterChange = schedule.Planned{Kind: schedule.Target, Length: 2 * schedule.Day, Early: schedule.Day / 2, Late: schedule.Day / 2}
	return s, err
}

// Water is asked for from the first immersion of what lies in a bath, or from the
// last change that counts and had happened; not where the lift-out is no later,
// nor where nothing lies. The soak of plainStudy is 7 d. Hours are after noon.
func TestWaterDue(t *testing.T) {
	at := func(hours int) time.Time { return noon.Add(time.Duration(hours) * time.Hour) }
	tests := []struct {
		name    string
		in      []int // hours at which specimens 1, 3, 5 go into the bath
		changed []int
		void    int // the change that was set aside, from 1
		asOf    int
		want    int // hours of the planned change; 0: none
	}{
		{"nothing lies there", nil, nil, 0, 300, 0},
		{"from the immersion", []int{100}, nil, 0, 101, 148},
		{"from the first of several", []int{130, 100}, nil, 0, 131, 148},
		{"from the last change", []int{100}, []int{150, 140}, 0, 160, 198},
		{"a change before anything lay there", []int{100}, []int{90}, 0, 101, 148},
		{"a change that was set aside", []int{100}, []int{140, 150}, 2, 160, 188},
		{"a change that had not happened yet", []int{100}, []int{140, 150}, 0, 145, 188},
		{"none at the lift-out", []int{100}, []int{220}, 0, 221, 0}, // 220 + 48 = 100 + 168
		{"one while another lies there longer", []int{100, 130}, []int{220}, 0, 221, 268},
	}
	for _, test := range tests {
		r := NewRecord(tubStudy)
		add := func(e Event) {
			if _, err := r.Add(e); err != nil {
				t.Fatal(err)
			}
		}
		add(plainBegun())
		for i, hours := range test.in {
			add(Event{ID: fmt.Sprint("in", i), Kind: Staged, Stage: schedule.Immersion, Code: plainBegun().Dealt[2*i].Code.String(), At: schedule.At(at(hours)), Recorded: at(hours), Via: "scan"})
		}
		for i, hours := range test.changed {
			add(Event{ID: fmt.Sprint("change", i+1), Kind: Measured, Bath: "B1", Values: FreshWater(), At: schedule.At(at(hours)), Recorded: at(hours)})
		}
		if test.void > 0 {
			add(Event{ID: "void", Kind: Voided, Target: fmt.Sprint("change", test.void)})
		}
		got := 0
		for _, d := range r.AsOf(at(test.asOf)).Due(at(test.asOf)) {
			if d.Stage == WaterChange && d.Bath == "B1" {
				got = int(d.Window.At.Sub(noon).Hours())
			}
		}
		if got != test.want {
			t.Errorf("%s: at %d h, want %d h", test.name, got, test.want)
		}
	}
}
