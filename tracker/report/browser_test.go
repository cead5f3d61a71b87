package report_test

import (
	"context"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	browserlog "github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// inFull reports whether everything must hold, as before a change counts:
// SOAKTAG_CI=1, which .ci/run sets. Otherwise long tests look at a part.
func inFull() bool { return os.Getenv("SOAKTAG_CI") == "1" }

// wanted skips the test where a program is missing, and fails it where all
// must be there (SOAKTAG_CI=1).
func wanted(t *testing.T, what, install string, names ...string) string {
	t.Helper()
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	if inFull() {
		t.Fatalf("no %s (%s): apt-get install %s", what, strings.Join(names, ", "), install)
	}
	t.Skipf("no %s (%s): apt-get install %s", what, strings.Join(names, ", "), install)
	return ""
}

// browse starts a browser that nobody sees, with nothing from an earlier run,
// and ends it with the test. It can reach no other machine.
func browse(t *testing.T) context.Context {
	t.Helper()
	path := wanted(t, "browser", "chromium fonts-dejavu-core", "chromium", "chromium-browser", "google-chrome")
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU)
	for _, flag := range []string{"disable-quic", "disable-component-update", "no-pings", "hide-scrollbars"} {
		options = append(options, chromedp.Flag(flag, true))
	}
	options = append(options, chromedp.Flag("host-resolver-rules", "MAP * ~NOTFOUND"))
	limited, stop := context.WithTimeout(context.Background(), 3*time.Minute)
	allocator, free := chromedp.NewExecAllocator(limited, options...)
	t.Cleanup(func() { free(); stop() })
	ctx, end := chromedp.NewContext(allocator)
	t.Cleanup(end)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("%s does not start: %v", path, err)
	}
	return ctx
}

// A tab holds one page and what it said and asked for since it was opened.
type tab struct {
	*testing.T
	ctx  context.Context
	file string

	heard sync.Mutex
	said  []string
}

// open writes the page to a file and opens that.
func open(t *testing.T, browser context.Context, page []byte) *tab {
	t.Helper()
	ctx, end := chromedp.NewContext(browser)
	t.Cleanup(end)
	b := &tab{T: t, ctx: ctx, file: filepath.Join(t.TempDir(), "report.html")}
	if err := os.WriteFile(b.file, page, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := chromedp.Listen(ctx, b.hear); err != nil {
		t.Fatal(err)
	}
	b.window(1280, 720)
	b.do(chromedp.Navigate(b.address()))
	return b
}

func (b *tab) address() string {
	return (&url.URL{Scheme: "file", Path: filepath.ToSlash(b.file)}).String()
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	if err := chromedp.Do(b.ctx, steps...); err != nil {
		b.Fatal(err)
	}
}

func (b *tab) window(width, height int64) {
	b.Helper()
	b.do(chromedp.EmulateViewport(width, height))
}

// eval has the page compute a value.
func eval[T any](b *tab, script string) T {
	b.Helper()
	await := func(p *runtime.EvaluateParams) { yes := true; p.AwaitPromise = &yes }
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](script, await))
	if err != nil {
		b.Fatal(err)
	}
	return v
}

// hear keeps what a page should not do: complain, fail, ask for more.
func (b *tab) hear(event any) {
	b.heard.Lock()
	defer b.heard.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		if e.Request.URL != b.address() && !strings.HasPrefix(e.Request.URL, "data:") {
			b.said = append(b.said, "asks for "+e.Request.URL)
		}
	case *runtime.EventExceptionThrown:
		b.said = append(b.said, "exception: "+e.ExceptionDetails.Text)
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeWarning {
			b.said = append(b.said, fmt.Sprintf("console %s: %s", e.Type, values(e.Args)))
		}
	case *browserlog.EventEntryAdded:
		if e.Entry.Level == browserlog.EntryLevelError || e.Entry.Level == browserlog.EntryLevelWarning {
			b.said = append(b.said, fmt.Sprintf("log %s: %s %s", e.Entry.Level, e.Entry.Text, e.Entry.URL))
		}
	}
}

func values(args []*runtime.RemoteObject) string {
	var words []string
	for _, a := range args {
		words = append(words, string(a.Value)+a.Description)
	}
	return strings.Join(words, " ")
}

// quiet lists what the page said and asked for until now.
func (b *tab) quiet() []string {
	b.heard.Lock()
	defer b.heard.Unlock()
	return slices.Clone(b.said)
}

// mended compares what the browser made of the page with what was written. A
// browser closes, moves and drops tags that HTML does not allow where they
// stand, without a word.
func (b *tab) mended(page []byte) []string {
	b.Helper()
	root, _ := readMarkup(page)
	got := eval[string](b, `(function outline(e) {
		return e.localName + (e.children.length ? "(" + [...e.children].map(outline).join() + ")" : "");
	})(document.documentElement)`)
	want := strings.TrimSuffix(strings.TrimPrefix(root.outline(), "("), ")")
	if got == want {
		return nil
	}
	at := 0
	for at < min(len(got), len(want)) && got[at] == want[at] {
		at++
	}
	from := max(0, at-60)
	return []string{fmt.Sprintf("the browser mends the page: written ...%.120s, read ...%.120s", want[from:], got[from:])}
}

