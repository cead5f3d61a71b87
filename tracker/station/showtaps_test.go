package station

import (
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/tracker/intake"
)

// TestTapsAreTaken taps every button of the pages that records something, each on a
// study of its own: the station takes what it says.
func TestTapsAreTaken(t *testing.T) {
	living := func(t *testing.T) *bench { return lived(t, smallPlan, nil) }
	for name, study := range map[string]func(*testing.T) *bench{"lived": living, "watered": watered} {
		t.Run(name, func(t *testing.T) {
			taps, looker := map[string]string{}, study(t).paired("Ann")
			for _, path := range shownPages {
				_, page := looker.get("/show/" + path)
				maps.Copy(taps, entriesOf(t, page))
			}
			for entry, asks := range taps {
				ann := study(t).paired("Ann")
				_, body := ann.post("/take", fmt.Sprintf(entry, "0d4f1c2a-7d2e-4c55-9d5e-0123456789ab", ann.clock().UnixMilli()))
				var answer struct {
					State    string
					Recorded int
				}
				if err := json.Unmarshal([]byte(body), &answer); err != nil || answer.State == "bad" || answer.Recorded == 0 {
					t.Errorf("%s, %s: %v %s", asks, entry, err, body)
				}
			}
			all := strings.Join(slices.Collect(maps.Values(taps)), "; ")
			for _, want := range map[string][]string{
				"lived":   {"lift-out of 1 specimen of bath B2?", "HBR-004-V: fell apart?", "HBR-004-V: withdrawn?", "HBR-006-R: found?", "bath B2 water", "HBR-004-V mass_before", "HBR-004-V mass_after"},
				"watered": {"water change of bath B1?", "lift-out of 2 specimens of bath B1?", "HBR-003-X: lost?"},
			}[name] {
				if !strings.Contains(all, want) {
					t.Errorf("no button asks %q: %s", want, all)
				}
			}
		})
	}
}

// watered is the small study with specimens in baths whose water is to be changed.
func watered(t *testing.T) *bench {
	t.Helper()
	plan := strings.Replace(smallPlan, `state = "wet"`, "state = \"wet\"\nwater_change = \"36 h +/- 12 h\"", 1)
	b := benchOf(t, begun(t, plan, dealt()))
	b.record(noon, "", intake.Stage{Subjects: []string{"1-8"}, Name: "glue-up"})
	b.record(noon.Add(24*time.Hour), "", intake.Stage{Subjects: []string{"1-8"}, Name: "clamp removal"})
	b.record(noon.Add(8*24*time.Hour), "", intake.Stage{Subjects: []string{"3", "4", "7", "8"}, Name: "immersion"})
	b.pass(40 * time.Hour)
	return b
}

// entriesOf are the entries that the buttons of a page stand for, without id and time.
func entriesOf(t *testing.T, page string) map[string]string {
	t.Helper()
	all := map[string]string{}
	d := xml.NewDecoder(strings.NewReader("<page>" + empty.ReplaceAllString(loose.Replace(page), "<$1$2/>") + "</page>"))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return all
		}
		if err != nil {
			t.Fatal(err)
		}
		e, _ := token.(xml.StartElement)
		at := map[string]string{}
		for _, a := range e.Attr {
			at[a.Name.Local] = a.Value
		}
		switch {
		case at["data-accept"] != "":
			all[fmt.Sprintf(`{"id":"%%s","n":1,"at":%%d,"kind":"accept","accept":{"subject":%q,"rule":%q}}`, at["data-subject"], at["data-accept"])] = at["data-ask"]
		case at["data-measure"] != "":
			all[fmt.Sprintf(`{"id":"%%s","n":1,"at":%%d,"kind":"measure","measure":{"subject":%q,"name":%q,"value":"21.5 %s"}}`, at["data-measure"], at["data-name"], at["data-unit"])] = at["data-measure"] + " " + at["data-name"]
		case at["data-line"] != "":
			all[fmt.Sprintf(`{"id":"%%s","n":1,"at":%%d,"kind":"line","line":%q,"stage":%q}`, at["data-line"], at["data-stage"])] = at["data-ask"]
		case at["data-ended"] != "":
			all[fmt.Sprintf(`{"id":"%%s","n":1,"at":%%d,"kind":"ended","ended":{"subject":%q,"how":%q}}`, at["data-subject"], at["data-ended"])] = at["data-ask"]
		}
	}
}
