package tables

import (
	"soaktag/tracker"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// Results are the results of a study as other programs read them, results/1.
// Stresses are in MPa; null is not known, and nothing is ever NaN. What a
// person is to read in them is worded as everywhere.
type Results struct {
	Specimens   []Specimen                       `json:"specimens"`
	Groups      []Group                          `json:"groups"`
	Retention   []Retention                      `json:"retention"`
	Comparisons []Comparison                     `json:"comparisons"`
	Letters     map[string]strength.LettersByKey `json:"letters"` // by treatment

	Findings    []string      `json:"findings"`    // what all this comes to, in words
	Sensitivity []Sensitivity `json:"sensitivity"` // groups whose mean hangs on a choice
}

// A Specimen is one bond with its strength.
type Specimen struct {
	Code        string           `json:"code"`
	Name        strength.Text    `json:"name"`
	Adhesive    string           `json:"adhesive"`
	Treatment   string           `json:"treatment"`
	Board       strength.Text    `json:"board"`
	Outcome     strength.Outcome `json:"outcome"`
	Bound       stat.Bound       `json:"bound"`
	Reading     *float64         `json:"reading"` // in Unit, as read
	Unit        strength.Text    `json:"unit"`
	ForceN      *float64         `json:"force_n"`
	ShearMPa    *float64         `json:"shear_mpa"`
	PlusMinus   *float64         `json:"shear_plus_minus_mpa"` // expanded, coverage factor 2
	WoodFailure *float64         `json:"wood_failure_pct"`
	Mode        strength.Text    `json:"failure_mode"`
	Rig         strength.Text    `json:"rig"`
	State       strength.Text    `json:"state"`
	Provisional bool             `json:"provisional"` // separated, and not both fracture faces read yet
	Nominal     bool             `json:"nominal_area"`
	Marks       []Mark           `json:"marks"`
}

// Called is the person's own name for s, else its code.
func (s Specimen) Called() string {
	if s.Name != "" {
		return string(s.Name)
	}
	return s.Code
}

// A Mark is something about a specimen that a reader of its strength must know.
type Mark struct {
	Rule string `json:"rule"`
	Text string `json:"text"`
	Asks bool   `json:"asks"`
}

// A Group is the specimens of one adhesive and treatment that were broken on
// one rig in one state.
type Group struct {
	Adhesive    string        `json:"adhesive"`
	Treatment   string        `json:"treatment"`
	Rig         strength.Text `json:"rig"`
	State       strength.Text `json:"state"`
	N           int           `json:"n"` // Broke + WoodLimited + AtLeast + FellApart + LeftOut
	Broke       int           `json:"broke"`
	WoodLimited int           `json:"wood_limited"`
	WoodFailure *float64      `json:"wood_failure_pct"` // mean of those judged
	AtLeast     int           `json:"at_least"`         // fixture, press limit, stopped, slipped
	FellApart   int           `json:"fell_apart"`
	LeftOut     int           `json:"left_out"`
	Blocks      int           `json:"bonded_blocks"` // that survivors come from; each counts once

	Mean          *float64 `json:"mean_mpa"` // survivors, and fell apart as 0
	SD            *float64 `json:"sd_mpa"`
	MeanSurvivors *float64 `json:"mean_survivors_mpa"`
	SDSurvivors   *float64 `json:"sd_survivors_mpa"`
	Low           *float64 `json:"low_mpa"` // 95 % t interval of survivors
	High          *float64 `json:"high_mpa"`
	Fitted        *float64 `json:"fitted_mpa"`
	FittedLow     *float64 `json:"fitted_low_mpa"`
	FittedHigh    *float64 `json:"fitted_high_mpa"`
	LowerBound    *float64 `json:"lower_bound_mpa"`     // of the median, 95 %, where no bond broke
	FellApartLow  *float64 `json:"fell_apart_low_pct"`  // exact 95 % limits of the share
	FellApartHigh *float64 `json:"fell_apart_high_pct"` // that would fall apart
	Method        string   `json:"method"`
	Warnings      []string `json:"warnings"`

	Stragglers  []Straggler `json:"stragglers"`       // treated otherwise than the rest of it
	MeanWithout *float64    `json:"mean_without_mpa"` // of survivors that are none; null without a survivor that is one

	Bound      string `json:"bound"`       // of the means: "=", or ">=" where something else gave way first
	LimitsHold string `json:"limits_hold"` // of low_mpa and high_mpa: "both", or "low" where it did
}

// A Straggler is a specimen that was treated otherwise than its group.
type Straggler struct {
	Code     string  `json:"code"`
	Interval string  `json:"interval"`
	ActualH  float64 `json:"actual_h"`
	UsualH   float64 `json:"instead_of_h"` // what its group had
}

// A Retention is the strength left after a treatment, over that of the dry
// control.
type Retention struct {
	Adhesive     string        `json:"adhesive"`
	Treatment    string        `json:"treatment"`
	Ratio        *float64      `json:"ratio"`
	Low          *float64      `json:"low"`
	High         *float64      `json:"high"`
	Bound        string        `json:"bound"` // "=", "<=" a dry survivor wood-limited, ">=" a wet one, "?" both
	Method       string        `json:"method"`
	FiellerLow   *float64      `json:"fieller_low"`   // limits on the plain scale; nil where
	FiellerHigh  *float64      `json:"fieller_high"`  // they are not two
	FiellerShape strength.Text `json:"fieller_shape"` // what kind of limits they are
	Pairs        int           `json:"pairs"`
	PairedRatio  *float64      `json:"paired_ratio"`
	PairedLow    *float64      `json:"paired_low"`
	PairedHigh   *float64      `json:"paired_high"`
	PairsLeftOut []string      `json:"pairs_left_out"`   // boards whose pair has no two survivors
	WithZeros    *float64      `json:"ratio_with_zeros"` // of means in which what fell apart is 0; null where nothing did
	Comparable   bool          `json:"comparable"`
	Reasons      []string      `json:"reasons"` // why not, and what is left out of it

	Stragglers   []Straggler `json:"stragglers"`    // of either group; of the control in age too
	RatioWithout *float64    `json:"ratio_without"` // without them; null without a survivor that is one
	LowWithout   *float64    `json:"low_without"`
	HighWithout  *float64    `json:"high_without"`

	LimitsHold string `json:"limits_hold"` // of all limits here: "both", "low", "high" or "none"
}

// A Comparison sets two adhesives of one treatment side by side, ratio a/b.
type Comparison struct {
	Treatment  string        `json:"treatment"`
	A          string        `json:"a"`
	B          string        `json:"b"`
	Ratio      *float64      `json:"ratio"`
	Low        *float64      `json:"low"`
	High       *float64      `json:"high"`
	PAdjusted  *float64      `json:"p_adjusted"`
	ToldApart  bool          `json:"told_apart"` // by Tukey and Kramer
	Method     string        `json:"method"`
	Sure       bool          `json:"sure"`     // surely: by pooled and own spreads, bounds, and what fell apart
	Doubt      strength.Text `json:"doubt"`    // why not, where something differs
	HangsOn    []string      `json:"hangs_on"` // other ways in which a pair that is sure is not told apart
	Others     []Another     `json:"others"`   // the same pair worked out in other ways
	Comparable bool          `json:"comparable"`
	Reasons    []string      `json:"reasons"` // why not, or why in spite of a longer soak; what is left out of it

	PSure    *float64 `json:"p_sure"`   // the least risk at which strengths, or what fell apart, surely differ
	SureLow  *float64 `json:"sure_low"` // limits of the ratio that fit sure, where it rests on strength
	SureHigh *float64 `json:"sure_high"`
}

// Another is a comparison worked out in another way.
type Another struct {
	Method    string   `json:"method"`
	Unit      string   `json:"unit"` // "ratio" a/b, or "MPa" a-b
	Value     *float64 `json:"value"`
	Low       *float64 `json:"low"`
	High      *float64 `json:"high"`
	ToldApart bool     `json:"told_apart"`
}

// A Sensitivity shows what the mean of one group hangs on.
type Sensitivity struct {
	Adhesive  string            `json:"adhesive"`
	Treatment string            `json:"treatment"`
	Rig       strength.Text     `json:"rig"`
	State     strength.Text     `json:"state"`
	Lines     []SensitivityLine `json:"lines"` // the first is the mean as it stands
}

// A SensitivityLine is the mean of a group, or its fitted median, worked out
// in one way.
type SensitivityLine struct {
	Way  string   `json:"way"`
	N    int      `json:"n"` // specimens it rests on
	Mean *float64 `json:"mean_mpa"`
}

// NewResults gives what the record of a study says about strength its outward
// shape.
func NewResults(study *tracker.Study, r strength.Report) Results {
	return Results{
		Specimens:   each(r.Specimens, specimenOf),
		Groups:      each(r.Groups, groupOf),
		Retention:   each(r.Retention, retentionOf),
		Comparisons: each(r.Comparisons, comparisonOf),
		Letters:     r.Letters,
		Findings:    wording.Findings(r.Findings, study),
		Sensitivity: each(r.Sensitivity, sensitivityOf),
	}
}

// each gives every one of some facts its outward shape; never nil, which would
// be written null.
func each[F, T any](facts []F, shape func(F) T) []T {
	out := make([]T, len(facts))
	for i, f := range facts {
		out[i] = shape(f)
	}
	return out
}

func specimenOf(s strength.Specimen) Specimen {
	return Specimen{Code: s.Code, Name: s.Name, Adhesive: s.Adhesive, Treatment: s.Treatment, Board: s.Board, Outcome: s.Outcome, Bound: s.Bound,
		Reading: s.Reading, Unit: s.Unit, ForceN: s.ForceN, ShearMPa: s.ShearMPa, PlusMinus: s.PlusMinus, WoodFailure: s.WoodFailure, Mode: s.Mode,
		Rig: s.Rig, State: s.State, Provisional: s.Provisional, Nominal: s.Nominal, Marks: each(s.Marks, markOf)}
}

func markOf(m strength.Mark) Mark { return Mark{m.Rule, wording.StrengthMark(m), m.Asks} }

func groupOf(g strength.Group) Group {
	return Group{Adhesive: g.Adhesive, Treatment: g.Treatment, Rig: g.Rig, State: g.State, N: g.N, Broke: g.Broke, WoodLimited: g.WoodLimited,
		WoodFailure: g.WoodFailure, AtLeast: g.AtLeast, FellApart: g.FellApart, LeftOut: g.LeftOut, Blocks: g.Blocks,
		Mean: g.Mean, SD: g.SD, MeanSurvivors: g.MeanSurvivors, SDSurvivors: g.SDSurvivors, Low: g.Low, High: g.High,
		Fitted: g.Fitted, FittedLow: g.FittedLow, FittedHigh: g.FittedHigh, LowerBound: g.LowerBound,
		FellApartLow: g.FellApartLow, FellApartHigh: g.FellApartHigh, Method: wording.GroupMethod(g), Warnings: each(g.Warnings, wording.WarningInTable),
		Stragglers: each(g.Stragglers, stragglerOf), MeanWithout: g.MeanWithout, Bound: g.Estimate().Bound.Sign(), LimitsHold: g.Estimate().Bound.LimitsHold()}
}

func retentionOf(r strength.Retention) Retention {
	return Retention{Adhesive: r.Adhesive, Treatment: r.Treatment, Ratio: r.Ratio, Low: r.Low, High: r.High, Bound: r.Bound.Sign(), Method: wording.RetentionMethod,
		FiellerLow: r.FiellerLow, FiellerHigh: r.FiellerHigh, FiellerShape: r.FiellerShape,
		Pairs: r.Pairs, PairedRatio: r.PairedRatio, PairedLow: r.PairedLow, PairedHigh: r.PairedHigh, PairsLeftOut: each(r.PairsLeftOut, wording.PairLeftOut), WithZeros: r.RatioWithZeros,
		Comparable: r.Comparable, Reasons: each(r.Reasons, wording.Reason),
		Stragglers: each(r.Stragglers, stragglerOf), RatioWithout: r.RatioWithout, LowWithout: r.LowWithout, HighWithout: r.HighWithout, LimitsHold: r.Bound.LimitsHold()}
}

func stragglerOf(s strength.Straggler) Straggler {
	return Straggler{s.Code, s.Interval, s.Length.Hours(), s.Usual.Hours()}
}

func comparisonOf(c strength.Comparison) Comparison {
	return Comparison{Treatment: c.Treatment, A: c.A, B: c.B, Ratio: c.Ratio, Low: c.Low, High: c.High, PAdjusted: c.PAdjusted, ToldApart: c.ToldApart,
		Method: wording.ComparisonMethod, Sure: c.Sure, PSure: c.PSure, SureLow: c.SureLow, SureHigh: c.SureHigh, Doubt: strength.Text(wording.Unsure(c.Doubt)), HangsOn: each(c.HangsOn(), wording.Way), Others: each(c.Others, anotherOf),
		Comparable: c.Comparable, Reasons: each(c.Reasons, wording.Reason)}
}

func anotherOf(o strength.Another) Another {
	unit := "ratio"
	if o.Way.Plain() {
		unit = "MPa"
	}
	return Another{wording.Way(o.Way), unit, o.Value, o.Low, o.High, o.ToldApart}
}

func sensitivityOf(s strength.Sensitivity) Sensitivity {
	return Sensitivity{s.Adhesive, s.Treatment, s.Rig, s.State, each(s.Lines, choiceOf)}
}

func choiceOf(l strength.SensitivityLine) SensitivityLine {
	return SensitivityLine{wording.Choice(l), l.N, l.Mean}
}
