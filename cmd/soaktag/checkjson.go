package main

import (
	"math"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/plan"
)

// checkObject is check/1 of CONTRACT section 4.
type checkObject struct {
	Problems     []problemObject    `json:"problems"`
	Specimens    *int               `json:"specimens"`
	Blanks       *int               `json:"blanks"`
	BlanksBonded *int               `json:"blanks_bonded"`
	AdhesiveG    map[string]float64 `json:"adhesive_g"`
	BallastKg    map[string]float64 `json:"ballast_kg"`
	Loads        []struct{}         `json:"loads"`
	Detectable   *float64           `json:"detectable_ratio"`
	Dates        []dateObject       `json:"dates"`
	Schedules    []scheduleDoc      `json:"schedules"`
}

type problemObject struct {
	File   string `json:"file"`
	Line   *int   `json:"line"`
	Column *int   `json:"column"`
	Key    string `json:"key"`
	Level  string `json:"level"`
	Rule   string `json:"rule"`
	Text   string `json:"text"`
	Hint   string `json:"hint,omitempty"`
}

type dateObject struct {
	Stage     schedule.Stage `json:"stage"`
	Treatment string         `json:"treatment"`
	At        string         `json:"at"`
}

// checkAnswer builds check/1. Of a broken plan only the problems are known.
func checkAnswer(study *tracker.Study, problems []plan.Problem, broken bool) checkObject {
	o := checkObject{
		Problems: []problemObject{}, AdhesiveG: map[string]float64{}, BallastKg: map[string]float64{},
		Loads: []struct{}{}, Dates: []dateObject{}, Schedules: []scheduleDoc{},
	}
	for _, p := range problems {
		o.Problems = append(o.Problems, problemObject{
			File: p.File, Line: known(p.Line), Column: known(p.Column), Key: p.Key,
			Level: p.Level, Rule: p.Rule, Text: p.Text, Hint: p.Hint,
		})
	}
	if !broken {
		o.fill(study)
	}
	return o
}

func (o *checkObject) fill(study *tracker.Study) {
	specimens, blanks, bonded := specimenCount(study), 0, 0
	for _, c := range design.CutList(study) {
		blanks += c.Blanks
		bonded += c.Bonded
	}
	o.Specimens, o.Blanks, o.BlanksBonded = &specimens, &blanks, &bonded
	for _, m := range design.AdhesiveMasses(study) {
		if m.Mix > 0 {
			o.AdhesiveG[m.Adhesive] = math.Round(m.Mix.G()*1000) / 1000
		}
	}
	o.Detectable = detectable(study)
	o.Schedules = scheduleDocs(study)
	for _, d := range study.Dates() {
		o.Dates = append(o.Dates, dateObject{d.Stage, d.Treatment, d.At.In(study.Zone).Format(time.RFC3339)})
	}
}

// known turns a place that is not known into null.
func known(n int) *int {
	if n == 0 {
		return nil
	}
	return &n
}
