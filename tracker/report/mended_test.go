package report_test

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"soaktag/schedule"
	"soaktag/tracker"
)

// some is a study of four adhesives, dry and soaked, whose soaked specimens
// ended as given, in order: a strength in MPa, "fell apart" or "wood 9.1".
func some(t testing.TB, planText string, ends map[string][]string) *tracker.Record {
	t.Helper()
	specimens, events := "name,adhesive,treatment,board,bonded_block\n", "specimen,stage,at,reading,rig,ended,wood_failure_pct\n"
	for _, a := range []string{"A", "B", "C", "D"} {
		for i, end := range ends[a] {
			for k, kind := range []string{"dry", "soaked"} {
				name := fmt.Sprintf("%s%d%s", a, i, kind[:1])
				specimens += fmt.Sprintf("%s,%s,%s,,%s\n", name, a, kind, fmt.Sprintf("%s%s%d", a, kind, i/2*2))
				at := func(day int) string { return fmt.Sprintf("2026-03-%02dT10:%02d:00Z", day, 5*i+k) }
				row := func(stage string, day int, rest string) {
					events += name + "," + stage + "," + at(day) + "," + rest + "\n"
				}
				row("glue-up", 1, ",,,")
				row("clamp removal", 2, ",,,")
				if kind == "soaked" {
					row("immersion", 9, ",,,")
					row("lift-out", 16, ",,,")
				}
				row("break", 16, ended(kind, end, i))
			}
		}
	}
	return imported(t, begun(t, planText, specimens), events)
}

func ended(kind, end string, i int) string {
	switch {
	case kind == "dry":
		return fmt.Sprintf("%g MPa,press,separated,20", 12+float64(i)/2)
	case end == "fell apart":
		return ",,fell apart,"
	case strings.HasPrefix(end, "wood "):
		return strings.TrimPrefix(end, "wood ") + " MPa,press,separated,95"
	}
	return end + " MPa,press,separated,20"
}

var fourEach = map[string][]string{
	"A": {"fell apart", "fell apart", "fell apart"},
	"B": {"wood 6.1", "6.4", "fell apart", "7"},
	"C": {"0.2", "9", "4", "11"},
	"D": {"1", "14"},
}

const metric, inches = `bond = "40 mm x 45 mm"`, `bond = "1 1/2 in x 1 3/4 in"`

func fourPlan() string { return strings.ReplaceAll(onePlan, "replicates = 1", "replicates = 4") }

func mustHold(t *testing.T, page string, wanted ...string) {
	t.Helper()
	for _, want := range wanted {
		if !strings.Contains(page, want) {
			t.Errorf("%q is missing", want)
		}
	}
}

// A plan in inches is told in psi throughout, and what other programs read is
// what it was in MPa. A reading stays as it stood on the dial.
func TestAPlanInInchesIsToldInPsi(t *testing.T) {
	text := strings.Replace(fourPlan(), metric, inches, 1)
	r := some(t, text, fourEach)
	page, slide := written(t, r, ofDemo()), written(t, r, slideOf(ofDemo()))
	mustHold(t, page, "shear strength, psi", "in numbers, psi", "1.5 in × 1.75 in as planned", "wood, dry 2330", "ram 2.47 in²")
	mustHold(t, slide, "shear strength, psi", "wood, dry 2330")
	unitless := regexp.MustCompile(`1 MPa is|(gauge to|divided by) [^,;]*MPa|to know:">[0-9.]+ MPa`).ReplaceAllString(page+slide, "")
	for _, at := range regexp.MustCompile(`.{0,60}MPa`).FindAllString(unitless, -1) {
		t.Errorf("MPa in %q", at)
	}
	for _, m := range regexp.MustCompile(`data-label="strength">[^<]*<data value="([^"]*)">([^<]*)<`).FindAllStringSubmatch(page, -1) {
		mpa, err := strconv.ParseFloat(m[1], 64)
		psi, err2 := strconv.ParseFloat(m[2], 64)
		if err != nil || err2 != nil || math.Abs(mpa*145.0377-psi) > 0.51 {
			t.Errorf("%s MPa is shown as %s psi", m[1], m[2])
		}
	}
}

func TestNoStrengthBelowZero(t *testing.T) {
	page := written(t, some(t, fourPlan(), fourEach), ofDemo())
	mustHold(t, page, "* The interval would begin below 0: too few specimens, or too unlike, to tell.", ">0</data>* to ")
	if shown := regexp.MustCompile(`>−\d[^<]*</data>`).FindString(page); shown != "" {
		t.Errorf("%q on the page", shown)
	}
}

