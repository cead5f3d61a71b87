package tables

import (
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// Status is how far a study is, and what asks, as other programs read it,
// status/1.
type Status struct {
	Study   StatusStudy   `json:"study"`
	Stages  []StatusStage `json:"stages"`
	Soon    int           `json:"soon"`
	Due     int           `json:"due"`
	Overdue int           `json:"overdue"`
	Asks    int           `json:"asks"`
	Marks   []RecordMark  `json:"marks"` // those that ask
	Trials  []Trial       `json:"trials"`
	Danger  []Danger      `json:"in_danger"`
}

// A Danger is a comparison that will not stand as things go, or a specimen that will be
// told apart from its group, while that can still be mended.
type Danger struct {
	Adhesive  string `json:"adhesive"`
	Treatment string `json:"treatment"`
	Interval  string `json:"interval"`
	Running   int    `json:"running"` // of the group, past their limit
	Others    int    `json:"others"`  // that still go on and could have as much
	Text      string `json:"text"`
}

func newDangers(dangers []strength.Danger) []Danger {
	out := []Danger{}
	for _, d := range dangers {
		out = append(out, Danger{d.Who.Adhesive, d.Who.Treatment, d.Interval, d.Running, d.Others, wording.Danger(d)})
	}
	return out
}

// StatusStudy names a study and the file it is in; its caller knows the last
// three.
type StatusStudy struct {
	Title  string `json:"title"`
	Prefix string `json:"prefix"`
	Zone   string `json:"zone"`
	File   string `json:"file"`
	Events int64  `json:"events"`
	Head   string `json:"head"` // hash of the chain
}

// A StatusStage counts the specimens that have been through a stage.
type StatusStage struct {
	Stage string `json:"stage"`
	Done  int    `json:"done"`
	Of    int    `json:"of"`
}

// A Trial is a label trial; of its last wet round the middle four, null before.
type Trial struct {
	Stock      string   `json:"stock"`
	Labels     []string `json:"labels"`
	UnderWater int      `json:"under_water"`
	ReadAfterH *float64 `json:"read_after_h"`
	Read       *int     `json:"read"`
	Of         *int     `json:"of"`
	AtLeastPct *float64 `json:"at_least_pct"` // of such labels, with 95 % confidence
	Silent     []string `json:"silent"`
}

// NewStatus takes over how a study stands at an instant, and what is in danger then.
func NewStatus(rec *tracker.Record, dangers []strength.Danger, now time.Time) Status {
	study := rec.Study()
	doc := Status{Study: StatusStudy{Title: study.Title, Prefix: study.Prefix, Zone: study.Zone.String()},
		Stages: []StatusStage{}, Marks: []RecordMark{}, Trials: []Trial{}}
	for _, st := range rec.StagesDone() {
		doc.Stages = append(doc.Stages, StatusStage{Stage: string(st.Stage), Done: st.Done, Of: st.Of})
	}
	doc.Danger = newDangers(dangers)
	counts := tracker.States(rec.Due(now))
	doc.Soon, doc.Due, doc.Overdue = counts[schedule.Soon], counts[schedule.Due], counts[schedule.Overdue]
	for _, m := range rec.OpenMarks() {
		doc.Asks++
		doc.Marks = append(doc.Marks, NewRecordMark(m))
	}
	for _, t := range rec.Trials() {
		doc.Trials = append(doc.Trials, newTrial(t))
	}
	return doc
}

func newTrial(t tracker.LabelTrial) Trial {
	doc := Trial{Stock: t.Stock, Labels: []string{}, Silent: []string{}}
	for _, l := range t.Labels {
		doc.Labels = append(doc.Labels, l.Trial.String())
	}
	doc.UnderWater, _ = t.InWater()
	if rounds := t.Readings(); len(rounds) > 0 && rounds[len(rounds)-1].Wet > 0 {
		doc.last(rounds[len(rounds)-1])
	}
	return doc
}

func (t *Trial) last(r tracker.TrialReading) {
	wet, share := roundHours(r.Wet), design.TrialShown(r)
	t.ReadAfterH, t.Read, t.Of, t.AtLeastPct = &wet, &r.Read, &r.Of, &share
	for _, label := range r.Silent {
		t.Silent = append(t.Silent, label.String())
	}
}
