package station

import (
	"fmt"
	"maps"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"

	"soaktag/labels/photo"
)

// TestShownInABrowser opens every fragment in the page, on a small phone in both colour
// schemes: nothing is cut off or scrolls sideways, what is tapped is 48 px, and axe
// finds nothing, with a contrast of 7:1.
func TestShownInABrowser(t *testing.T) {
	browser := browse(t)
	b := lived(t, smallPlan, nil)
	page := open(t, browser, "about:blank")
	page.enter(b.paired("Ann"))
	for scheme, size := range map[string][2]int64{"light": {360, 740}, "dark": {360, 740}, "dark and wide": {768, 1024}} {
		page.scheme(strings.Fields(scheme)[0])
		page.do(chromedp.EmulateViewport(size[0], size[1]), chromedp.Navigate(b.URL("/")))
		page.do(chromedp.Evaluate[chromedp.Void](axe(t)))
		for _, name := range slices.Sorted(maps.Keys(shownPages)) {
			page.goes(shownPages[name])
			page.shoot("show-" + name + "-" + scheme)
			for _, fault := range page.faultsOf("#show") {
				t.Errorf("%s, %s: %s", name, scheme, fault)
			}
		}
	}
	for _, name := range []string{"calendar", "guest"} {
		page.goes(name)
		page.shoot("show-" + name)
		for _, fault := range page.faultsOf("#show") {
			t.Errorf("%s: %s", name, fault)
		}
	}
}

// TestGuestInABrowser opens the page of a guest's link.
func TestGuestInABrowser(t *testing.T) {
	browser := browse(t)
	b := lived(t, smallPlan, nil)
	page := open(t, browser, "about:blank")
	page.do(chromedp.EmulateViewport(360, 740), chromedp.Navigate(b.GuestURL()), chromedp.Evaluate[chromedp.Void](axe(t)))
	page.shoot("guest")
	for _, fault := range page.faultsOf("body") {
		t.Error(fault)
	}
	if colour := eval[string](page, `getComputedStyle(document.querySelector("a")).minHeight`); colour != "48px" {
		t.Errorf("its style is not in force: %s", colour)
	}
	for _, link := range []string{"report", "slide"} {
		page.do(chromedp.Navigate(b.GuestURL() + link))
		if n := eval[int](page, `document.querySelectorAll("svg").length`); n == 0 {
			t.Errorf("%s shows no figure", link)
		}
		page.shoot("guest-" + link)
	}
}

// axe is what looks for barriers, of Deque; see the report's test data.
func axe(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile(filepath.FromSlash("../report/testdata/axe/axe.min.js"))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// enter gives the browser what the visitor was given at pairing.
func (b *tab) enter(v *visitor) {
	b.Helper()
	home, err := url.Parse(v.URL("/"))
	if err != nil {
		b.Fatal(err)
	}
	for _, c := range v.client.Jar.Cookies(home) {
		if _, err := chromedp.Call(b.ctx, network.SetCookie, network.SetCookieParams{Name: c.Name, Value: c.Value, URL: v.URL("/")}); err != nil {
			b.Fatal(err)
		}
	}
}

func (b *tab) scheme(name string) {
	b.Helper()
	p := emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: name}}}
	if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, p); err != nil {
		b.Fatal(err)
	}
}

// goes opens a fragment as a button does.
func (b *tab) goes(path string) {
	b.Helper()
	b.run(fmt.Sprintf(`document.getElementById("shown").replaceChildren();
		const to = document.createElement("button"); to.dataset.show = %q; document.getElementById("places").append(to); to.click(); to.remove()`, path))
	b.until("the page "+path, `document.querySelector("#shown h2")`)
	b.run(`for (const d of document.querySelectorAll("#shown details")) d.open = true`)
}

// faultsOf lists what is cut off, too small for a finger, or a barrier in a part of the
// page. A table that is wider than the phone scrolls within itself.
func (b *tab) faultsOf(part string) []string {
	b.Helper()
	return eval[[]string](b, fmt.Sprintf(`(async () => {
		const faults = [], part = document.querySelector(%q), wide = document.documentElement.scrollWidth;
		if (wide > innerWidth) faults.push("the page is " + wide + " px wide");
		for (const e of part.querySelectorAll("*")) {
			const box = e.getBoundingClientRect();
			if (e.checkVisibility() && !e.closest(".wide") && box.width && (box.right > innerWidth + 1 || box.left < -1)) faults.push(e.outerHTML.slice(0, 80) + " reaches from " + box.left + " to " + box.right);
		}
		for (const e of part.querySelectorAll("button,a,input:not([type=hidden]),select,summary")) {
			const box = e.getBoundingClientRect();
			if (e.checkVisibility() && (box.width < 47.5 || box.height < 47.5)) faults.push(e.outerHTML.slice(0, 80) + " is " + box.width + " x " + box.height);
		}
		const found = await axe.run(part, {resultTypes: ["violations"], rules: {"color-contrast": {enabled: false}, "color-contrast-enhanced": {enabled: true}}});
		for (const v of found.violations) for (const n of v.nodes) faults.push("axe " + v.id + ": " + n.target.join(" ") + ": " + n.failureSummary.replace(/\s+/g, " "));
		return faults;
	})()`, part))
}

