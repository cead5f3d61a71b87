package report_test

import (
	"regexp"
	"strings"
	"testing"
	"time"

	"soaktag/tracker"
)

const longWord = "Resorcin-Phenol-Formaldehydkondensationsharzleim"

// unruly is a study whose names are what people may well write, and worse: a
// long word, a title without a space, a mark that turns the line around,
// another alphabet; and one of its kinds is solid wood.
func unruly(t testing.TB) *tracker.Record {
	text := strings.NewReplacer(`"Four glues, one block each"`, `"`+strings.Repeat("Holz", 60)+`"`,
		`"casein"`, `"`+longWord+`"`, `"urea-formaldehyde"`, "\"\u202Eyxope\u200F\"", `"epoxy"`, `"שלום עולם"`,
		"name = \"hide glue\"", "name = \"sawn from the board\"\nsolid_wood = true").Replace(fourPlan())
	return some(t, text, map[string][]string{
		"A": {"9", "9.4", "9.2", "fell apart"}, "B": {"wood 6.1", "6.4", "fell apart", "7"}, "C": {"3", "3.2", "3.1", "3.3"}, "D": {"10", "10.4", "10.1"},
	})
}

func unrulySheets(t *testing.T) []sheet {
	r := unruly(t)
	return []sheet{{"unruly", []byte(written(t, r, ofDemo())), false, true}, {"unruly-slide", []byte(written(t, r, slideOf(ofDemo()))), true, true}}
}

// Nothing that turns the direction of writing reaches the page, and what is
// written from the right stands between isolates (Unicode UAX #9).
func TestNoHiddenCharacters(t *testing.T) {
	r := unruly(t)
	for _, page := range []string{written(t, r, ofDemo()), written(t, r, slideOf(ofDemo()))} {
		if at := regexp.MustCompile(`.{0,30}[\x00-\x08\x0B-\x1F\x7F-\x9F\x{200E}\x{200F}\x{061C}\x{202A}-\x{202E}\x{2066}\x{2067}\x{FEFF}].{0,30}`).FindString(page); at != "" {
			t.Errorf("%q", at)
		}
		if bare := regexp.MustCompile(`[^\x{2068}]שלום|עולם[^\x{2069}]`).FindString(page); bare != "" {
			t.Errorf("not isolated: %q", bare)
		}
		mustHold(t, page, "\u2068שלום עולם\u2069", "yxope")
	}
}

// A figure may cut a name; it then has the whole as its title, and the page
// has all names beside their keys.
func TestNamesAreFoundInFull(t *testing.T) {
	r := unruly(t)
	mustHold(t, written(t, r, ofDemo()), "<strong>A</strong>:\u00a0<bdi>"+longWord+"</bdi>", "<title>"+longWord+"</title>")
	mustHold(t, written(t, r, slideOf(ofDemo())), "<title>"+longWord+"</title>")
}

// Solid wood is the yardstick: lines and a share that it kept, no rival, and
// nothing of it is a bond.
func TestSolidWoodIsTheYardstick(t *testing.T) {
	page := written(t, unruly(t), ofDemo())
	mustHold(t, page, ">solid wood, dry 11.2</text>", ">solid wood, soaked 9.0</text>", "Published for sugar maple",
		`<th scope="row">solid wood</th><td data-label="treatment">soaked</td><td class="n fold" data-label="n">3 from 2 blocks</td><td class="n none" data-label="bond broke">0</td><td class="n" data-label="wood first">3</td>`,
		`<th scope="row">solid wood</th><td data-label="treatment">soaked</td><td class="n" data-label="kept, %"><data value="`, `<td data-label="ended">the wood broke</td>`)
	if rival := regexp.MustCompile(`D / [A-C]|[A-C] / D|>D</text>`).FindString(page); rival != "" {
		t.Errorf("%q", rival)
	}
}

// What was kept is told of the survivors, and of how many.
func TestKeptOfTheSurvivors(t *testing.T) {
	page := written(t, some(t, fourPlan(), map[string][]string{"A": {"6", "fell apart", "7", "fell apart"}, "B": {"6", "7", "8", "9"}}), ofDemo())
	mustHold(t, page, `soaked <span class="quiet">of the survivors; 2 of 4 fell apart, with these as 0 `,
		">of the survivors; 2 of 4 fell apart, with these as 0", ", of the survivors; 2 of 4 fell apart")
}

// A page on a past moment does not say that the log ended there.
func TestAsItStood(t *testing.T) {
	o := ofDemo()
	o.AsOf = time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
	r := demo(t).AsOf(o.AsOf)
	page := written(t, r, o)
	mustHold(t, page, "as it stood on 1 March 2026, 12:00 GMT; the log has 437 events in all, head hash "+o.Head)
	mustHold(t, written(t, r, slideOf(o)), "as it stood on 1 March 2026, 12:00 GMT")
	if strings.Contains(page, "from a log of") || strings.Contains(written(t, demo(t), ofDemo()), "as it stood") {
		t.Error("the moment is told where there is none, or the log as if it ended there")
	}
}
