package main

import (
	"encoding/xml"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/quantity"
	"soaktag/tracker/wording"
	"soaktag/tracker/worksheet"
)

// drawCuts adds to a worksheet for cutting how the blanks lie on every board,
// and says so where that cannot be drawn.
func (s *session) drawCuts(page *worksheet.Sheet, rec *tracker.Record) {
	layouts, why := layoutsOf(rec)
	if why != "" {
		s.say("no drawing of the cuts: %s", why)
	}
	for _, l := range layouts {
		page.Cuts = append(page.Cuts, cutMap(l, rec.Study()))
	}
}

// layoutsOf is where every blank lies on its board, or why that is not known.
func layoutsOf(rec *tracker.Record) ([]design.Layout, string) {
	study := rec.Study()
	layouts := design.Layouts(study)
	switch {
	case len(layouts) == 0:
		return nil, "the plan gives no size of the blank, or of no board"
	case !dealtByPlan(rec):
		return nil, "the specimens are not those that the plan deals: they came from a table, or the plan was amended"
	}
	return layouts, ""
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

// cutMap is a layout as the sheet draws it.
func cutMap(l design.Layout, study *tracker.Study) worksheet.CutMap {
	m := worksheet.CutMap{
		Board: l.Board, Words: cutWords(l, study.Units), Notes: cutNotes(l, study), Inch: study.Units == quantity.Inch,
		Length: l.Size.Length.MM(), Width: l.Size.Width.MM(), Trim: l.Trim.MM(), Kerf: l.Kerf.MM(), Used: l.Used.MM(),
		BlankLength: l.Blank.Length.MM(), BlankWidth: l.Blank.Width.MM(),
	}
	for _, b := range l.Blanks {
		m.Blanks = append(m.Blanks, worksheet.CutBlank{Row: b.Row, X: b.X.MM(), Y: b.Y.MM(), Code: b.Code})
	}
	return m
}

// cutWords is a layout in words, without its board: what design says of it, in
// the units of the plan.
func cutWords(l design.Layout, u quantity.System) string {
	spare := 0
	for _, b := range l.Blanks {
		if b.Spare() {
			spare++
		}
	}
	text := fmt.Sprintf("%s in %s of %d, %d of them spare; %s of %s needed, offcut %s, strip %s", wording.Plural(len(l.Blanks), "blank"), wording.Plural(l.Rows, "row"),
		l.Across, spare, u.LengthNumber(l.Used), u.Length(l.Size.Length), u.Length(l.Offcut), u.Length(l.Strip))
	if l.Short > 0 {
		text += "; " + wording.Plural(l.Short, "blank") + " short"
	}
	return text
}

// cutNotes says what the drawing cannot show: pieces that stay in one, and what
// the board does not give.
func cutNotes(l design.Layout, study *tracker.Study) []string {
	var notes, whole []string
	solid := map[string]bool{}
	for _, a := range study.Adhesives {
		solid[a.Key] = a.SolidWood
	}
	for _, sp := range design.Allocate(study) {
		if sp.Board == l.Board && solid[sp.Adhesive] {
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

// isDrawing reports whether a file is to be an SVG drawing.
func isDrawing(out string) bool { return strings.EqualFold(filepath.Ext(out), ".svg") }

// drawing writes the cuts of all boards below each other in one SVG file.
func (s *session) drawing(rec *tracker.Record, stage schedule.Stage, out string) error {
	if stage != schedule.Cut {
		return usageError("only the cuts are drawn as SVG: name a .pdf for %s", stage)
	}
	layouts, why := layoutsOf(rec)
	if why != "" {
		return usageError("no drawing of the cuts: %s", why)
	}
	text, err := cutsSVG(layouts, rec.Study())
	if err != nil {
		return err
	}
	err = writeNew(out, func(w io.Writer) error {
		_, err := io.WriteString(w, text)
		return err
	})
	if err != nil {
		return err
	}
	s.print("%s: cuts of %s\n", out, wording.Plural(len(layouts), "board"))
	return nil
}

// The drawing of several boards, in mm.
const (
	svgHead = 16.0 // above each board, for its name and its notes
	svgLine = 4.0  // from one line to the next
	svgEdge = 8.0
)

// svgStart is how a drawing of design begins: its place and height are found
// there.
const svgStart = `<svg xmlns="http://www.w3.org/2000/svg" `

// cutsSVG puts the drawings of layouts below each other.
func cutsSVG(layouts []design.Layout, study *tracker.Study) (string, error) {
	var body strings.Builder
	y, width := 0.0, 0.0
	for _, l := range layouts {
		one := l.SVG()
		var w, h float64
		if _, err := fmt.Sscanf(one, svgStart+`role="img" width="%fmm" height="%fmm"`, &w, &h); err != nil {
			return "", fmt.Errorf("draw board %s: %w", l.Board, err)
		}
		line := y + svgEdge
		for i, text := range slices.Concat([]string{"Board " + l.Board, cutWords(l, study.Units)}, cutNotes(l, study)) {
			weight := ""
			if i == 0 {
				weight = ` font-weight="bold"`
			}
			fmt.Fprintf(&body, `<text x="%gmm" y="%.2fmm" font-family="sans-serif" font-size="3.2mm"%s>%s</text>`+"\n", svgEdge, line, weight, xmlText(text))
			line += svgLine
		}
		y = max(y+svgHead, line)
		fmt.Fprintf(&body, `<svg y="%.2fmm" %s`, y, strings.TrimPrefix(one, svgStart))
		y, width = y+h, max(width, w)
	}
	return fmt.Sprintf(svgStart+`width="%gmm" height="%.2fmm">`+"\n<title>%s: cuts</title>\n%s</svg>\n", width, y, xmlText(study.Title), body.String()), nil
}

// xmlText makes a text safe inside an element.
func xmlText(text string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(text)) // a Builder never fails
	return b.String()
}
