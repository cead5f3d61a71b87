package report_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"image"
	"image/png"
	"io"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/plan"
	"soaktag/tracker/report"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
)

var update = flag.Bool("update", false, "write the golden pages anew")

// golden compares a page with the one kept; it is this program's own output
// and no check value.
func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v; write it with go test -update", err)
	}
	if got == string(want) {
		return
	}
	a, b := strings.Split(got, "\n"), strings.Split(string(want), "\n")
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			t.Fatalf("%s, line %d:\n got %.300s\nwant %.300s", name, i+1, a[i], b[i])
		}
	}
	t.Fatalf("%s: %d lines, want %d", name, len(a), len(b))
}

func slideOf(o report.Options) report.Options {
	o.Slide = true
	return o
}

// pages are all that the tests look at, each with its record.
func pages(t testing.TB) map[string]string {
	r, single := demo(t), one(t)
	return map[string]string{
		"demo": written(t, r, ofDemo()), "demo slide": written(t, r, slideOf(ofDemo())),
		"one": written(t, single, ofDemo()), "one slide": written(t, single, slideOf(ofDemo())),
		"empty": written(t, unbroken(t), ofDemo()), "empty slide": written(t, unbroken(t), slideOf(ofDemo())),
		"photographs": written(t, photographed(t), withPhotos(t)),
		"hostile":     written(t, hostile(t), ofDemo()), "hostile slide": written(t, hostile(t), slideOf(ofDemo())),
	}
}

func unbroken(t testing.TB) *tracker.Record {
	return begun(t, demoFile(t, "oar-loft.toml"), demoFile(t, "specimens.csv"))
}

func TestGolden(t *testing.T) {
	r := demo(t)
	golden(t, "demo.html", written(t, r, ofDemo()))
	golden(t, "slide.html", written(t, r, slideOf(ofDemo())))
	golden(t, "one.html", written(t, one(t), ofDemo()))
}

func TestTheSameRecordGivesTheSameBytes(t *testing.T) {
	first, second := pages(t), pages(t)
	for name, page := range first {
		if second[name] != page {
			t.Errorf("%s differs from run to run", name)
		}
	}
}

func TestDemoIsSmall(t *testing.T) {
	if n := len(written(t, demo(t), ofDemo())); n > 300_000 {
		t.Errorf("%d bytes, want at most 300,000", n)
	}
}

func TestNoStudyIsRefused(t *testing.T) {
	if err := report.Write(io.Discard, tracker.NewRecord(plan.Read), ofDemo()); err == nil {
		t.Error("a record without a study gives a report")
	}
}

type full struct{}

var errFull = errors.New("no space left")

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestAFailingWriterIsTold(t *testing.T) {
	if err := report.Write(full{}, one(t), ofDemo()); !errors.Is(err, errFull) {
		t.Errorf("got %v", err)
	}
}

// Nothing may be asked for from outside, and nothing may run.
func TestSelfContained(t *testing.T) {
	outside := regexp.MustCompile(`(?i)https?:|//[a-z]|\bsrc="?[^d"]|<script|<link[^>]+href="[^d]|@import|url\([^#]|<iframe|\son[a-z]+=`)
	for name, page := range pages(t) {
		if name == "hostile" || name == "hostile slide" {
			page = strings.NewReplacer("onload=", "", "src=x", "").Replace(page) // in a name, as text
		}
		if found := outside.FindString(page); found != "" {
			t.Errorf("%s: %q", name, found)
		}
	}
}

func TestNothingBrokenSaysSo(t *testing.T) {
	page := written(t, unbroken(t), ofDemo())
	if !strings.Contains(page, "Nothing has been broken yet.") || strings.Contains(page, "<svg class=\"fig") {
		t.Error("an empty study has figures, or does not say that it is empty")
	}
}

func TestOneSpecimenIsNeverRanked(t *testing.T) {
	page := written(t, one(t), ofDemo())
	for _, want := range []string{"Not ordered: with one specimen", "fell apart</strong>", "bond broke</strong>", "wood broke</strong>",
		"no answer</strong>", "A</li>", "B (6.02 MPa)", "C (≥\u00a09.74 MPa)", "D (≥\u00a03.54 MPa)"} {
		if !strings.Contains(page, want) {
			t.Errorf("%q is missing", want)
		}
	}
	for _, never := range []string{"What was kept", "Who can be told apart", "Ordered by", `class="limit"`, `class="tick"`} {
		if strings.Contains(page, never) {
			t.Errorf("%q is there", never)
		}
	}
}

var svgs = regexp.MustCompile(`(?s)<svg.*?</svg>`)

// A drawn is one element of a figure.
type drawn struct {
	name, class string
	attr        map[string]string
}

