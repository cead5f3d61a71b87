package main

import (
	"errors"
	"fmt"
	"image/jpeg"
	"image/png"
	"io"
	"maps"
	"math"
	"slices"
	"strings"
	"time"

	"soaktag/labels"
	"soaktag/labels/photo"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/wording"
)

// A readDoc is read/1.
type readDoc struct {
	Photos []photoDoc `json:"photos"`
}

type photoDoc struct {
	Photo   string     `json:"photo"`
	TakenAt *string    `json:"taken_at"` // null where it is not known, or only as a range
	Found   []foundDoc `json:"found"`
	Error   *string    `json:"error"`
	Stage   *string    `json:"stage,omitempty"`
}

type foundDoc struct {
	Code      *string       `json:"code"`
	Text      string        `json:"text"`
	Half      *int          `json:"half"`
	How       string        `json:"how"`
	Corners   [4][2]float64 `json:"corners"` // in the picture turned upright
	Ambiguous bool          `json:"ambiguous"`
	Event     *string       `json:"event,omitempty"`
	Marks     []markDoc     `json:"marks,omitempty"`
}

// doc is what a script is told of a shot that was not recorded. Without a zone
// a time is known only where the camera gave its own.
func (sh *shot) doc(zone *time.Location) photoDoc {
	d := photoDoc{Photo: strings.ToValidUTF8(sh.path, "�"), Found: []foundDoc{}}
	if sh.err != nil {
		d.Error = orNull(sh.err.Error())
		return d
	}
	if own := sh.exif; zone == nil && !own.Wall.IsZero() && own.Zone != nil {
		d.TakenAt = orNull(own.Wall.Format("2006-01-02T15:04:05") + own.Wall.In(own.Zone).Format("Z07:00"))
	}
	for i, f := range sh.found {
		d.Found = append(d.Found, foundOf(f, sh.upright[i]))
	}
	return d
}

func foundOf(f photo.Found, corners [4]photo.Point) foundDoc {
	d := foundDoc{Text: strings.ToValidUTF8(f.Text, "�"), How: string(f.How), Ambiguous: f.Ambiguous}
	if f.Code.Serial != 0 {
		d.Code = orNull(f.Code.Whole().String())
	}
	if f.Half != 0 {
		d.Half = &f.Half
	}
	for i, p := range corners {
		d.Corners[i] = [2]float64{math.Round(p.X*10) / 10, math.Round(p.Y*10) / 10}
	}
	return d
}

// add says what became of what was found.
func (d *photoDoc) add(rec *tracker.Record, sh *shot, verdicts []tracker.Verdict) {
	for i, f := range sh.found {
		id := tracker.PhotoEventID(sh.sum, f.Code.Whole().String(), f.Half)
		if f.Code.Serial == 0 {
			id = tracker.PhotoEventID(sh.sum, f.Text, 0)
		}
		if now, ok := rec.Stands(id); ok {
			id = now.ID
		}
		for _, v := range verdicts {
			if v.Event.ID == id {
				d.Found[i].Event = orNull(id)
				for _, m := range v.Marks {
					d.Found[i].Marks = append(d.Found[i].Marks, markOf(m))
				}
			}
		}
	}
}

func (r *photoReading) takenAt(sh *shot) *string {
	if at := r.rec.Corrected(sh.stamp); at.Exact() && !at.IsZero() {
		return timeOrNull(at.From, r.zone())
	}
	return nil
}

// foundText is what was found as a person reads it.
func foundText(f photo.Found) string {
	if f.Code.Serial != 0 {
		return f.Code.String()
	}
	if card, ok := labels.ParseCard(f.Text, nil); ok && f.Ours() {
		return "card " + card.Title()
	}
	return quoted(f.Text)
}

// listShot prints a photograph that is only listed.
func (s *session) listShot(sh *shot) {
	s.print("%s  %s\n", sh.path, wording.Counted(len(sh.found), "code", "codes"))
	for _, f := range sh.found {
		text := foundText(f)
		if f.How == photo.Matched {
			text += "  (probable: not decoded)"
		}
		if f.Ambiguous {
			text += "  (another was read in the same place: look at it)"
			s.attention = true
		}
		s.print("%s  %s\n", f.How, text)
	}
}

// tellUnread says why a photograph could not be taken; the others go on. The
// only one there is ends the run, which then says so.
func (s *session) tellUnread(sh *shot, of int) {
	s.attention = true
	if of == 1 {
		return
	}
	s.warn("%s: %v: left out", sh.path, sh.err)
	var h *hinted
	if errors.As(sh.err, &h) {
		s.hint("%s", h.hint)
	}
}

