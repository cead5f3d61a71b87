package tables

import (
	"math"
	"slices"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/plan"
	"soaktag/tracker/strength"
)

// Check is what a plan means and what will go wrong, as other programs read it,
// check/1. Null is not known.
type Check struct {
	Problems     []CheckProblem     `json:"problems"`
	Specimens    *int               `json:"specimens"`
	Blanks       *int               `json:"blanks"`
	BlanksBonded *int               `json:"blanks_bonded"`
	AdhesiveG    map[string]float64 `json:"adhesive_g"`
	BallastKg    map[string]float64 `json:"ballast_kg"`
	Loads        []CheckLoad        `json:"loads"`
	Detectable   *float64           `json:"detectable_ratio"` // in any pair, if all scatter alike
	Dates        []CheckDate        `json:"dates"`
	Days         []CheckDay         `json:"days"` // laid out in the shop's hours; none where that was not possible
	Sittings     []CheckSitting     `json:"sittings"`
	Schedules    []CheckSchedule    `json:"schedules"`

	DetectableSure *float64 `json:"detectable_ratio_sure"` // by their own scatter as well

	// 80 times in 100 the limits of a group's mean will lie this share of it away, or less.
	MeanWithin *float64    `json:"mean_within"`
	MeanNeeds  []CheckNeed `json:"mean_needs"`

	Learnt *CheckLearnt `json:"learnt,omitempty"` // where studies were named to learn from
}

// A CheckProblem is something wrong with a plan, or that will go wrong.
type CheckProblem struct {
	File   string `json:"file"`
	Line   *int   `json:"line"`
	Column *int   `json:"column"`
	Key    string `json:"key"`
	Level  string `json:"level"`
	Rule   string `json:"rule"`
	Text   string `json:"text"`
	Hint   string `json:"hint,omitempty"`
}

// A CheckNeed is how many of each it takes to know a mean within a share of it.
type CheckNeed struct {
	Within     float64 `json:"within"`
	Replicates int     `json:"replicates"`
}

// A CheckLoad is what breaks will ask of a rig.
type CheckLoad struct {
	Rig        string        `json:"rig"`
	Treatment  string        `json:"treatment"`
	ExpectedN  float64       `json:"expected_n"`
	NeededN    float64       `json:"needed_n"`
	Weakest    strength.Text `json:"weakest"`
	LimitN     *float64      `json:"working_limit_n"`
	GaugeShare *float64      `json:"gauge_share"`
	Source     string        `json:"source"`
}

// A CheckDay is a sitting laid out in the shop's hours.
type CheckDay struct {
	Stage  schedule.Stage `json:"stage"`
	From   string         `json:"from"`
	To     string         `json:"to"`
	Bonds  int            `json:"bonds"`
	Groups []string       `json:"groups"` // "ADHESIVE TREATMENT"
}

// A CheckDate is when a stage is planned.
type CheckDate struct {
	Stage     schedule.Stage `json:"stage"`
	Treatment string         `json:"treatment"`
	At        string         `json:"at"`
}

// NewCheck takes over what a plan means, laid out in a calendar, and its problems.
// Of a broken plan only these are known.
func NewCheck(study *tracker.Study, problems []plan.Problem, calendar design.Calendar, broken bool) Check {
	o := Check{
		Problems: []CheckProblem{}, AdhesiveG: map[string]float64{}, BallastKg: map[string]float64{},
		Loads: []CheckLoad{}, Dates: []CheckDate{}, Days: []CheckDay{}, Sittings: []CheckSitting{}, Schedules: []CheckSchedule{}, MeanNeeds: []CheckNeed{},
	}
	for _, p := range problems {
		o.Problems = append(o.Problems, CheckProblem{
			File: p.File, Line: known(p.Line), Column: known(p.Column), Key: p.Key,
			Level: p.Level, Rule: p.Rule, Text: p.Text, Hint: p.Advice(),
		})
	}
	if !broken {
		o.fill(study)
		o.lay(study, calendar)
		for _, s := range calendar.Sittings {
			o.Sittings = append(o.Sittings, newCheckSitting(s, study.Zone))
		}
	}
	return o
}

func (o *Check) fill(study *tracker.Study) {
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
	alike, sure := design.Detectable(study)
	o.Detectable, o.DetectableSure = above0(alike), above0(sure)
	means := design.Means(study)
	o.MeanWithin = above0(means.Within)
	for _, n := range means.Needs {
		o.MeanNeeds = append(o.MeanNeeds, CheckNeed{n.Within, n.N})
	}
	o.Schedules = NewSchedules(study)
	for _, d := range study.Dates() {
		o.Dates = append(o.Dates, CheckDate{d.Stage, d.Treatment, d.At.In(study.Zone).Format(time.RFC3339)})
	}
}

// above0 is x, null where it is 0: not known.
func above0(x float64) *float64 {
	if x == 0 {
		return nil
	}
	return &x
}

// known turns a place that is not known into null.
func known(n int) *int {
	if n == 0 {
		return nil
	}
	return &n
}

// foresee fills in what breaks will ask of the rigs, and the ballast.
func (o *Check) foresee(study *tracker.Study) {
	loads, _ := design.Loads(study) // what cannot be known is among the problems
	for _, l := range loads {
		x := CheckLoad{Rig: l.Rig, Treatment: l.Treatment, ExpectedN: math.Round(l.Expected.N()), NeededN: math.Round(l.Needed.N()),
			Weakest: strength.Text(l.Weakest), Source: l.Strength.Source}
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
func (o *Check) lay(study *tracker.Study, calendar design.Calendar) {
	for _, d := range calendar.Workdays(study.Zone) {
		o.Days = append(o.Days, CheckDay{d.Stage, d.From.In(study.Zone).Format(time.RFC3339), d.To.In(study.Zone).Format(time.RFC3339), d.Bonds, d.Groups})
	}
}

// A CheckSchedule is a published schedule that a treatment follows.
type CheckSchedule struct {
	Treatment string      `json:"treatment"`
	Name      string      `json:"name"`
	Standing  string      `json:"standing"`
	Source    string      `json:"source"`
	Notice    string      `json:"notice"`
	Steps     []CheckStep `json:"steps"`
}

// A CheckStep is one step of it, and how far it was confirmed.
type CheckStep struct {
	Text   string `json:"text"`
	Status string `json:"status"`
	Source string `json:"source"`
}

// NewSchedules takes over the published schedules that a study follows.
func NewSchedules(study *tracker.Study) []CheckSchedule {
	docs := []CheckSchedule{}
	for _, t := range study.Treatments {
		if p := t.Protocol; p.Name != "" {
			docs = append(docs, CheckSchedule{t.Key, p.Name, p.Standing.String(), p.Source, schedule.NotACertificate, stepsOf(p)})
		}
	}
	return docs
}

func stepsOf(p schedule.Protocol) []CheckStep {
	docs := []CheckStep{}
	for _, s := range p.Steps {
		docs = append(docs, CheckStep{s.String(), s.Status, s.Source})
	}
	return docs
}

// Sources are those of the steps, each once.
func (doc CheckSchedule) Sources() (all []string) {
	for _, step := range doc.Steps {
		if step.Source != "" && !slices.Contains(all, step.Source) {
			all = append(all, step.Source)
		}
	}
	return all
}