// shoot keeps a picture of the window where SOAKTAG_SHOTS names a folder.
func (b *tab) shoot(name string) {
	b.Helper()
	dir := os.Getenv("SOAKTAG_SHOTS")
	if dir == "" {
		return
	}
	png, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
	if err != nil {
		b.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name+".png"), png, 0o600); err != nil {
		b.Fatal(err)
	}
}

// TestBathInABrowser lifts everything out of a bath by one button, and one of another
// bath is set aside: the page counts it as soon as the station has it.
func TestBathInABrowser(t *testing.T) {
	browser := browse(t)
	b := lived(t, smallPlan, nil)
	page := open(t, browser, "about:blank")
	page.enter(b.paired("Ann"))
	page.do(chromedp.EmulateViewport(360, 740), chromedp.Navigate(b.URL("/")))
	for bath, step := range map[string]struct{ button, then string }{
		"B1": {"[data-line]", "0 of 2 in it, 2 lifted out"},
		"B2": {"[data-ended=damaged]", "0 of 2 in it, 2 gone"},
	} {
		page.goes("bath?name=" + bath)
		page.run(fmt.Sprintf(`document.querySelector("#shown %s").click()`, step.button))
		page.until("the question", `document.querySelector("dialog[open]")`)
		page.run(`[...document.querySelectorAll("dialog[open] button")].find(b => b.textContent.startsWith("YES")).click()`)
		page.until(bath+" to be counted anew", fmt.Sprintf(`document.querySelector("#shown p")?.textContent === %q`, step.then))
	}
	page.goes("specimen")
	page.run(`const box = document.querySelector("[data-filter]"); box.value = "hbr005"; box.dispatchEvent(new Event("input", {bubbles: true}))`)
	if left := eval[string](page, `[...document.querySelectorAll("[data-find]")].filter(e => e.checkVisibility()).map(e => e.querySelector("button").firstChild.textContent).join()`); left != "HBR-005-T" {
		t.Errorf("of what was typed it shows %q", left)
	}
	if said := page.complaints(); len(said) > 0 {
		t.Errorf("the page complains: %v", said)
	}
}

// TestSymbolsAreWholeInABrowser: a symbol to be photographed off a phone stands between the bar
// above and the one for the thumb, and what is scrolled to is not under the way back.
func TestSymbolsAreWholeInABrowser(t *testing.T) {
	browser := browse(t)
	b := lived(t, smallPlan, nil)
	page := open(t, browser, "about:blank")
	page.enter(b.paired("Ann"))
	page.do(chromedp.EmulateViewport(390, 844), chromedp.Navigate(b.URL("/")))
	for _, name := range []string{"clock", "calendar", "guest"} {
		page.goes(name)
		page.until("the symbol of "+name, `document.querySelector("#shown .symbol")?.getBoundingClientRect().height > 100`)
		page.until(name+" above the thumb", `(() => {
			const symbol = document.querySelector("#shown .symbol").getBoundingClientRect();
			return symbol.bottom <= document.querySelector("footer").getBoundingClientRect().top && symbol.top >= document.getElementById("back").getBoundingClientRect().bottom;
		})()`)
		page.shoot("whole-" + name)
	}
	page.goes("specimen")
	page.run(`[...document.querySelectorAll("#shown li")].at(-1).scrollIntoView(); document.querySelectorAll("#shown li")[3].scrollIntoView({block: "start"})`)
	page.until("the fourth below the way back", `document.querySelectorAll("#shown li")[3].getBoundingClientRect().top >= document.getElementById("back").getBoundingClientRect().bottom`)
}

// TestClockInABrowser photographs the clock page off the screen of a phone, twice, and
// reads it as photographs are read: it shows the time of the station, also a while later.
func TestClockInABrowser(t *testing.T) {
	browser := browse(t)
	b := newBench(t)
	page := open(t, browser, "about:blank")
	page.enter(b.paired("Ann"))
	page.do(chromedp.EmulateViewport(360, 740), chromedp.Navigate(b.URL("/")))
	page.goes("clock")
	for range 2 {
		b.pass(100 * time.Second)
		want := b.clock().UTC().Truncate(time.Second)
		for tries := 0; ; tries++ {
			page.run(`document.querySelector("#shown .symbol").scrollIntoView(); await new Promise(r => setTimeout(r, 500))`)
			if got := clockIn(t, page); got.Equal(want) {
				break
			} else if tries > 20 {
				t.Fatalf("it shows %v, want %v", got, want)
			}
		}
	}
}

// clockIn reads a clock symbol off the screen; zero where there is none.
func clockIn(t *testing.T, page *tab) time.Time {
	t.Helper()
	picture, err := chromedp.Run(page.ctx, chromedp.FullScreenshot(100))
	if err != nil {
		t.Fatal(err)
	}
	look, err := photo.LookAt(picture, nil, photo.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range look.Found {
		if at, ok := photo.ParseClock(f.Text); ok {
			return at
		}
	}
	return time.Time{}
}
