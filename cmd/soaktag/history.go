package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

// historyCommand tells one specimen's life.
func (s *session) historyCommand() *cli.Command {
	return &cli.Command{
		Name:      "history",
		Usage:     "tell everything that happened to one specimen",
		ArgsUsage: "CODE",
		Flags:     lookFlags(),
		Action:    s.history,
	}
}

type historyDoc struct {
	Code     string         `json:"code"`
	Specimen specimenDoc    `json:"specimen"`
	Events   []historyEvent `json:"events"`
	Marks    []markDoc      `json:"marks"`
}

type specimenDoc struct {
	Name         *string  `json:"name"`
	Adhesive     string   `json:"adhesive"`
	Treatment    string   `json:"treatment"`
	Board        *string  `json:"board"`
	BondedBlock  *string  `json:"bonded_block"`
	Bath         *string  `json:"bath"`
	State        *string  `json:"state"`
	Next         *string  `json:"next"`
	BondLengthMM *float64 `json:"bond_length_mm"`
	BondWidthMM  *float64 `json:"bond_width_mm"`
	Nominal      bool     `json:"nominal"`
	Parent       *string  `json:"parent"`   // re-glued from its halves
	Children     []string `json:"children"` // re-glued from this one's
	Issue        [2]int   `json:"issue"`
}

type historyEvent struct {
	Event        string   `json:"event"`
	Kind         string   `json:"kind"`
	Stage        *string  `json:"stage"`
	At           *string  `json:"at"`
	From         *string  `json:"from"`
	To           *string  `json:"to"`
	PlusMinusMin *float64 `json:"plus_minus_min"`
	ReadAt       *string  `json:"read_at"`
	RecordedAt   *string  `json:"recorded_at"`
	By           *string  `json:"by"`
	Device       *string  `json:"device"`
	CodeRead     *string  `json:"code_read"`
	Half         *int     `json:"half"`  // null where none was named
	Photo        *string  `json:"photo"` // SHA-256 of the photograph kept, or that the entry was read in
	Note         *string  `json:"note"`
	Reason       *string  `json:"reason"`
	Says         string   `json:"says"`
	Voided       bool     `json:"voided"`
}

func (s *session) history(c *cli.Context) error {
	text, err := oneArgument(c, "one code or name")
	if err != nil {
		return err
	}
	view, err := s.look(c)
	if err != nil {
		return err
	}
	if intake.IsDummy(view.rec, text) {
		return s.dummyHistory(c, view)
	}
	sp, _, err := view.rec.Resolve(text)
	if err != nil {
		return refused(err)
	}
	doc := historyOf(view, sp)
	if c.Bool("json") {
		return s.json(c, "history/1", doc)
	}
	s.printHistory(view, sp, doc)
	return nil
}

func historyOf(v view, sp tracker.Specimen) historyDoc {
	life := v.rec.Life(sp.Code)
	doc := historyDoc{Code: sp.Code.Whole().String(), Specimen: describe(sp, life),
		Events: []historyEvent{}, Marks: []markDoc{}}
	doc.Specimen.Children = []string{}
	for _, child := range v.rec.Children(sp.Code) {
		doc.Specimen.Children = append(doc.Specimen.Children, child.Code.String())
	}
	passes, photoOf := life.PassNames(), v.rec.PhotoOf()
	for _, entry := range v.rec.History(sp.Code) {
		told := historyEntry(entry, v.zone())
		told.Photo = orNull(photoOf(entry.Event))
		told.Says = orUnknown(string(passes[entry.Event.ID]), told.Says)
		doc.Events = append(doc.Events, told)
	}
	for _, m := range life.Marks {
		doc.Marks = append(doc.Marks, markOf(m))
	}
	return doc
}

