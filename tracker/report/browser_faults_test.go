package report_test

import (
	"regexp"
	"strings"
	"testing"
)

// A flaw is made on purpose in the page without a fault, and must be found.
type flaw struct {
	name, old, put string
	found          string // what is said of it
}

// made is the page with the flaw in it.
func (f flaw) made(t *testing.T, good string) []byte {
	t.Helper()
	if !strings.Contains(good, f.old) {
		t.Fatalf("%s: good.html has no %q", f.name, f.old)
	}
	return []byte(strings.Replace(good, f.old, f.put, 1))
}

func (f flaw) mustBeIn(t *testing.T, faults []string) {
	t.Helper()
	all := strings.Join(faults, "\n")
	if !regexp.MustCompile(f.found).MatchString(all) {
		t.Errorf("%s: no %q in what was found: %q", f.name, f.found, all)
	}
}

// taggedFlaws are seen in the text of the page. Those that mend says are seen
// by the browser too, which mends them.
func taggedFlaws() []flaw {
	return []flaw{
		{"section left open", "</section>", "", `</main> where <section>`},
		{"bold left open", "<li>first", "<li><b>first", `</li> where <b>`},
		{"group of a drawing left open", "<rect", "<g><rect", `</svg> where <g>`},
		{"end without a beginning", "<h2", "</div><h2", `</div> where <section>`},
		{"crossed tags", "first", "<b><i>first</b></i>", `</b> where <i>`},
		{"closed as in XML", "<li>second</li>", "<li>second</li><li/>", `<li/> does not close`},
		{"bare ampersand", "first", "this & that", `not well-formed`},
		{"unquoted attribute", `open=""`, `open`, `not well-formed`},
		{"id twice", `id="d1"`, `id="t1"`, `id "t1" stands 2 times`},
		{"name that is nowhere", `"t1 d1"`, `"t1 d2"`, `points at "d2"`},
		{"picture without words", ` alt="a face"`, "", `<img>: lacks alt`},
		{"block in a paragraph", "<strong>best</strong>", "<div>best</div>", `<div>: may not stand in <p>`},
		{"block in a phrase", "<strong>best</strong>", "<strong><p>best</p></strong>", `<p>: may not stand in <strong>`},
		{"item without a list", "<ul><li>first</li><li>second</li></ul>", "<li>first</li>", `<li>: may stand in ul ol only`},
		{"no item in a list", "<li>first</li>", "<p>first</p>", `<p>: may not stand in <ul>`},
		{"cell without a row", "<tr><th scope=\"row\">A</th><td>4</td></tr>", "<td>4</td>", `<td>: may not stand in <tbody>`},
		{"text between rows", "<tbody>", "<tbody>oops", `<tbody>: holds bare text "oops"`},
		{"caption without a figure", "<figcaption>Figure 1: dots</figcaption></figure>", "</figure><figcaption>dots</figcaption>", `<figcaption>: may stand in figure only`},
		{"link in a link", "first", `<a href="#t1">a<a href="#d1">b</a></a>`, `<a>: may not stand in a link`},
		{"element that is none", "<strong>best</strong>", "<boast>best</boast>", `<boast>: not an element`},
		{"obsolete element", "<strong>best</strong>", "<font>best</font>", `<font>: not an element`},
		{"attribute that is none", "<main>", `<main colour="red">`, `<main>: has colour`},
		{"attribute mistyped", `aria-labelledby="found"`, `aria-labeledby="found"`, `<section>: has aria-labeledby`},
		{"attribute twice", "<main>", `<main class="a" class="b">`, `<main>: has class twice`},
		{"time that is none", `"2026-04-11T12:00:00Z"`, `"yesterday"`, `datetime "yesterday"`},
		{"no title", "<title>A page without a fault</title>", "", `page: has 0 <title>`},
		{"no language", ` lang="en"`, "", `<html>: lacks lang`},
		{"two main parts", "</main>", "</main><main></main>", `page: has 2 <main>`},
		{"letters of HTML in a drawing", ">left<", "><b>left</b><", `<b>: (not an element|may not stand)`},
		{"attribute of a drawing that is none", `stroke="#111"`, `strike="#111"`, `<path>: has strike`},
		{"not a number in a drawing", `cx="50"`, `cx="NaN"`, `<circle>: cx is "NaN"`},
		{"not a number in a path", "M10 60H300", "M10 60HInf", `<path>: d is "M10 60HInf"`},
		{"not a number in words", "<td>4</td>", "<td>NaN MPa</td>", `<td>: says "NaN MPa"`},
		{"negative width", `width="80"`, `width="-80"`, `<rect>: width is "-80"`},
		{"drawing without a name", `<title id="t1">Strength</title>`, "", `<svg>: must begin with a title`},
		{"role on a figure", "<figure>", `<figure role="group">`, `<figure>: has a caption`},
		{"no scope", ` scope="row"`, "", `<th>: lacks scope`},
	}
}

func TestMarkupFlawsAreFound(t *testing.T) {
	good := data(t, "browser/good.html")
	if faults := judgeMarkup([]byte(good)); len(faults) > 0 {
		t.Fatalf("good.html: %s", strings.Join(faults, "\n"))
	}
	for _, f := range taggedFlaws() {
		f.mustBeIn(t, judgeMarkup(f.made(t, good)))
	}
}

// Tidy sees these on its own, which is why it is asked too.
func TestMarkupFlawsAreFoundByTidy(t *testing.T) {
	wanted(t, "HTML checker", "tidy", "tidy")
	good := data(t, "browser/good.html")
	if faults := judgeTidy([]byte(good)); len(faults) > 0 {
		t.Fatalf("good.html: %s", strings.Join(faults, "\n"))
	}
	seen := []string{"section left open", "bold left open", "crossed tags", "block in a paragraph", "picture without words", "element that is none",
		"attribute that is none", "attribute twice", "no title", "cell without a row", "text between rows", "end without a beginning"}
	for _, name := range seen {
		f := flawNamed(t, name)
		f.found = "tidy: "
		f.mustBeIn(t, judgeTidy(f.made(t, good)))
	}
}