// tellNothing says that nothing was found. In a folder there may be photographs
// of anything; one that somebody named should show something.
func (r *photoReading) tellNothing(sh *shot) {
	r.tellForeign(sh)
	if len(sh.found) > 0 { // and was asked for with --any
		return
	}
	if !sh.named {
		r.say("%s: no label found; not kept", sh.path)
		return
	}
	r.attention = true
	r.warn("%s: no label found; not kept", sh.path)
	r.hint("go nearer, hold still and avoid glare; or type the code: soaktag log CODE --stage STAGE --at TIME")
	if !r.any {
		r.hint("soaktag read %s --any lists every QR code there is, one printed by another program too", shellWord(sh.path))
	}
}

// tellShot prints one line a photograph.
func (r *photoReading) tellShot(sh *shot, cards []labels.Card, sightings int) {
	if r.json {
		return
	}
	parts := []string{wording.Counted(sightings, "label", "labels")}
	if sightings == 0 {
		parts = nil
	}
	for _, card := range cards {
		parts = append(parts, "card "+card.Title())
	}
	if _, ok := sh.clock(); ok {
		parts = append(parts, "clock")
	}
	text := strings.Join(parts, ", ")
	if text == "" {
		text = "nothing to record"
	}
	r.print("%s  %s  %s\n", sh.path, wording.Span(r.rec.Corrected(sh.stamp), r.zone()), text)
}

// tellForeign prints QR codes that are none of ours.
func (r *photoReading) tellForeign(sh *shot) {
	for _, f := range sh.found {
		if !f.Ours() && !r.json {
			r.print("other     %s  in %s, not recorded\n", quoted(f.Text), sh.path)
		}
	}
}

// tell prints one line a code, and what it asks.
func (r *photoReading) tell(sh *shot, verdicts []tracker.Verdict) error {
	for _, v := range verdicts {
		if v.Event.Kind == tracker.ClockSeen {
			continue
		}
		if !r.fresh[v.Event.ID] && !r.given[v.Event.ID] {
			r.before++
		}
		if !r.json {
			r.print("%s\n", strings.Replace(wording.Recorded(v, r.zone()), "recorded ", r.lead(v.Event), 1))
		}
	}
	r.tellGiven(sh, verdicts)
	r.tellOtherStages(verdicts)
	r.tellOtherTime(sh, verdicts)
	r.asked = r.sayOnce(sh, verdicts)
	for _, m := range r.asked {
		r.open[openKey(m)] = m
	}
	if len(r.asked) > 0 && r.entry.Yes && r.entry.Reason != "" {
		return r.acceptAsked(r.entry.Reason)
	}
	return nil
}

// lead begins the line of a label: whether this run recorded it.
func (r *photoReading) lead(e tracker.Event) string {
	switch {
	case r.news[e.ID] && r.given[e.ID]:
		return "now says "
	case r.news[e.ID]:
		return "recorded "
	case r.rec.Voided(e.ID):
		return "set aside"
	}
	return "known    "
}

// sayOnce is sayMarks, but the same words are said once a run: both halves of a
// specimen, or two photographs, ask the same.
func (r *photoReading) sayOnce(sh *shot, verdicts []tracker.Verdict) (asking []tracker.Mark) {
	for _, v := range verdicts {
		for _, m := range v.Marks {
			if text := wording.Mark(m); !r.told[text] {
				r.told[text] = true
				r.say("%s", text)
			}
			if m.Open() {
				asking = append(asking, m)
			}
			if m.Rule == tracker.RuleNoStage && r.stage == "" {
				r.paths[m.Event] = sh.path
			}
		}
	}
	return asking
}

// tellOtherStages says that what was read in a photograph before stays as it
// was then; of many labels with one stage, once.
func (r *photoReading) tellOtherStages(verdicts []tracker.Verdict) {
	others := map[schedule.Stage][]tracker.Event{}
	for _, v := range verdicts {
		if e := v.Event; r.otherStage(e) {
			others[e.Stage] = append(others[e.Stage], e)
		}
	}
	for _, stage := range slices.Sorted(maps.Keys(others)) {
		first, who := others[stage][0], ""
		if n := len(others[stage]); n > 1 {
			who = fmt.Sprintf(" and %d more", n-1)
		}
		if who != "" && r.ordered == r.stage { // sayWayBack says how
			r.say("%s%s: read in this photograph before, as %s, and left so", wording.Whom(first), who, orUnknown(string(stage), "no stage"))
			continue
		}
		r.hint("%s%s: read in this photograph before, as %s, and left so; to change that: soaktag amend correct %s stage=%q --reason \"why\"",
			wording.Whom(first), who, orUnknown(string(stage), "no stage"), first.ID, string(r.stage))
	}
}

// otherStage reports whether a label was read before, at another stage than the
// one in force.
func (r *photoReading) otherStage(e tracker.Event) bool {
	return e.Kind == tracker.Staged && r.stage != "" && e.Stage != r.stage && !isTrialEvent(e) &&
		!r.news[e.ID] && !r.rec.Voided(e.ID)
}

