package tables_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"soaktag/tracker"
	"soaktag/tracker/tables"
)

// Every column that the help lists is read, and every one that is read is listed.
func TestEveryColumnListedIsRead(t *testing.T) {
	r := begun(t)
	listed := map[string]bool{}
	for _, c := range append(tables.EventColumns(), tables.SpecimenColumns(true)...) {
		listed[c.Name] = true
	}
	for name := range readInSource(t) {
		if !listed[name] {
			t.Errorf("column %q is read and not listed", name)
		}
	}
	for _, c := range tables.EventColumns() {
		example := strings.NewReplacer("HBR-017-J", r.Specimens()[3].Code.String()).Replace(c.Example)
		without := rowWith(r, c.Name, "")
		if c.Name == "rig" { // the plan's only one is taken where none is named
			without = rowWith(r, c.Name, "no such rig")
		}
		if with := rowWith(r, c.Name, example); with == without {
			t.Errorf("%s = %q changes nothing: %s", c.Name, example, with)
		} else if strings.Contains(with, "error") {
			t.Errorf("%s = %q: %s", c.Name, example, with)
		}
	}
}

// rowWith tells what a row of the stage that a column belongs to comes to with
// that cell.
func rowWith(r *tracker.Record, column, cell string) string {
	row := map[string]string{"specimen": "EPX-D1", "stage": "cut", "at": "2026-02-21 09:33", "device": "P1"}
	switch column {
	case "stage", "reading", "rig", "ended", "wood_failure_pct", "failure_mode":
		row["stage"], row["reading"], row["rig"], row["ended"] = "break", "4.5 MPa", "press", "stopped"
	case "shallow", "half":
		row["stage"], row["half"], row["wood_failure_pct"] = "faces", "2", "40"
	}
	row[column] = cell
	var head, cells []string
	for name, text := range row {
		head, cells = append(head, name), append(cells, text)
	}
	events, _, err := tables.ReadEvents("e.csv", strings.NewReader(strings.Join(head, ",")+"\n"+strings.Join(cells, ",")+"\n"), r, now)
	if err != nil {
		return "error: " + err.Error()
	}
	text := ""
	for _, e := range events {
		if e.Try != nil {
			text += fmt.Sprintf("%+v %v", *e.Try, e.Try.WoodFailure != nil)
		}
		if e.Faces != nil {
			text += fmt.Sprintf("%+v", *e.Faces)
		}
		e.Try, e.Faces = nil, nil
		text += fmt.Sprintf("%+v", e)
	}
	return text
}

// readInSource finds the columns whose cells this package asks for.
func readInSource(t *testing.T) map[string]bool {
	asked, found := regexp.MustCompile(`(?:r\.get\(|parse\(r, |r\.oneOf\(|im\.time\(r, )"([a-z_]+)"`), map[string]bool{}
	files, err := filepath.Glob("*.go")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range asked.FindAllStringSubmatch(string(text), -1) {
			found[m[1]] = true
		}
	}
	if len(found) < 15 {
		t.Fatalf("found %v", found)
	}
	return found
}

