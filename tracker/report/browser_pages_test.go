package report_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"soaktag/tracker"
)

// A sheet is a report as somebody opens it.
type sheet struct {
	name  string
	page  []byte
	slide bool
	brief bool // only its words differ from another's, and are very long: asked for barriers once
}

func sheets(t *testing.T) []sheet {
	t.Helper()
	page, slide := ofDemo(), ofDemo()
	slide.Slide = true
	loft, single, names := demo(t), one(t), longNames(t)
	return append(append(mendedSheets(t), unrulySheets(t)...), []sheet{
		{"loft", []byte(written(t, loft, page)), false, false}, {"loft-slide", []byte(written(t, loft, slide)), true, false},
		{"single", []byte(written(t, single, page)), false, false}, {"single-slide", []byte(written(t, single, slide)), true, false},
		{"names", []byte(written(t, names, page)), false, true}, {"names-slide", []byte(written(t, names, slide)), true, true},
	}...)
}

// longNames is the demo study under names that are long, or would be tags if
// they were not written with care.
func longNames(t *testing.T) *tracker.Record {
	t.Helper()
	renamed := strings.NewReplacer("New edges for oar blades", "<script>alert(1)</script> & <b>new</b> edges",
		`"one-part polyurethane"`, `"one-part moisture-curing polyurethane, foaming"`, `"epoxy"`, `"epoxy <i>&amp;</i> \"filler\""`)
	return imported(t, begun(t, renamed.Replace(demoFile(t, "oar-loft.toml")), demoFile(t, "specimens.csv")), demoFile(t, "events.csv"))
}

// Everything that can be said of a report without a browser.
func TestReportKeepsTheRulesOfMarkup(t *testing.T) {
	for _, s := range sheets(t) {
		for _, fault := range judgeMarkup(s.page) {
			t.Errorf("%s: %s", s.name, fault)
		}
	}
}

// Letters in a drawing must be at least so high, in pixels: on a phone, on a
// screen, and on a wall 1920 pixels wide for somebody in the last row. A slide
// is a picture of one form: on a phone it is small, and may be.
const (
	onPhone  = 9
	onScreen = 11
	onWall   = 18
)

// A report opens in a real browser without a word of complaint, reads well on
// a phone, a screen, a projector and paper, and needs nothing from outside.
// Without SOAKTAG_CI only the demo's page and slide, on a phone, a screen and
// paper.
func TestReportInABrowser(t *testing.T) {
	wanted(t, "HTML checker", "tidy", "tidy")
	wanted(t, "PDF reader", "poppler-utils", "pdftotext")
	browser := browse(t)
	for _, s := range sheets(t) {
		if inFull() || slices.Contains([]string{"loft", "loft-slide"}, s.name) {
			t.Run(s.name, func(t *testing.T) { s.inABrowser(open(t, browser, s.page)) })
		}
	}
}

func (s sheet) inABrowser(b *tab) {
	b.finds("as written", judgeTidy(s.page), b.mended(s.page))
	for _, width := range []int64{360, 1280, 1920} {
		if width == 1920 && !inFull() {
			continue
		}
		name := fmt.Sprintf("%s-%d", s.name, width)
		b.window(width, width*9/16)
		b.finds(name, s.bearable(b.measure(s.smallest(width))))
		if !s.brief && inFull() || width == 360 {
			b.finds(name, b.barriers())
		}
		if s.slide && width > 360 {
			b.finds(name, b.fitsOneWindow())
		}
		b.shoot(name)
	}
	s.onPaper(b)
	b.finds("after all", b.quiet())
}

// onPaper looks at the page as it is printed on A4, and without its colours.
func (s sheet) onPaper(b *tab) {
	b.window(718, 1047) // A4 within margins of 1 cm, at 96 pixels an inch
	if s.slide {
		b.window(1280, 720) // its paper has its own form
	}
	b.media("print")
	b.finds("print", s.bearable(b.measure(onPhone)))
	pages, faults := b.printed(s.name)
	b.finds("print", faults)
	if s.slide && pages != 1 {
		b.Errorf("print: the slide takes %d pages", pages)
	}
	b.grey(true)
	b.shoot(s.name + "-grey")
	b.grey(false)
	b.media("")
}

// smallest is how high letters in a drawing must be, in pixels.
func (s sheet) smallest(width int64) float64 {
	switch {
	case s.slide:
		return onWall * float64(width) / 1920
	case width == 360:
		return onPhone
	}
	return onScreen
}

// bearable leaves out that very long names are cut short in a drawing: they
// stand in full beside it.
func (s sheet) bearable(faults []string) []string {
	return slices.DeleteFunc(faults, func(f string) bool { return s.brief && strings.HasSuffix(f, "is cut short") })
}

// finds fails the test for each fault.
func (b *tab) finds(where string, lists ...[]string) {
	b.Helper()
	for _, list := range lists {
		for _, fault := range list {
			b.Errorf("%s: %s", where, fault)
		}
	}
}
