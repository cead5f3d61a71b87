package main

import (
	"errors"
	"io"
	"math"
	"path/filepath"
	"strings"

	"soaktag/labels/photo"
	"soaktag/tracker/intake"
	"soaktag/tracker/tables"
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
	Code      *string             `json:"code"`
	Text      string              `json:"text"`
	Half      *int                `json:"half"`
	How       string              `json:"how"`
	Corners   [4][2]float64       `json:"corners"` // in the picture turned upright
	Ambiguous bool                `json:"ambiguous"`
	Event     *string             `json:"event,omitempty"`
	Marks     []tables.RecordMark `json:"marks,omitempty"`
}

// doc is what a script is told of a photograph without a study.
func (sh *shot) doc() photoDoc {
	d := photoDoc{Photo: strings.ToValidUTF8(sh.Name, "�"), Found: []foundDoc{}}
	if sh.Err != nil {
		d.Error = orNull(sh.Err.Error())
		return d
	}
	for i, f := range sh.Found {
		d.Found = append(d.Found, foundOf(f, sh.look.Upright[i]))
	}
	return d
}

// listed is doc of a photograph that is only listed. Without a study a time is
// known only where the camera gave its own zone.
func (sh *shot) listed() photoDoc {
	d := sh.doc()
	if own := sh.Exif; sh.Err == nil && !own.Wall.IsZero() && own.Zone != nil {
		d.TakenAt = orNull(own.Wall.Format("2006-01-02T15:04:05") + own.Wall.In(own.Zone).Format("Z07:00"))
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

// docOf is what a script is told of a photograph that was taken.
func (r *photoReading) docOf(sh *shot, out intake.Outcome) photoDoc {
	d := sh.doc()
	for _, n := range out.Notes {
		taken, ok := n.(intake.PhotographTaken)
		if !ok {
			continue
		}
		if at := taken.Taken; at.Exact() && !at.IsZero() {
			d.TakenAt = timeOrNull(at.From, r.zone())
		}
		d.Stage = orNull(string(taken.Stage))
		for i, v := range taken.Found {
			if v == nil {
				continue
			}
			d.Found[i].Event = orNull(v.Event.ID)
			for _, m := range v.Marks {
				d.Found[i].Marks = append(d.Found[i].Marks, tables.NewRecordMark(m))
			}
		}
	}
	return d
}

// listShot prints a photograph that is only listed.
func (s *session) listShot(sh *shot) {
	s.print("%s  %s\n", sh.Name, wording.Counted(len(sh.Found), "code", "codes"))
	for _, f := range sh.Found {
		text := intake.Seen(f)
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

// sayTwins says which labels stand in several places of a photograph.
func (s *session) sayTwins(sh *shot) {
	for _, n := range intake.Twins(sh.Name, sh.Found) {
		sentences := wording.Note(n, nil)
		s.attention = s.attention || anyWarned(sentences)
		s.telling("", sentences)
	}
}

// tellUnread says why a photograph could not be taken; the others go on. The
// only one there is ends the run, which then says so.
func (s *session) tellUnread(sh *shot, of int) {
	s.attention = true
	if of == 1 {
		return
	}
	s.warn("%s: %v: left out", sh.Name, sh.Err)
	if h := (*hinted)(nil); errors.As(desked(sh.Err), &h) {
		s.hint("%s", h.hint)
	}
}

// showShots draws the photograph that shows the most.
func (s *session) showShots(path string, shots []*shot) error {
	var chosen *shot
	for _, sh := range shots {
		if sh.Sum == "" || sh.Err != nil && len(sh.Found) == 0 {
			continue
		}
		if chosen == nil || len(sh.Found) > len(chosen.Found) {
			chosen = sh
		}
	}
	if path == "" || chosen == nil {
		return nil
	}
	draw := func(w io.Writer) error {
		file, err := loadPhoto(chosen.Name)
		if err != nil {
			return err
		}
		return photo.WriteShown(w, file, chosen.Found, strings.EqualFold(filepath.Ext(path), ".png"))
	}
	if err := writeNew(path, draw); err != nil {
		return err
	}
	s.say("%s shows %s with %s outlined; a label without an outline was missed", path, chosen.Name, wording.Counted(len(chosen.Found), "code", "codes"))
	return nil
}