// measure lists what lies where it should not; letters in drawings must have
// so many pixels.
func (b *tab) measure(smallest float64) []string {
	b.Helper()
	return eval[[]string](b, fmt.Sprintf("(%s)(%g)", data(b.T, "browser/measure.js"), smallest))
}

func data(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", filepath.FromSlash(name)))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// barriers lists what keeps people from reading the page, by all rules of axe
// that are on by default, best practices and a contrast of 4.5:1 included.
func (b *tab) barriers() []string {
	b.Helper()
	if !eval[bool](b, `!!window.axe`) {
		b.do(chromedp.Evaluate[chromedp.Void](data(b.T, "axe/axe.min.js")))
	}
	return eval[[]string](b, `axe.run(document, {resultTypes: ["violations"], preload: false}).then(r => r.violations.flatMap(v =>
		v.nodes.map(n => "axe " + v.id + ": " + n.target.join(" ") + ": " + n.failureSummary.replace(/\s+/g, " "))))`)
}

// fitsOneWindow lists what makes a slide scroll.
func (b *tab) fitsOneWindow() []string {
	b.Helper()
	return eval[[]string](b, `[document.documentElement].filter(e => e.scrollHeight > innerHeight).map(e =>
		"page is " + e.scrollHeight + " px high in a window of " + innerHeight)`)
}

// media has the page be printed, or seen again.
func (b *tab) media(name string) {
	b.Helper()
	if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: name}); err != nil {
		b.Fatal(err)
	}
}

// grey takes the colours away, or gives them back.
func (b *tab) grey(on bool) {
	b.Helper()
	p := emulation.SetEmulatedVisionDeficiencyParams{Type: emulation.SetEmulatedVisionDeficiencyTypeNone}
	if on {
		p.Type = emulation.SetEmulatedVisionDeficiencyTypeAchromatopsia
	}
	if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedVisionDeficiency, p); err != nil {
		b.Fatal(err)
	}
}

// printed prints the page on A4, or what its own style asks for, and lists
// what is wrong with the PDF.
func (b *tab) printed(name string) (pages int, faults []string) {
	b.Helper()
	wanted(b.T, "PDF reader", "poppler-utils", "pdftotext")
	pdf, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(chromedp.PDFPaper(chromedp.PaperA4), chromedp.PDFPreferCSSPageSize()))
	if err != nil {
		b.Fatal(err)
	}
	b.keep(name+".pdf", pdf)
	read := exec.Command("pdftotext", "-layout", "-", "-")
	read.Stdin = strings.NewReader(string(pdf))
	text, err := read.Output()
	if err != nil {
		b.Fatalf("pdftotext: %v", err)
	}
	pages, faults = judgePrint(string(text), b.says("h1,h2,h3,caption,figcaption,text"))
	return pages, append(faults, lonely(string(text), b.says("h1,h2,h3,h4"))...)
}

// says lists the words of each element that can be seen.
func (b *tab) says(elements string) []string {
	b.Helper()
	return eval[[]string](b, fmt.Sprintf(`[...document.querySelectorAll(%q)].filter(e => e.checkVisibility() &&
		!e.closest("details:not([open])")).map(e => e.textContent)`, elements))
}

// judgePrint looks for each of these words in the text of the PDF, spaces and
// breaks aside, and for pages with nothing on them.
func judgePrint(text string, words []string) (pages int, faults []string) {
	sheets := strings.Split(strings.TrimSuffix(text, "\f"), "\f")
	for i, sheet := range sheets {
		if strings.TrimSpace(sheet) == "" {
			faults = append(faults, fmt.Sprintf("print: page %d of %d is empty", i+1, len(sheets)))
		}
	}
	flat := letters(text)
	for _, w := range words {
		for word := range strings.FieldsSeq(w) {
			if !strings.Contains(flat, letters(word)) {
				faults = append(faults, fmt.Sprintf("print: %q of %q cannot be read", word, w))
			}
		}
	}
	return len(sheets), faults
}

// lonely lists the headings that end a page.
func lonely(text string, headings []string) (faults []string) {
	for i, sheet := range strings.Split(text, "\f") {
		lines := strings.Split(strings.TrimSpace(sheet), "\n")
		last := letters(lines[len(lines)-1])
		for _, h := range headings {
			if last != "" && letters(h) == last {
				faults = append(faults, fmt.Sprintf("print: %q is the last line of page %d", h, i+1))
			}
		}
	}
	return faults
}

var noLetters = regexp.MustCompile(`[^\pL\pN]+`)

func letters(text string) string { return noLetters.ReplaceAllString(text, "") }

// keep writes a file to look at where SOAKTAG_SHOTS names a folder.
func (b *tab) keep(name string, content []byte) {
	b.Helper()
	dir := os.Getenv("SOAKTAG_SHOTS")
	if dir == "" {
		return
	}
	if err := os.WriteFile(filepath.Join(dir, name), content, 0o600); err != nil {
		b.Fatal(err)
	}
}

// shoot keeps a picture of the whole page.
func (b *tab) shoot(name string) {
	b.Helper()
	if os.Getenv("SOAKTAG_SHOTS") == "" {
		return
	}
	png, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
	if err != nil {
		b.Fatal(err)
	}
	b.keep(name+".png", png)
}