// A column that is nearly one of ours is refused by naming ours; a plain unknown
// one is left out with a warning. What people write over such columns is common
// practice, no published source.
func TestColumnsThatAreNearlyOurs(t *testing.T) {
	r := begun(t)
	read := func(column string, more ...string) (string, string) {
		head := append([]string{"specimen", "stage", "at", column}, more...)
		text := strings.Join(head, ",") + "\nEPX-D1,cut,2026-02-21 09:33" + strings.Repeat(",", len(head)-3) + "\n"
		events, warnings, err := tables.ReadEvents("e.csv", strings.NewReader(text), r, now)
		if err != nil {
			if events != nil {
				t.Errorf("%s: an error and %d events", column, len(events))
			}
			return err.Error(), ""
		}
		return "", strings.Join(warnings, "\n")
	}
	for column, ours := range map[string]string{
		"wood_failure": "wood_failure_pct", "WoodFailure%": "wood_failure_pct", "wood failure": "wood_failure_pct", "wood-failure-pct": "wood_failure_pct",
		"wood_failure_percent": "wood_failure_pct", "wood_falure_pct": "wood_failure_pct", "wodo_failure_pct": "wood_failure_pct", "wf": "wood_failure_pct",
		"mode": "failure_mode", "Failure Mode": "failure_mode", "failuremode": "failure_mode", "failure_mod": "failure_mode",
		"reading_psi": "reading", "Reading (psi)": "reading", "readings": "reading", "gauge reading": "reading", "max load": "reading",
		"bond length": "bond_length", "bond_length_mm": "bond_length", "length": "bond_length", "bond_widht": "bond_width",
		"mass_before": "mass_before_g", "mass after (g)": "mass_after_g", "mass_befor_g": "mass_before_g",
		"plus_minus": "plus_minus_min", "recorded": "recorded_at", "recorded_by": "by", "who": "by",
		"notes": "note", "Comments": "note", "Rigs": "", "outcome": "ended", "devise": "device", "event_id": "id",
	} {
		if failed, _ := read(column); ours != "" && !strings.Contains(failed, "is nearly "+ours+":") {
			t.Errorf("%q: %q, want %s", column, failed, ours)
		}
	}
	for _, column := range []string{"operator", "weather", "temperature", "humidity", "temp", "adhesive", "treatment", "board", "block", "bath",
		"batch", "lot", "grain", "species", "colour", "odd", "pressure", "force", "weight", "mass", "moisture", "glue", "day", "year", "kind", "photo",
		"reason", "corrected_at", "via", "printed", "checked", "bond", "side", "ring", "week", "location", "result", "state", "clamp", "thickness",
		"humidity_pct", "position", "x", "", "order", "price", "supplier", "link", "area"} {
		failed, warned := read(column)
		if failed != "" || !strings.Contains(warned, "unknown columns are not read: \""+column+"\"") {
			t.Errorf("%q: refused %q, warned %q", column, failed, warned)
		}
	}
	if failed, warned := read("mode", "failure_mode"); failed != "" || !strings.Contains(warned, `"mode"`) {
		t.Errorf("beside ours: refused %q, warned %q", failed, warned)
	}
	if failed, _ := read("glueup"); !strings.Contains(failed, `column "glueup" is a stage: write a row for each stage`) {
		t.Errorf("a stage as column: %q", failed)
	}
	_, _, err := tables.ReadEvents("e.csv", strings.NewReader("Code,Step,Date\nEPX-D1,cut,2026-02-21 09:33\n"), r, now)
	if err == nil || strings.Contains(err.Error(), "missing") || strings.Count(err.Error(), "is nearly") != 3 {
		t.Errorf("required ones: %v", err)
	}
	_, _, err = tables.ReadSpecimens("s.csv", strings.NewReader("mark,glue,treatments,plank\na,RF,dry,A\n"), r.Study())
	if err == nil || strings.Count(err.Error(), "is nearly") != 4 {
		t.Errorf("specimens: %v", err)
	}
}

// Fracture faces come in by table as well, the half beside the specimen or in it.
func TestFacesInATable(t *testing.T) {
	r := begun(t)
	const head = "specimen,half,stage,at,wood_failure_pct,failure_mode,shallow\n"
	events := mustRead(t, r, head+"EPX-D1,1,faces,2026-03-20 10:00,35,CF,\nepx-d1/2,,Faces,2026-03-20 10:00,40 %,,yes\n")
	if len(events) != 2 || events[0].Kind != tracker.FacesRead || events[0].Half != 1 || *events[0].Faces != (tracker.Faces{WoodFailure: 35, Mode: "CF"}) ||
		events[1].Half != 2 || *events[1].Faces != (tracker.Faces{WoodFailure: 40, Shallow: true}) {
		t.Errorf("%+v", events)
	}
	for row, want := range map[string]string{
		"EPX-D1,,faces,2026-03-20 10:00,35,,":    "faces are of one half",
		"EPX-D1/2,1,faces,2026-03-20 10:00,35,,": "names half 2",
		"EPX-D1,3,faces,2026-03-20 10:00,35,,":   "neither 1 nor 2",
		"EPX-D1,1,faces,2026-03-20 10:00,,CF,":   "faces want wood_failure_pct",
		"EPX-D1,1,faces,2026-03-20 10:00,140,,":  "not a percentage",
		"EPX-D1,1,faces,2026-03-20 10:00,40,,so": "neither yes nor no",
		"EPX-D1,,cut,2026-03-20 10:00,,,yes":     "shallow belongs to stage faces",
		"EPX-D1,,cut,2026-03-20 10:00,40,,":      "wood_failure_pct belongs to stage break or faces",
	} {
		if _, _, err := tables.ReadEvents("f.csv", strings.NewReader(head+row+"\n"), r, now); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %s", row, err, want)
		}
	}
	if ids := []string{events[0].ID, events[1].ID}; slices.Contains(ids, "") || ids[0] == ids[1] {
		t.Errorf("ids %v", ids)
	}
}

