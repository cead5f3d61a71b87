package station

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"soaktag/labels"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
	"soaktag/tracker/worksheet"
)

// A stateDoc is all that a page needs to work offline: state/1 of the station.
type stateDoc struct {
	Schema string    `json:"schema"`
	Now    int64     `json:"now"`
	Phone  phoneDoc  `json:"phone"`
	Stage  *stageDoc `json:"stage"` // of this phone's desk
	By     string    `json:"by"`
	// Asks are those of its entries that ask now, by answer.Run, in words.
	Asks map[string]string `json:"asks"`
	*common
}

type phoneDoc struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

// common is what is the same for all phones.
type common struct {
	Head      string              `json:"head"`
	Events    int64               `json:"events"`
	Study     studyDoc            `json:"study"`
	Warn      string              `json:"warn"`
	People    []string            `json:"people"`
	CardLasts int64               `json:"cardLasts"`
	Stages    []stageCard         `json:"stages"`
	Baths     []bathTag           `json:"baths"`
	Cards     []string            `json:"cards"`
	Specimens []specimenDoc       `json:"specimens"`
	Next      map[string][]string `json:"next"`
	Press     pressDoc            `json:"press"`

	asks map[string]map[string]string // of each phone
}

type studyDoc struct {
	ID     string `json:"id"` // goes with every entry: another study at this address takes none of these
	Title  string `json:"title"`
	Prefix string `json:"prefix"`
	Zone   string `json:"zone"`
	Units  string `json:"units"`
}

// A stageCard is a stage as its card has it.
type stageCard struct {
	Name    string `json:"name"`
	Title   string `json:"title"`
	Text    string `json:"text"`
	Do      string `json:"do"`
	Caution string `json:"caution"`
	Wet     bool   `json:"wet"`
	Breaks  bool   `json:"breaks"`

	Measures []gaugeView `json:"measures"`
}

// A gaugeView is a value that is asked for, of a specimen or of a bath.
type gaugeView struct {
	Name  string `json:"name"`
	Title string `json:"title"`
	Unit  string `json:"unit"`
	Bath  bool   `json:"bath"`

	Of string `json:"-"` // whom a page asks it of
}

func gaugesOf(of string, all []intake.Gauged) []gaugeView {
	views := []gaugeView{}
	for _, g := range all {
		views = append(views, gaugeView{g.Name, wording.ValueName(g.Name), g.Unit, g.Bath, of})
	}
	return views
}

type bathTag struct {
	Name string `json:"name"`
	Text string `json:"text"`
}

type specimenDoc struct {
	Code  string `json:"code"`
	Name  string `json:"name"`
	Waits string `json:"waits"`
	Line  string `json:"line"`
	State string `json:"state"`
}

type pressDoc struct {
	Rigs    []rigDoc    `json:"rigs"`
	Endings []endingDoc `json:"endings"`
	Modes   []modeDoc   `json:"modes"`
}

type rigDoc struct {
	Name string `json:"name"`
	Unit string `json:"unit"`
}

type endingDoc struct {
	Name  string `json:"name"`
	Title string `json:"title"`
	Means string `json:"means"`
	Reads bool   `json:"reads"` // it may have a reading
	Needs bool   `json:"needs"` // it must
	Parts bool   `json:"parts"`
}

type modeDoc struct {
	Key   string `json:"key"`
	Name  string `json:"name"`
	Title string `json:"title"`
	Means string `json:"means"`
}

// shared is the common part of the state as it was worked out last.
type shared struct {
	*common
	minute time.Time
	turn   int           // counts how often it was worked out
	rests  chan struct{} // closed some time after that; nil before the first
	people []string
	seen   int // so many events of the record were looked at for people
	rec    *tracker.Record
}

