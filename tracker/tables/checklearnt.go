package tables

import "soaktag/tracker/learnt"

// CheckLearnt is what past studies teach a plan.
type CheckLearnt struct {
	Studies []string       `json:"studies"`
	Scatter []CheckScatter `json:"scatter"`
	Finds   []CheckFinds   `json:"finds"`
	Shares  []CheckShare   `json:"shares"`
}

// A CheckShare is how often something went wrong; adhesive and treatment only where it fell apart.
type CheckShare struct {
	What      string  `json:"what"`
	Adhesive  string  `json:"adhesive,omitempty"`
	Treatment string  `json:"treatment,omitempty"`
	Count     int     `json:"count"`
	Of        int     `json:"of"`
	Low       float64 `json:"low"` // 95 %
	High      float64 `json:"high"`
	OneDay    bool    `json:"one_day"`
	Next      int     `json:"next,omitempty"` // of so many not more than at_most, nine times in ten
	AtMost    int     `json:"at_most"`
}

var shareNames = map[learnt.ShareKind]string{learnt.RigFailed: "rig failed", learnt.LostBonds: "lost", learnt.FellApart: "fell apart"}

// A CheckScatter is a standard deviation of logarithms that was measured in one state.
type CheckScatter struct {
	State       string   `json:"state"`
	Studies     []string `json:"studies"`
	Bonds       int      `json:"bonds"`
	Measured    float64  `json:"measured"`
	DF          int      `json:"df"`
	Low         float64  `json:"low"` // 95 %
	High        float64  `json:"high"`
	AtMost      float64  `json:"at_most"` // 80 % sure
	TooFew      bool     `json:"too_few"`
	AlikeP      float64  `json:"alike_p"`
	Planned     float64  `json:"planned"`
	PlannedDF   float64  `json:"planned_df"`
	WoodLimited int      `json:"wood_limited"`
	Fitted      *float64 `json:"fitted"` // with wood-limited readings as lower bounds, where they are many
}

// CheckFinds is what a number of each finds apart; ratios are null where too little was measured.
type CheckFinds struct {
	Treatments []string         `json:"treatments"`
	State      string           `json:"state"`
	Replicates int              `json:"replicates"`
	AtMeasured *float64         `json:"ratio_at_measured"`
	AtMost     *float64         `json:"ratio_at_most"`
	Expected   *float64         `json:"ratio_expected"`
	Needs      []CheckFindsNeed `json:"needs"`
}

// A CheckFindsNeed is how many of each find a ratio; 0 for more than are proposed.
type CheckFindsNeed struct {
	Ratio      float64 `json:"ratio"`
	Replicates int     `json:"replicates"`
	AtMeasured int     `json:"at_measured"`
	AtMost     int     `json:"at_most"`
}

// With adds what was learnt; nil adds nothing.
func (o Check) With(l *learnt.Lessons) Check {
	if l == nil {
		return o
	}
	doc := CheckLearnt{Studies: l.Studies, Scatter: []CheckScatter{}, Finds: []CheckFinds{}, Shares: []CheckShare{}}
	for _, s := range l.Scatters {
		doc.Scatter = append(doc.Scatter, CheckScatter{
			State: s.State, Studies: s.Studies, Bonds: s.Readings, Measured: s.S, DF: s.DF, Low: s.Limits.Low, High: s.Limits.High,
			AtMost: s.AtMost, TooFew: s.Few(), AlikeP: s.Alike, Planned: s.Planned, PlannedDF: s.PlanDF, WoodLimited: s.WoodLimited, Fitted: above0(s.Fitted),
		})
	}
	for _, f := range l.Finds {
		doc.Finds = append(doc.Finds, newCheckFinds(f))
	}
	for _, s := range l.Shares {
		doc.Shares = append(doc.Shares, CheckShare{shareNames[s.Kind], s.Adhesive, s.Treatment, s.X, s.N, s.Limits.Low, s.Limits.High, s.OneDay, s.Next, s.Most})
	}
	o.Learnt = &doc
	return o
}

func newCheckFinds(f learnt.Finds) CheckFinds {
	doc := CheckFinds{Treatments: f.Treatments, State: f.State, Replicates: f.N, Needs: []CheckFindsNeed{},
		AtMeasured: above0(f.AtS), AtMost: above0(f.AtMost), Expected: above0(f.Expected)}
	for _, n := range f.Needs {
		doc.Needs = append(doc.Needs, CheckFindsNeed{n.Ratio, n.Expect, n.AtS, n.AtMost})
	}
	return doc
}