// A stage is the same in every spelling that leaves no doubt.
func TestStagesInATable(t *testing.T) {
	r := begun(t)
	first := ""
	for _, word := range []string{"glue-up", "glue up", "glueup", "Glue-Up", "GLUE_UP"} {
		events := mustRead(t, r, "specimen,stage,at\nEPX-D1,"+word+",2026-02-21 16:00\n")
		if first == "" {
			first = events[0].ID
		}
		if events[0].Stage != "glue-up" || events[0].ID != first {
			t.Errorf("%q is %q", word, events[0].Stage)
		}
	}
	for word, want := range map[string]string{"clampremoval": "clamp removal", "lift out": "lift-out", "liftout 2": "lift-out 2", "Immersion": "immersion"} {
		if events := mustRead(t, r, "specimen,stage,at\nEPX-S1,"+word+",2026-02-21 16:00\n"); string(events[0].Stage) != want {
			t.Errorf("%q is %q", word, events[0].Stage)
		}
	}
}

// A force under a gauge of pressure is taken, with a warning of its line.
func TestAReadingThatTheGaugeCannotShow(t *testing.T) {
	r := begun(t)
	dial := r.Study().Rigs[0].Gauge.Span.Unit
	for reading, warns := range map[string]bool{"4.5 MPa": false, "650 psi": false, "7 kN": true} {
		text := "specimen,stage,at,reading,ended\nEPX-D1,break,2026-03-17 10:00," + reading + ",separated\n"
		events, warnings, err := tables.ReadEvents("e.csv", strings.NewReader(text), r, now)
		if said := strings.Join(warnings, "\n"); err != nil || len(events) != 1 || warns != strings.Contains(said, "e.csv:2: reading \""+reading+"\" is of another kind than the gauge of press, which is marked in "+dial) {
			t.Errorf("%s: %v, warnings %q", reading, err, said)
		}
	}
}

// A missing column is reported once, not on every line; what cannot be is refused
// or warned of where it stands.
func TestWhatCannotBeInATable(t *testing.T) {
	r := begun(t)
	for text, want := range map[string]string{
		"specimen\nEPX-D1\nEPX-D2\n":                                         "e.csv:1: column \"stage\" is missing\ne.csv:1: column \"at\" is missing",
		"specimen,stage,at,mass_before_g\nEPX-D1,cut,2026-02-21 09:33,1e9\n": "e.csv:2: mass_before_g: \"1e9\" is over 100 kg; it is meant in grams",
		"specimen,stage,at,mass_before_g\nEPX-D1,cut,2026-02-21 09:33,inf\n": "e.csv:2: mass_before_g: \"inf\" is over 100 kg; it is meant in grams",
	} {
		if _, _, err := tables.ReadEvents("e.csv", strings.NewReader(text), r, now); err == nil || err.Error() != want {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
	text := "specimen,stage,at,recorded_at\nEPX-D1,cut,2026-02-21 09:33,2026-02-20 09:33\n"
	if _, warnings, err := tables.ReadEvents("e.csv", strings.NewReader(text), r, now); err != nil || len(warnings) != 1 || warnings[0] != "e.csv:2: recorded_at is before at: written down before it happened" {
		t.Errorf("%v, %q", err, warnings)
	}
}
