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
	Loads        []loadObject       `json:"loads"`
	Detectable   *float64           `json:"detectable_ratio"`
	Dates        []dateObject       `json:"dates"`
	Days         []dayObject        `json:"days"` // laid out in the shop's hours; none where that was not possible
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

type loadObject struct {
	Rig        string   `json:"rig"`
	Treatment  string   `json:"treatment"`
	ExpectedN  float64  `json:"expected_n"`
	NeededN    float64  `json:"needed_n"`
	Weakest    *string  `json:"weakest"`
	LimitN     *float64 `json:"working_limit_n"`
	GaugeShare *float64 `json:"gauge_share"`
	Source     string   `json:"source"`
}

type dayObject struct {
	Stage  schedule.Stage `json:"stage"`
	From   string         `json:"from"`
	To     string         `json:"to"`
	Bonds  int            `json:"bonds"`
	Groups []string       `json:"groups"` // "ADHESIVE TREATMENT"
}

type dateObject struct {
	Stage     schedule.Stage `json:"stage"`
	Treatment string         `json:"treatment"`
	At        string         `json:"at"`
}

// checkAnswer builds check/1. Of a broken plan only the problems are known.
func checkAnswer(study *tracker.Study, problems []plan.Problem, calendar design.Calendar, broken bool) checkObject {
	o := checkObject{
		Problems: []problemObject{}, AdhesiveG: map[string]float64{}, BallastKg: map[string]float64{},
		Loads: []loadObject{}, Dates: []dateObject{}, Days: []dayObject{}, Schedules: []scheduleDoc{},
	}
	for _, p := range problems {
		o.Problems = append(o.Problems, problemObject{
			File: p.File, Line: known(p.Line), Column: known(p.Column), Key: p.Key,
			Level: p.Level, Rule: p.Rule, Text: p.Text, Hint: p.Advice(),
		})
	}
	if !broken {
		o.fill(study)
		o.lay(study, calendar)
	}
	return o
}

func (o *checkObject) fill(study *tracker.Study) {
	specimens, blanks, bonded := design.SpecimenCount(study), 0, 0
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
	o.foresee(study)
	if ratio := design.Detectable(study); ratio > 0 {
		o.Detectable = &ratio
	}
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

// foresee fills in what breaks will ask of the rigs, and the ballast.
func (o *checkObject) foresee(study *tracker.Study) {
	loads, _ := design.Loads(study) // what cannot be known is among the problems
	for _, l := range loads {
		x := loadObject{Rig: l.Rig, Treatment: l.Treatment, ExpectedN: math.Round(l.Expected.N()), NeededN: math.Round(l.Needed.N()),
			Weakest: orNull(l.Weakest), Source: l.Strength.Source}
		if l.WorkingLimit != nil {
			n := math.Round(l.WorkingLimit.N())
			x.LimitN = &n
		}
		if l.GaugeShare != nil {
			share := math.Round(*l.GaugeShare*1000) / 1000
			x.GaugeShare = &share
		}
		o.Loads = append(o.Loads, x)
	}
	for _, b := range design.Baths(study) {
		if b.Steel > 0 {
			o.BallastKg[b.Name] = math.Round(b.Steel.KG()*1000) / 1000
		}
	}
}

// lay fills in the days of a calendar that keeps every limit.
func (o *checkObject) lay(study *tracker.Study, calendar design.Calendar) {
	for _, d := range calendar.Workdays(study.Zone) {
		o.Days = append(o.Days, dayObject{d.Stage, d.From.In(study.Zone).Format(time.RFC3339), d.To.In(study.Zone).Format(time.RFC3339), d.Bonds, d.Groups})
	}
}