func flawNamed(t *testing.T, name string) flaw {
	t.Helper()
	for _, f := range taggedFlaws() {
		if f.name == name {
			return f
		}
	}
	t.Fatalf("no flaw %q", name)
	return flaw{}
}

// laidFlaws are seen in the browser only: several in one page, so that it takes
// no time, where none hides another.
func laidFlaws() [][]flaw {
	end := func(name, put, found string) flaw {
		return flaw{name, "<p>The end.</p>", "<p>The end.</p>" + put, found}
	}
	return [][]flaw{{
		end("paragraph wider than the window", `<p style="width:3000px">wide</p>`, `page is 3\d\d\d px wide`),
		end("table that is scrolled", `<div style="width:50px;overflow-x:auto"><p style="width:90px">x</p></div>`, `div.* shows 50 px of 90 px`),
		end("and who it is", "", `p:nth-of-type\(2\) "wide" reaches out of the window`),
		end("picture from elsewhere", `<img alt="x" width="9" height="9" src="http://127.0.0.1:9/x.png"/>`, `asks for http://127.0.0.1:9/x.png`),
		end("picture that does not come", "", `img shows no picture`),
		end("console error", `<script>console.error("oh")</script>`, `console error: "oh"`),
		end("console warning", `<script>console.warn("oh")</script>`, `console warning: "oh"`),
		end("exception", `<script>nothing.there()</script>`, `exception: `),
		{"drawing wider than its figure", "width: 100%", "width: 150%", `svg.* reaches out of its figure`},
		{"words out of the drawing", `x="20" y="20"`, `x="-20" y="20"`, `"left" reaches out of its drawing`},
		{"mark out of the drawing", `cx="50"`, `cx="319"`, `circle.* reaches out of its drawing`},
		{"block in a paragraph", "<strong>best</strong>", "<div>best</div>", `the browser mends the page`},
	}, {
		{"words over words", `x="300" y="20"`, `x="52" y="22"`, `"le.*" and .*"right" lie over each other`},
		{"mark over words", `cx="50" cy="60"`, `cx="30" cy="15"`, `circle.* lies over .*"le.*"`},
		{"small letters", `font-size="14">left`, `font-size="6" fill="#888">left`, `"le.*" is 6.\d px high`},
		{"words cut short", ">left<", ">le...<", `"le\.\.\." is cut short`},
		{"faint letters", "", "", `"le.*" has a contrast of 3.5`},
		{"marks of one grey", `<circle cx="90" cy="60" r="5" fill="#111"/>`,
			`<circle cx="90" cy="60" r="5" fill="#c00"/><circle cx="110" cy="60" r="5" fill="#17701a"/>`, `differ in hue alone`},
		{"line through words", `<path d="M10 60H300"`, `<path d="M24 5V90M10 60H300"`, `path runs through .*"le.*"|path runs through .*"right"`},
		{"cell without a row", `<tr><th scope="row">A</th><td>4</td></tr>`, "<td>4</td>", `the browser mends the page`},
	}, {
		{"letters on a dark mark", `x="20" y="20"`, `x="45" y="65"`, `"left" has a contrast of 1.\d`},
		{"dark mark", `fill="#ddd"`, `fill="#222"`, "contrast"},
		{"letters of HTML in a drawing", ">right<", "><b>right</b><", `the browser mends the page`},
		{"faint words", `<p>The end`, `<p style="color:#999">The end`, `axe color-contrast: .*p\b.*#999999`},
		{"list that is none for a reader", `<ul>`, `<ul role="button">`, `axe aria-allowed-role: ul`},
		{"words without a language", ` lang="en"`, ``, `axe html-has-lang`},
		{"picture without words", ` alt="a face"`, "", `axe image-alt`},
		{"heading at the foot of a sheet", "<footer>", `<h2 style="break-after:page">Alone</h2><footer>`, `print: "Alone" is the last line of page`},
		{"empty sheet", "<footer>", `<footer style="break-before:page"><p style="break-after:page">x</p><p style="break-after:page;height:1px"></p>`,
			`print: page \d of \d is empty`},
		{"words that cannot be read", "<figcaption>", `<figcaption style="font-size:0">`, `print: "Figure" of "Figure 1: dots" cannot be read`},
	}}
}

// everything is all that the tests of the report look for in a browser.
func (b *tab) everything(page []byte) []string {
	all := append(b.mended(page), b.measure(onScreen)...)
	all = append(all, b.barriers()...)
	_, faults := b.printed("flaw")
	all = append(all, faults...)
	return append(all, b.quiet()...)
}

func TestFlawsAreFoundInABrowser(t *testing.T) {
	if !inFull() {
		t.Skip("proves the judges of pages, not a page: run with SOAKTAG_CI=1")
	}
	wanted(t, "PDF reader", "poppler-utils", "pdftotext")
	browser := browse(t)
	good := data(t, "browser/good.html")
	if faults := open(t, browser, []byte(good)).everything([]byte(good)); len(faults) > 0 {
		t.Fatalf("good.html: %s", strings.Join(faults, "\n"))
	}
	for _, flaws := range laidFlaws() {
		page := []byte(good)
		for _, f := range flaws {
			page = f.made(t, string(page))
		}
		faults := open(t, browser, page).everything(page)
		for _, f := range flaws {
			f.mustBeIn(t, faults)
		}
	}
}