// tellOtherTime says that --at changes nothing of what was read before, at
// another time.
func (r *photoReading) tellOtherTime(sh *shot, verdicts []tracker.Verdict) {
	at := sh.stamp.At
	if !r.timed || at != r.entry.At {
		return
	}
	for _, v := range verdicts {
		if e := v.Event; !r.news[e.ID] && !r.rec.Voided(e.ID) && !(e.At.From.Equal(at.From) && e.At.To.Equal(at.To)) {
			r.hint("%s: read in this photograph before, at %s, and left so; to change that: soaktag amend correct %s --at TIME --reason \"why\"",
				wording.Whom(e), wording.Span(e.At, r.zone()), e.ID)
			return
		}
	}
}

// refuse reports something in a photograph that is not recorded.
func (r *photoReading) refuse(sh *shot, err error) {
	r.attention = true
	r.warn("%s: %v: not recorded", sh.path, err)
	var unread *notRead
	if errors.As(err, &unread) && unread.hint != "" {
		r.hint("%s", unread.hint)
	}
}

// sum says at the end what became of the photographs.
func (r *photoReading) sum(shots []shot) {
	if len(shots) == 1 && shots[0].err != nil {
		return
	}
	text := fmt.Sprintf("%s recorded from %s", wording.Counted(len(r.fresh), "label", "labels"), wording.Plural(len(shots), "photograph"))
	if r.before > 0 {
		text += fmt.Sprintf(", %d known before", r.before)
	}
	if len(r.given) > 0 {
		text += fmt.Sprintf(", %d put right", len(r.given))
	}
	unread := 0
	for i := range shots {
		if shots[i].err != nil {
			unread++
		}
	}
	if unread > 0 {
		text += fmt.Sprintf(", %d not taken", unread)
	}
	r.say("%s", text)
	if len(r.open) == 0 {
		return
	}
	r.attention = true
	asking := r.asking()
	r.hint("%s: %s, or %s", wording.Counted(len(asking), "mark asks", "marks ask"), r.remedy(), wording.AcceptCommand(asking))
}

func openKey(m tracker.Mark) string { return markKey(m) + "|" + wording.MarkText(m) }

// asking lists what this run left open, of the same words one mark.
func (r *photoReading) asking() (all []tracker.Mark) {
	for _, key := range slices.Sorted(maps.Keys(r.open)) {
		m := r.open[key]
		if !slices.ContainsFunc(all, func(x tracker.Mark) bool { return wording.Mark(x) == wording.Mark(m) }) {
			all = append(all, m)
		}
	}
	return all
}

// sayInterrupted says what of an interrupted run is on record.
func (r *photoReading) sayInterrupted(of int) {
	if !r.kept {
		r.say("interrupted: nothing recorded; type the same command again")
		return
	}
	r.say("interrupted: %s recorded from %d of %s, and nothing by halves; the same command again goes on from there",
		wording.Counted(len(r.fresh), "label", "labels"), r.taken, wording.Plural(of, "photograph"))
}

// sayTwins says which labels were read in several places of one photograph:
// there is only one of each, so all but one were misread or are copies.
func (s *session) sayTwins(sh *shot) {
	var order []string
	places := map[string]int{}
	for _, f := range sh.found {
		text, single := foundText(f), f.Code.Serial != 0
		if t, ok := tracker.TrialOf(f.Text); ok && f.Ours() {
			text, single = t.String(), true
		}
		if !single || f.Ambiguous {
			continue
		}
		if places[text]++; places[text] == 2 {
			order = append(order, text)
		}
	}
	for _, text := range order {
		s.attention = true
		s.warn("%s: %s stands in %d places: there is one such label, so the others are misread, or copies of it", sh.path, text, places[text])
	}
	if len(order) > 0 {
		s.hint("look at them (--show FILE.png outlines them); another specimen by hand: soaktag log CODE --stage STAGE --at TIME")
	}
}

// showShots draws the photograph that shows the most.
func (s *session) showShots(path string, shots []shot) error {
	chosen := -1
	for i := range shots {
		if sh := &shots[i]; sh.sum == "" || sh.err != nil && len(sh.found) == 0 {
			continue
		}
		if chosen < 0 || len(shots[i].found) > len(shots[chosen].found) {
			chosen = i
		}
	}
	if path == "" || chosen < 0 {
		return nil
	}
	if err := writeNew(path, func(w io.Writer) error { return drawShot(w, path, &shots[chosen]) }); err != nil {
		return err
	}
	s.say("%s shows %s with %s outlined; a label without an outline was missed", path, shots[chosen].path, wording.Counted(len(shots[chosen].found), "code", "codes"))
	return nil
}

func drawShot(w io.Writer, path string, sh *shot) error {
	file, err := loadPhoto(sh.path)
	if err != nil {
		return err
	}
	picture, err := photo.Open(file)
	if err != nil {
		return err
	}
	shown, err := photo.Show(picture, sh.found)
	if err != nil {
		return err
	}
	if isPNG(path) {
		return png.Encode(w, shown)
	}
	return jpeg.Encode(w, shown, &jpeg.Options{Quality: 85})
}