// figure reads an SVG with another program's eyes: those of encoding/xml.
func figure(t *testing.T, svg string) (all []drawn, words map[string]string) {
	t.Helper()
	words = map[string]string{}
	inside := ""
	for d := xml.NewDecoder(strings.NewReader(svg)); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return all, words
		}
		if err != nil {
			t.Fatalf("%v in %.200s", err, svg)
		}
		switch x := token.(type) {
		case xml.StartElement:
			e := drawn{name: x.Name.Local, attr: map[string]string{}}
			for _, a := range x.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			e.class = e.attr["class"]
			all, inside = append(all, e), x.Name.Local
		case xml.CharData:
			words[inside] += string(x)
		}
	}
}

func TestFiguresAreWellFormedAndInsideTheirBoxes(t *testing.T) {
	n := 0
	for name, page := range pages(t) {
		for _, svg := range svgs.FindAllString(page, -1) {
			all, words := figure(t, svg)
			if all[0].attr["aria-hidden"] == "true" {
				continue
			}
			n++
			if all[0].attr["role"] != "img" || words["title"] == "" || words["desc"] == "" {
				t.Errorf("%s: a figure without role, title or description: %.200s", name, svg)
			}
			within(t, name, all)
		}
	}
	if n < 20 {
		t.Errorf("%d figures", n)
	}
}

var coordinates = regexp.MustCompile(`-?[0-9.]+`)

func within(t *testing.T, name string, all []drawn) {
	t.Helper()
	box := strings.Fields(all[0].attr["viewBox"])
	w, h := float(t, box[2]), float(t, box[3])
	inside := func(e drawn, x, y float64) {
		if math.IsNaN(x+y) || x < 0 || x > w || y < 0 || y > h {
			t.Errorf("%s, %s: %s %v at %g, %g is outside %g x %g", name, all[1].name, e.name, e.attr, x, y, w, h)
		}
	}
	for _, e := range all[1:] {
		switch e.name {
		case "circle":
			x, y, r := float(t, e.attr["cx"]), float(t, e.attr["cy"]), float(t, e.attr["r"])
			inside(e, x-r, y-r)
			inside(e, x+r, y+r)
		case "rect":
			x, y := float(t, e.attr["x"]), float(t, e.attr["y"])
			inside(e, x, y)
			inside(e, x+float(t, e.attr["width"]), y+float(t, e.attr["height"]))
		case "text":
			inside(e, float(t, e.attr["x"]), float(t, e.attr["y"]))
		case "path":
			numbers := coordinates.FindAllString(e.attr["d"], -1)
			for i := 0; i+1 < len(numbers) && e.class != "hatch"; i += 2 {
				inside(e, float(t, numbers[i]), float(t, numbers[i+1]))
			}
		}
	}
}