// Where fewer count, or fewer blocks, the row says so; of what all fell apart
// nothing survived that a mean could be of.
func TestCountsStandBesideTheirNumbers(t *testing.T) {
	r := some(t, fourPlan(), fourEach)
	page, slide := written(t, r, ofDemo()), written(t, r, slideOf(ofDemo()))
	mustHold(t, page, "3 of 4 from 2 blocks", "all 3 fell apart", "0: all 3 fell apart", "A soaked, n 3, all 3 fell apart")
	mustHold(t, slide, ">all 3 fell apart</text>")
}

// The stronger of a pair stands first in table, words and figure.
func TestPairsStandStrongerFirst(t *testing.T) {
	page := written(t, demo(t), ofDemo())
	mustHold(t, page, `EPX / PVA</th><td class="n" data-label="ratio"><data value="1.6039020405160345">1.60</data>`, "UF / PVA: 1.69 (1.24 to 2.32), told apart",
		"at most\u00a0<data", "up to <data", "from <data")
	for _, m := range regexp.MustCompile(`data-label="ratio"><data value="[^"]*">([^<]*)<`).FindAllStringSubmatch(page, -1) {
		if strings.HasPrefix(m[1], "0.") {
			t.Errorf("ratio %s", m[1])
		}
	}
}

func TestAnEmptyStudyIsShort(t *testing.T) {
	page := written(t, unbroken(t), ofDemo())
	mustHold(t, page, "40 mm × 45 mm as planned, spread 200 g/m²", "ram 15.94 cm², gauge to 25 MPa, divided by 0.2 MPa, class 1.6 % of its span", "water of 20 °C ± 5 °C")
	for _, never := range []string{"Student", "Tukey", "Fitted median", "likelihood"} {
		if strings.Contains(page, never) {
			t.Errorf("%q is there", never)
		}
	}
}

func TestOneSpecimenHasNoFit(t *testing.T) {
	page := written(t, one(t), ofDemo())
	for _, never := range []string{">a bound<", "only a lower bound is known"} {
		if strings.Contains(page, never) {
			t.Errorf("%q is there", never)
		}
	}
	slide := written(t, one(t), slideOf(ofDemo()))
	if found := regexp.MustCompile(`<h1[^>]*>([^<]*)`).FindStringSubmatch(slide)[1]; !strings.HasPrefix(found, "Soaked: ") {
		t.Errorf("the slide begins with %q", found)
	}
}

func TestManySpecimensAreNotListedAndItSaysSo(t *testing.T) {
	mustHold(t, written(t, many(t, 13), ofDemo()), "The 260 specimens are too many to be listed here one by one")
}

// What went by an amended plan shows both plans.
func TestAnAmendedPlanIsShown(t *testing.T) {
	r := begun(t, demoFile(t, "oar-loft.toml"), demoFile(t, "specimens.csv"))
	text := strings.Replace(demoFile(t, "oar-loft.toml"), `soak          = "7 d`, `soak          = "6 d`, 1)
	start := storyEnd.AddDate(0, -3, 1)
	add(t, r, tracker.Event{ID: "amended", Kind: tracker.PlanAmended, At: schedule.At(start), Recorded: start, Plan: []byte(text), Reason: "less time"})
	imported(t, r, demoFile(t, "events.csv"))
	page := written(t, r, ofDemo())
	mustHold(t, page, "planned 6 d ± 4 h, first planned 7 d ± 4 h", `class="first"`, "first planned, before the plan was amended")
	if strings.Contains(written(t, demo(t), ofDemo()), "first planned") {
		t.Error("a plan that was not amended shows two")
	}
}

// Every cell of a table names its column, for a page too narrow for columns.
func TestCellsNameTheirColumns(t *testing.T) {
	for name, page := range pages(t) {
		if bare := regexp.MustCompile(`<td(?: class="[^"]*")?>`).FindString(page); bare != "" {
			t.Errorf("%s: %s has no label", name, bare)
		}
	}
}

func mendedSheets(t *testing.T) []sheet {
	psi := some(t, strings.Replace(fourPlan(), metric, inches, 1), fourEach)
	return []sheet{{"psi", []byte(written(t, psi, ofDemo())), false, false}, {"psi-slide", []byte(written(t, psi, slideOf(ofDemo()))), true, false}}
}
