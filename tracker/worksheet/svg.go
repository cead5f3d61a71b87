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

// SVG puts the drawings of layouts below each other, with what is to be known of each.
func SVG(layouts []design.Layout, study *tracker.Study) string {
	var body strings.Builder
	y := 0.0
	for _, l := range layouts {
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
		drawn, height := boardSVG(l, y)
		body.WriteString(drawn)
		y += height
	}
	return fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="%gmm" height="%.2fmm">`+"\n<title>%s: cuts</title>\n<metadata>soaktag</metadata>\n%s</svg>\n",
		paperWidth, y, xmlText(study.Title), body.String())
}

// xmlText makes a text safe inside an element.
func xmlText(text string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(text)) // a Builder never fails
	return b.String()
}
