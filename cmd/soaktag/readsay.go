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
	"soaktag/tracker"
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
func (d *photoDoc) add(sh *shot, verdicts []tracker.Verdict) {
	for i, f := range sh.found {
		id := photoID(sh.sum, f.Code.Whole().String(), f.Half)
		if f.Code.Serial == 0 {
			id = photoID(sh.sum, f.Text, 0)
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
	if card, ok := labels.ParseCard(f.Text, nil); ok && strings.HasPrefix(f.Text, ".") {
		return "card " + card.Title()
	}
	return quoted(f.Text)
}

// listShot prints a photograph that is only listed.
func (s *session) listShot(sh *shot) {
	s.print("%s  %s\n", sh.path, counted(len(sh.found), "code", "codes"))
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
}

// tellShot prints one line a photograph.
func (r *photoReading) tellShot(sh *shot, cards []labels.Card, sightings int) {
	if r.json {
		return
	}
	parts := []string{counted(sightings, "label", "labels")}
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
	r.print("%s  %s  %s\n", sh.path, spanText(r.rec.Corrected(sh.stamp), r.zone()), text)
}

// tellForeign prints QR codes that are none of ours.
func (r *photoReading) tellForeign(sh *shot) {
	for _, f := range sh.found {
		if f.Code.Serial == 0 && !strings.HasPrefix(f.Text, ".") && !r.json {
			r.print("other     %s  in %s, not recorded\n", quoted(f.Text), sh.path)
		}
	}
}

// tell prints one line a code, and what it asks.
func (r *photoReading) tell(verdicts []tracker.Verdict, fresh map[string]bool) error {
	for _, v := range verdicts {
		if v.Event.Kind == tracker.ClockSeen {
			continue
		}
		text := recordedText(v, r.zone())
		if fresh[v.Event.ID] {
			r.fresh[v.Event.ID] = true
		} else {
			r.tellOtherStage(v.Event)
			text = strings.Replace(text, "recorded ", r.knownAs(v.Event), 1)
		}
		if !r.json {
			r.print("%s\n", text)
		}
	}
	r.asked = r.sayMarks(verdicts)
	for _, m := range r.asked {
		r.open[markKey(m)] = m
	}
	if len(r.asked) > 0 && r.entry.Yes && r.entry.Reason != "" {
		return r.acceptAsked(r.entry.Reason)
	}
	return nil
}

// knownAs begins the line of what was recorded before.
func (r *photoReading) knownAs(e tracker.Event) string {
	if r.rec.Voided(e.ID) {
		return "set aside"
	}
	return "known    "
}

// tellOtherStage says that a photograph read before stays what it was then.
func (r *photoReading) tellOtherStage(e tracker.Event) {
	if e.Kind == tracker.Staged && r.stage != "" && e.Stage != r.stage && !isTrialEvent(e) && !r.rec.Voided(e.ID) {
		r.hint("%s was read in this photograph before, as %s; to change that: soaktag amend correct %s stage=%q --reason \"why\"",
			whom(e), orUnknown(string(e.Stage), "no stage"), e.ID, string(r.stage))
	}
}

// refuse reports something in a photograph that is not recorded.
func (r *photoReading) refuse(sh *shot, err error) {
	r.refused++
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
	text := fmt.Sprintf("%s recorded from %s", counted(len(r.fresh), "label", "labels"), plural(len(shots), "photograph"))
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
	asking := make([]tracker.Mark, 0, len(r.open))
	for _, key := range slices.Sorted(maps.Keys(r.open)) {
		asking = append(asking, r.open[key])
	}
	r.hint("%s: put it right with soaktag amend, or %s", counted(len(asking), "mark asks", "marks ask"), acceptText(asking))
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
	s.say("%s shows %s with %s outlined; a label without an outline was missed", path, shots[chosen].path, counted(len(shots[chosen].found), "code", "codes"))
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
