package worksheet

import (
	"errors"
	"fmt"
	"strings"

	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/wording"
)

// Why the cuts of a study cannot be drawn.
var (
	ErrNoBlank  = errors.New(`the plan gives no size of the blank: add blank = "..." to [specimen]`)
	ErrNoBoards = errors.New("the plan gives no board with its size: add boards = [ ... ] to [wood]")
	ErrNotDealt = errors.New("the specimens are not those that the plan deals: they came from a table, or the plan was amended")
)

// Layouts is where every blank lies on its board. The error is ErrNoBlank, ErrNoBoards
// or ErrNotDealt where that is not known.
func Layouts(rec *tracker.Record) ([]design.Layout, error) {
	layouts := design.Layouts(rec.Study())
	switch {
	case len(layouts) == 0 && rec.Study().Specimen.Blank.Length == 0:
		return nil, ErrNoBlank
	case len(layouts) == 0:
		return nil, ErrNoBoards
	case !dealtByPlan(rec):
		return nil, ErrNotDealt
	}
	return layouts, nil
}

// dealtByPlan reports whether the specimens lie on the boards on which the plan
// deals them. Those added later are cut later.
func dealtByPlan(rec *tracker.Record) bool {
	dealt := design.Allocate(rec.Study())
	have := rec.Specimens()
	if len(dealt) > len(have) {
		return false
	}
	for i, sp := range dealt {
		if have[i].Code != sp.Code || have[i].Board != sp.Board {
			return false
		}
	}
	return true
}

// cutMaps are the layouts of a study as the sheet draws them.
func cutMaps(layouts []design.Layout, study *tracker.Study) []CutMap {
	var maps []CutMap
	for _, l := range layouts {
		maps = append(maps, mapOf(l, study))
	}
	return maps
}

func mapOf(l design.Layout, study *tracker.Study) CutMap {
	m := CutMap{
		Board: l.Board, Words: wording.Layout(l, study.Units), Notes: cutNotes(l, study), Units: study.Units,
		Length: l.Size.Length.MM(), Width: l.Size.Width.MM(), Trim: l.Trim.MM(), Kerf: l.Kerf.MM(), Used: l.Used.MM(),
		BlankLength: l.Blank.Length.MM(), BlankWidth: l.Blank.Width.MM(),
	}
	for _, b := range l.Blanks {
		m.Blanks = append(m.Blanks, CutBlank{Row: b.Row, X: b.X.MM(), Y: b.Y.MM(), Code: b.Code})
	}
	return m
}

// cutNotes says what the drawing cannot show: pieces that stay in one, and what
// the board does not give.
func cutNotes(l design.Layout, study *tracker.Study) []string {
	var notes, whole []string
	for _, sp := range design.Allocate(study) {
		if a := study.Adhesive(sp.Adhesive); sp.Board == l.Board && a != nil && a.SolidWood {
			whole = append(whole, sp.Code.String())
		}
	}
	if len(whole) > 0 {
		notes = append(notes, "Solid wood, its two places one piece that is not sawn apart: "+strings.Join(whole, ", ")+".")
	}
	if l.Short > 0 {
		notes = append(notes, fmt.Sprintf("The board is too small: %s short, which are not drawn.", wording.Plural(l.Short, "blank")))
	}
	return notes
}