// state tells a phone how the study stands: what a page needs to go on when the network
// is gone.
func (s *Station) state(w http.ResponseWriter, r *http.Request) {
	phone := phoneOf(r)
	turn, err := s.awaitTurn(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	var body []byte
	var tag string
	err = s.withRecord(func(rec *tracker.Record, now time.Time) (err error) {
		doc := stateDoc{Schema: "station/1", Now: now.UnixMilli(), Phone: phoneDoc{phone.ID, phone.Name}}
		if doc.common, err = s.commonState(rec, now, turn); err != nil {
			return err
		}
		doc.Asks = doc.asks[phone.ID]
		if d := s.desks[phone.ID]; d != nil {
			doc.Stage, doc.By = inForce(d), d.By
		}
		tag = fmt.Sprintf(`"%s-%d-%s-%s"`, doc.Head[:12], s.shared.minute.Unix()/60, phone.ID, stageTag(doc.Stage, doc.By))
		body, err = json.Marshal(doc)
		return err
	})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Cache-Control", "no-cache")
	w.Header().Set("ETag", tag)
	if r.Header.Get("If-None-Match") == tag {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	_, _ = w.Write(body) // whoever asked may be gone: then nobody is left to tell
}

func stageTag(stage *stageDoc, by string) string {
	if stage == nil {
		stage = &stageDoc{}
	}
	return sumOf(fmt.Sprint(stage.Name, stage.Until, by))[:8]
}

// restFor is how long the state of a study in which much happens rests before it is
// worked out again: that takes as long as many scans, and all phones ask at once.
const restFor = 500 * time.Millisecond

// awaitTurn waits while the state rests, unless nothing happened since it was worked
// out, and returns how often it was until this question.
func (s *Station) awaitTurn(ctx context.Context) (int, error) {
	s.study.Lock()
	turn, rests, known := s.shared.turn, s.shared.rests, s.shared.common
	s.study.Unlock()
	if known == nil {
		return turn, nil
	}
	head, _, err := s.DB.Head()
	if err != nil || head == known.Head {
		return turn, err
	}
	select {
	case <-rests:
	case <-ctx.Done():
	}
	return turn, ctx.Err()
}

// resting reports whether the state was worked out just now.
func (h *shared) resting() bool {
	select {
	case <-h.rests:
		return false
	default:
		return h.rests != nil
	}
}

// worked takes over the state that was worked out now.
func (h *shared) worked(c *common, minute time.Time) {
	rests := make(chan struct{})
	h.common, h.minute, h.rests = c, minute, rests
	h.turn++
	time.AfterFunc(restFor, func() { close(rests) })
}

// commonState is what is the same for all phones, worked out once for each change of
// the study and each minute; of many changes in a row once for all who asked until then:
// turn is how often it had been before they asked. The lock is held.
func (s *Station) commonState(rec *tracker.Record, now time.Time, turn int) (*common, error) {
	head, events, err := s.DB.Head()
	if err != nil {
		return nil, err
	}
	minute := now.Truncate(time.Minute)
	c := s.shared.common
	if c != nil && (c.Head == head && s.shared.minute.Equal(minute) || s.shared.resting() && s.shared.turn > turn) {
		return c, nil
	}
	c = newCommon(rec, now)
	c.Head, c.Events, c.People = head, events, s.shared.names(rec)
	s.shared.worked(c, minute)
	return c, nil
}

// names lists who worked at the study, in the order of the alphabet.
func (h *shared) names(rec *tracker.Record) []string {
	if h.rec != rec {
		h.rec, h.seen, h.people = rec, 0, []string{}
	}
	fresh := rec.EventsAfter(h.seen)
	h.seen += len(fresh)
	for _, by := range append([]string{rec.Study().By}, peopleOf(fresh)...) {
		if by != "" && !slices.Contains(h.people, by) {
			h.people = append(h.people, by)
		}
	}
	slices.Sort(h.people)
	return slices.Clone(h.people)
}

func peopleOf(events []tracker.Event) (all []string) {
	for _, e := range events {
		all = append(all, e.By)
	}
	return all
}

func newCommon(rec *tracker.Record, now time.Time) *common {
	study, due := rec.Study(), rec.Due(now)
	c := &common{
		Study: studyDoc{intake.StudyID(rec), study.Title, study.Prefix, rec.Zone().String(), study.Units.String()},
		Warn:  wording.DueCounts(due), CardLasts: intake.CardLasts.Milliseconds(),
		Stages: stagesOf(rec), Baths: []bathTag{}, Cards: []string{}, Next: map[string][]string{}, Press: pressOf(study),
	}
	for _, card := range intake.CardsOf(rec) {
		c.Cards = append(c.Cards, card.Text())
		if card.Kind == labels.CardBath {
			c.Baths = append(c.Baths, bathTag{card.Name, card.Text()})
		}
	}
	for stage, codes := range intake.Expected(rec, now) {
		for _, code := range codes {
			c.Next[stage] = append(c.Next[stage], code.String())
		}
	}
	c.Specimens, c.asks = specimensOf(rec, due, now), asksOf(rec, now)
	return c
}

// asksOf words what asks of each phone's entries.
func asksOf(rec *tracker.Record, now time.Time) map[string]map[string]string {
	all := map[string]map[string]string{}
	for phone, runs := range intake.AsksOfPhones(rec) {
		all[phone] = map[string]string{}
		for run, marks := range runs {
			all[phone][run] = wording.AsksNow(marks, now, rec.Zone())
		}
	}
	return all
}

func stagesOf(rec *tracker.Record) (all []stageCard) {
	study := rec.Study()
	for _, name := range intake.StageNames(rec) {
		card := labels.Card{Kind: labels.CardStage, Name: name}
		stage, _ := study.Stage(name)
		all = append(all, stageCard{Name: name, Title: strings.ToUpper(name), Text: card.Text(), Do: tracker.WorkOf(stage).Do,
			Caution: worksheet.Caution(name, study.Units), Wet: stage.Wet(), Breaks: intake.WantsReading(name),
			Measures: gaugesOf("", intake.GaugedAt(stage, study.Units))})
	}
	return all
}

// specimensOf lists all specimens with what each waits for.
func specimensOf(rec *tracker.Record, due []tracker.Due, now time.Time) []specimenDoc {
	next := map[labels.Code]tracker.Due{}
	for _, d := range due {
		if d.Specimen.Code.Serial != 0 {
			next[d.Specimen.Code] = d
		}
	}
	all, blind := []specimenDoc{}, rec.Study().Rule.Blind
	for _, life := range rec.Lives() {
		doc := specimenDoc{Code: life.Specimen.Code.String(), Waits: wording.Waits(life)}
		if !blind {
			doc.Name = life.Specimen.Name // a person's own mark may tell the adhesive
		}
		if d, waits := next[life.Specimen.Code]; waits {
			doc.Line, doc.State = wording.Shortly(d, now, rec.Zone()), d.State.String()
		}
		all = append(all, doc)
	}
	return all
}

func pressOf(study *tracker.Study) pressDoc {
	doc := pressDoc{Rigs: []rigDoc{}, Endings: []endingDoc{}, Modes: []modeDoc{}}
	for _, rig := range study.Rigs {
		doc.Rigs = append(doc.Rigs, rigDoc{rig.Name, rig.Gauge.Unit()})
	}
	for _, how := range endingsByUse() {
		doc.Endings = append(doc.Endings, endingDoc{string(how), string(how), how.Means(), how.Loads(), how.NeedsReading(), how.Parts()})
	}
	for _, m := range tracker.Modes() {
		doc.Modes = append(doc.Modes, modeDoc{m.Key(), m.Name, strings.TrimSpace(m.Name + " " + m.Where), m.Means})
	}
	return doc
}

// endingsByUse are the endings with those first after which the bond is in two pieces:
// most tries end so, and a phone shows the first ones without scrolling.
func endingsByUse() []tracker.How {
	all := tracker.Endings()
	slices.SortStableFunc(all, func(a, b tracker.How) int {
		switch {
		case a.Parts() == b.Parts():
			return 0
		case a.Parts():
			return -1
		}
		return 1
	})
	return all
}