func float(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// What a specimen came to is in the shape of its mark, so that it is there
// without any colour.
func TestShapesTellHowItEnded(t *testing.T) {
	r := demo(t)
	want := map[string]int{}
	for _, s := range strength.Results(r).Specimens {
		switch {
		case s.Outcome == strength.WoodLimited:
			want["circle hollow"]++
		case s.Bound == stat.AtLeast:
			want["rect hollow"]++
		case s.Bound == stat.Zero:
			want["path cross"] += 2
		default:
			want["circle full"]++
		}
	}
	want["path hollow"] = want["circle hollow"] + want["rect hollow"] // their arrows
	for _, page := range []string{written(t, r, ofDemo()), written(t, r, slideOf(ofDemo()))} {
		got := map[string]int{}
		svg := svgs.FindAllString(page[strings.Index(page, `aria-labelledby="dots`)-40:], 1)[0]
		all, _ := figure(t, svg)
		for _, e := range all {
			if shape, _, ok := strings.Cut(e.class, " "); ok && slices.Contains([]string{"full", "hollow", "cross"}, shape) {
				got[e.name+" "+shape]++
			}
		}
		if !maps.Equal(got, want) {
			t.Errorf("marks %v, want %v", got, want)
		}
	}
}

// The plot puts comparable adhesives in order and the others below.
func TestOrder(t *testing.T) {
	page := written(t, demo(t), ofDemo())
	var at []int
	for _, key := range []string{">RF<", ">UF<", ">EPX<", ">PVA<", ">soaked: not comparable with the others<", ">PUR<", ">CAS<"} {
		at = append(at, strings.Index(page, key))
	}
	if !slices.IsSorted(at) || at[0] < 0 {
		t.Errorf("order %v", at)
	}
}

// Whatever a person writes is text and nothing else.
func TestEscaping(t *testing.T) {
	for _, o := range []report.Options{ofDemo(), slideOf(ofDemo())} {
		page := written(t, hostile(t), o)
		for _, never := range []string{"<script", "<img", "<b>", "</title><b", "</svg><i", "\x01"} {
			if strings.Contains(page, never) {
				t.Errorf("%q got through", never)
			}
		}
		if !strings.Contains(page, "&lt;script&gt;") {
			t.Error("the title is not on the page")
		}
	}
}

// hostile is a study whose every free text tries to be something else.
func hostile(t testing.TB) *tracker.Record {
	text := strings.NewReplacer(`"Four glues, one block each"`, `'''<script>alert("1 & 2")</script> & "q" </title><b>'''`,
		`"casein"`, `'</svg><img src=x onload=alert(1)>'`, `"epoxy"`, `'"&amp;<b>glue</b>'`, `"sugar maple"`, `'<b>maple & "oak"</b>'`,
		`name = "press"`, `name = '<b>press & "co"</b>'`).Replace(onePlan)
	specimens := "name,adhesive,treatment,board\n\"<b>A & \"\"1\"\"</b>\",A,dry,<i>x\nA2,A,dry,\nA3,A,soaked,'\nA4,A,soaked,\nC1,C,dry,\nC2,C,soaked,\n"
	events := "specimen,stage,at,reading,rig,ended,wood_failure_pct,failure_mode,note\n"
	for i, name := range []string{`"<b>A & ""1""</b>"`, "A2", "A3", "A4", "C1", "C2"} {
		events += fmt.Sprintf("%s,glue-up,2026-03-01T10:0%d:00Z,,,,,,<script>\n", name, i)
		events += fmt.Sprintf("%s,break,2026-03-16T10:0%d:00Z,%d MPa,\"<b>press & \"\"co\"\"</b>\",separated,%d,\"<b>SF & \"\"x\"\"\",\"</svg><i>\"\n", name, i, 9+i, 19*i)
	}
	return imported(t, begun(t, text, specimens), events)
}

// photographed is the example with photographs of fracture faces: one that is
// there, one that is lost, one that is no picture.
func photographed(t testing.TB) *tracker.Record {
	r := demo(t)
	for i, sum := range []string{"a", "b", "c"} {
		sum = strings.Repeat(sum, 64)
		add(t, r, tracker.Event{ID: "photo" + sum, Kind: tracker.Photographed, Code: "RF-S1", Half: 1 + i%2, At: schedule.At(storyEnd),
			Recorded: storyEnd, Photo: sum, PhotoType: "image/png", Note: "raking <light>"})
	}
	return r
}

func withPhotos(t testing.TB) report.Options {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 900, 600))); err != nil {
		t.Fatal(err)
	}
	o := ofDemo()
	o.Photo = func(sum string) ([]byte, error) {
		switch sum[0] {
		case 'a':
			return b.Bytes(), nil
		case 'b':
			return nil, errors.New("damaged")
		}
		return []byte("no picture"), nil
	}
	return o
}

func TestPhotographs(t *testing.T) {
	page := written(t, photographed(t), withPhotos(t))
	for _, want := range []string{`<img src="data:image/jpeg;base64,`, `width="450" height="300" alt="Photograph of RF-S1 (HBR-013-R), half 1: RF soaked`,
		"raking &lt;light&gt;", "cannot be shown here: damaged", "cannot be shown here: neither JPEG nor PNG"} {
		if !strings.Contains(page, want) {
			t.Errorf("%q is missing", want)
		}
	}
	if page = written(t, photographed(t), ofDemo()); !strings.Contains(page, "3 kept in the study are not shown here.") {
		t.Error("photographs that cannot be read are not counted")
	}
}

func TestHeadingsAreInOrder(t *testing.T) {
	heading := regexp.MustCompile(`<h([1-6])`)
	for name, page := range pages(t) {
		last, ones := 0, 0
		for _, m := range heading.FindAllStringSubmatch(page, -1) {
			level := int(m[1][0] - '0')
			if level > last+1 {
				t.Errorf("%s: h%d after h%d", name, level, last)
			}
			if last = level; level == 1 {
				ones++
			}
		}
		if ones != 1 {
			t.Errorf("%s: %d h1", name, ones)
		}
	}
}

func TestIdsAreUnique(t *testing.T) {
	id := regexp.MustCompile(`\sid="([^"]*)"`)
	for name, page := range pages(t) {
		seen := map[string]bool{}
		for _, m := range id.FindAllStringSubmatch(page, -1) {
			if seen[m[1]] {
				t.Errorf("%s: id %s twice", name, m[1])
			}
			seen[m[1]] = true
		}
	}
}

func BenchmarkReport10000(b *testing.B) {
	r := many(b, 499)
	var page bytes.Buffer
	for b.Loop() {
		page.Reset()
		if err := report.Write(&page, r, ofDemo()); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(page.Len())/1e6, "MB")
}

// Whoever waits for a report is told of every step, the last one too.
func TestProgressIsTold(t *testing.T) {
	for _, slide := range []bool{false, true} {
		var told []int
		o := ofDemo()
		o.Slide = slide
		o.Progress = func(done, of int) {
			if told = append(told, done); of != 6 {
				t.Errorf("of %d", of)
			}
		}
		written(t, demo(t), o)
		if !slices.Equal(told, []int{1, 2, 3, 4, 5, 6}) {
			t.Errorf("slide %v: told of steps %v", slide, told)
		}
	}
}
