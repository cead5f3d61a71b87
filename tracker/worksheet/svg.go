package worksheet

import (
	"encoding/xml"
	"fmt"
	"slices"
	"strings"

	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/wording"
)

// The drawing of several boards, in mm.
const (
	svgHead = 16.0 // above each board, for its name and its notes
	svgLine = 4.0  // from one line to the next
	svgEdge = 8.0
)

// svgStart is how a drawing of design begins: its place and height are found
// there.
const svgStart = `<svg xmlns="http://www.w3.org/2000/svg" `

// SVG puts the drawings of layouts below each other, with what is to be known of each.
func SVG(layouts []design.Layout, study *tracker.Study) (string, error) {
	var body strings.Builder
	y, width := 0.0, 0.0
	for _, l := range layouts {
		one := l.SVG()
		var w, h float64
		if _, err := fmt.Sscanf(one, svgStart+`role="img" width="%fmm" height="%fmm"`, &w, &h); err != nil {
			return "", fmt.Errorf("draw board %s: %w", l.Board, err)
		}
		line := y + svgEdge
		for i, text := range slices.Concat([]string{"Board " + l.Board, wording.Layout(l, study.Units)}, cutNotes(l, study)) {
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
