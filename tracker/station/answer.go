package station

import (
	"math"
	"slices"
	"time"

	"soaktag/labels"
	"soaktag/labels/photo"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

// An answer is what a phone is told of an entry.
type answer struct {
	ID       string     `json:"id"`
	N        int64      `json:"n"`
	State    string     `json:"state"`
	Word     string     `json:"word"`
	Line     string     `json:"line"`
	More     []string   `json:"more"`
	Do       []string   `json:"do"`
	Yes      bool       `json:"yes"`
	Undo     bool       `json:"undo"`
	Again    bool       `json:"again"`
	Recorded int        `json:"recorded"`
	Code     string     `json:"code"`
	Stage    *stageDoc  `json:"stage"` // where a card changed it
	By       string     `json:"by"`
	Found    []foundDoc `json:"found,omitempty"`
	Force    string     `json:"force"`
	Stress   string     `json:"stress"`
	Run      string     `json:"run"` // names the entry in the state's asks

	stays bool // nothing of it is recorded and it cannot be made again: the phone keeps it
}

// A stageDoc is a stage in force, until then in milliseconds.
type stageDoc struct {
	Name  string `json:"name"`
	Until int64  `json:"until"`
}

// A foundDoc is a symbol in a photograph, and how what it says stands.
type foundDoc struct {
	Text      string        `json:"text"`
	Code      string        `json:"code,omitempty"`
	How       string        `json:"how"`
	Corners   [4][2]float64 `json:"corners"`
	Ambiguous bool          `json:"ambiguous"`
	State     string        `json:"state,omitempty"`
	Says      string        `json:"says,omitempty"`
}

func newAnswer(sent intake.Sent, out intake.Outcome, refusal *intake.Refusal, desk *intake.Desk, now time.Time) answer {
	rec := desk.Record()
	words := wording.AnswerOf(out, refusal, rec, now)
	a := answer{ID: sent.ID, N: sent.N, Run: sent.Run(), State: words.State, Word: words.Word, Line: words.Line,
		More: orNone(words.More), Do: orNone(words.Do)}
	if out.CardSetsStage() {
		a.Stage = inForce(desk)
	}
	a.Force, a.Stress = wording.Weighed(out, rec.Study())
	seen := out.Seen()
	if a.Recorded = len(seen); len(out.AsideBefore()) > 0 {
		a.Recorded = 0
	}
	a.Yes, a.Undo = out.YesAnswers(), out.UndoAnswers()
	if len(seen) == 1 {
		a.Code = wording.Code(seen[0].Event.Code, 0)
	}
	for _, n := range out.Notes {
		switch n := n.(type) {
		case intake.SentAgain:
			a.Again = true
		case intake.Who:
			a.By = n.Name
		case intake.PhotographTaken:
			a.Found = foundIn(n, rec)
		case intake.PhotographSeen:
			a.By = whoIn(n.Cards, a.By)
		}
	}
	return a
}

// inForce is the stage in force at a desk; nil for none.
func inForce(desk *intake.Desk) *stageDoc {
	stage, until := desk.InForce()
	if stage == "" {
		return nil
	}
	return &stageDoc{string(stage), until.UnixMilli()}
}

func whoIn(cards []labels.Card, by string) string {
	i := slices.IndexFunc(cards, func(c labels.Card) bool { return c.Kind == labels.CardWho })
	if i < 0 {
		return by
	}
	return cards[i].Name
}

func orNone(texts []string) []string {
	if texts == nil {
		return []string{}
	}
	return texts
}

func newFound(f photo.Found) foundDoc {
	d := foundDoc{Text: f.Text, How: string(f.How), Ambiguous: f.Ambiguous}
	if f.Code.Serial != 0 {
		d.Code = f.Code.String()
	}
	for i, c := range f.Corners {
		d.Corners[i] = [2]float64{math.Round(c.X*10) / 10, math.Round(c.Y*10) / 10}
	}
	return d
}

// foundIn says of everything in a photograph how it stands.
func foundIn(n intake.PhotographTaken, rec *tracker.Record) (all []foundDoc) {
	for i, f := range n.Symbols {
		d := newFound(f)
		d.State, d.Says = wording.FoundIn(n, i, rec)
		all = append(all, d)
	}
	return all
}