func describe(sp tracker.Specimen, life *tracker.Life) specimenDoc {
	length, width := life.BondLength.MM(), life.BondWidth.MM()
	return specimenDoc{
		Name: orNull(sp.Name), Adhesive: sp.Adhesive, Treatment: sp.Treatment,
		Board: orNull(sp.Board), BondedBlock: orNull(sp.BondedBlock), Bath: orNull(sp.Bath),
		State: orNull(life.State), Next: orNull(string(life.NextNamed())),
		BondLengthMM: &length, BondWidthMM: &width, Nominal: life.Nominal, Issue: life.Issue, Parent: orNull(sp.Parent),
	}
}

func historyEntry(entry tracker.Entry, zone *time.Location) historyEvent {
	e := entry.Event
	out := historyEvent{
		Event: e.ID, Kind: e.Kind.String(), Stage: orNull(string(e.Stage)),
		At: timeOrNull(entry.Span.Mid(), zone), PlusMinusMin: plusMinus(entry.Span),
		RecordedAt: timeOrNull(e.Recorded, zone), By: orNull(e.By), Device: orNull(e.Device),
		CodeRead: orNull(e.Code), Note: orNull(e.Note), Reason: orNull(e.Reason),
		Says: wording.Says(e), Voided: entry.Voided,
	}
	if e.Half != 0 {
		out.Half = &e.Half
	}
	if !entry.Span.Exact() {
		out.From, out.To = timeOrNull(entry.Span.From, zone), timeOrNull(entry.Span.To, zone)
	}
	if e.DeviceTime {
		out.ReadAt = timeOrNull(e.At.Mid(), zone)
	}
	return out
}

// plusMinus is half a span in minutes; nil when an end is open.
func plusMinus(span schedule.Span) *float64 {
	if span.From.IsZero() || span.To.IsZero() {
		return nil
	}
	half := span.To.Sub(span.From).Minutes() / 2
	return &half
}

func (s *session) printHistory(v view, sp tracker.Specimen, doc historyDoc) {
	s.print("%s  %s %s%s%s\n", wording.Name(sp), sp.Adhesive, sp.Treatment,
		spelled(", board ", doc.Specimen.Board), spelled(", bath ", doc.Specimen.Bath))
	if p := doc.Specimen.Parent; p != nil {
		s.print("re-glued from the halves of %s\n", *p)
	}
	if len(doc.Specimen.Children) > 0 {
		s.print("its halves were re-glued as %s\n", strings.Join(doc.Specimen.Children, ", "))
	}
	s.printEvents(v, sp, doc)
	var told []string
	for _, m := range doc.Marks {
		if line := asksOrNot(m) + "  " + m.Text + spelled("; accepted: ", m.Accepted); !slices.Contains(told, line) {
			told = append(told, line)
			s.print("%s\n", line)
		}
	}
	if doc.Specimen.Next != nil {
		s.print("next: %s%s\n", *doc.Specimen.Next, wording.Again(v.rec.Life(sp.Code)))
	}
}

// shortSum is how much of a photograph's name a table shows.
const shortSum = 12

// printEvents prints a life, with the photographs where there are any.
func (s *session) printEvents(v view, sp tracker.Specimen, doc historyDoc) {
	headings := []string{"event", "when", "what"}
	first := slices.IndexFunc(doc.Events, func(e historyEvent) bool { return e.Photo != nil })
	if first >= 0 {
		headings = append(headings, "photograph")
	}
	t, passes := screen.NewTable(headings...), v.rec.Life(sp.Code).PassNames()
	for i, entry := range v.rec.History(sp.Code) {
		photo := ""
		if sum := doc.Events[i].Photo; sum != nil {
			photo = (*sum)[:shortSum]
		}
		t.Row(fmt.Sprintf("#%d", entry.Event.Seq), wording.Span(entry.Span, v.zone()), wording.Happened(entry, passes), photo)
	}
	s.print("%s", t)
	if first >= 0 {
		s.hint("soaktag export DIR writes the photographs, as DIR/photos/%s...", (*doc.Events[first].Photo)[:shortSum])
	}
}

func asksOrNot(m markDoc) string {
	if m.Asks {
		return "asks "
	}
	return "noted"
}
