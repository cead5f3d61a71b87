package worksheet

import (
	"strings"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

// Faces names the sheet of the work that has no stage of its own: reading the
// fracture faces.
const Faces = "faces"

const facesWork schedule.Stage = Faces

// OfFaces is the sheet for the fracture faces, where the word means them: every
// half that waits to be read, in the random order in which soaktag faces asks for
// them, so that the sheet can be typed in from top to bottom. It names no adhesive.
func OfFaces(rec *tracker.Record, word string) (ws Sheet, ok bool) {
	if !labels.SameName(word, string(facesWork)) {
		return Sheet{}, false
	}
	study := rec.Study()
	ws = Sheet{Title: study.Title, Stage: string(facesWork), Boxes: tracker.WorkOf(facesWork).Boxes, Units: study.Units, Page: rec.Paper(),
		Caution: "Mode: " + modeNames() + ". " + Caution(string(facesWork), study.Units)}
	for i, half := range rec.FacesQueue() {
		ws.Rows = append(ws.Rows, Row{Order: i + 1, Code: half})
	}
	return ws, true
}

// modeNames lists the failure modes as they are written, with what they mean.
func modeNames() string {
	var names []string
	for _, m := range tracker.Modes() {
		names = append(names, strings.TrimSpace(m.Name+" "+m.Where))
	}
	return strings.Join(names, ", ")
}
