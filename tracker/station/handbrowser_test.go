package station

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"soaktag/schedule"
)

// TestAtTheTub does with a phone what is done at the tub, one after the other: each
// way in, each kind of answer, and what the record has of it.
func TestAtTheTub(t *testing.T) {
	h := atTheTub(t)
	if word := eval[string](h.tab, `document.querySelector("#word").textContent`); word != "NO STAGE" {
		t.Errorf("before a stage is chosen the page says %q", word)
	}

	h.stage("GLUE-UP")
	h.tapOn("#next", code(1))
	h.told("good", code(1))
	h.until("nothing kept", `document.querySelector("#kept").textContent === "all is at the station"`)
	if life := h.life(1); !life.Done()[schedule.GlueUp] {
		t.Errorf("what was tapped is not on record: %+v", life.Steps)
	}

	h.types("#code", strings.ToLower(code(2)))
	h.tab.do(chromedp.KeyEvent(kb.Enter))
	h.told("good", code(2))

	h.tap("#undo")
	h.told("good", "TAKEN BACK")
	if h.life(2).Done()[schedule.GlueUp] {
		t.Error("what was taken back still counts")
	}

	h.stage("LIFT-OUT")
	h.types("#code", code(3)+"\r")
	h.told("asks", code(3))
	h.tap("#yes")
	h.told("good", "ACCEPTED")
	for _, mark := range h.life(3).Marks {
		if mark.Open() {
			t.Errorf("still asks after YES: %+v", mark)
		}
	}

	h.tap("#who")
	h.types("#choices input", "Jo\r")
	h.until("the name", `document.querySelector("#by").textContent === "Jo"`)
	h.types("#code", code(4)+"\r")
	h.told("asks", code(4))
	if by := h.by(); by != "Jo" {
		t.Errorf("the last event is by %q, want Jo", by)
	}
	h.quiet()
}

// TestTypedWrong types codes with one character wrong: the page says which, offers
// what was meant, and sends what was typed when it is told to.
func TestTypedWrong(t *testing.T) {
	h := atTheTub(t)
	h.stage("GLUE-UP")
	wrong := strings.Replace(code(5), "005", "0S5", 1)
	h.types("#code", wrong+"\r")
	h.until("the doubt", `document.querySelector("#wrong mark")?.textContent === "S"`)
	h.tapOn("#wrong", code(5))
	h.told("good", code(5))

	h.types("#code", "HBR-005-A\r")
	h.tapOn("#wrong", "SEND")
	h.told("bad", "HBR-005-A")
	h.until("an empty place to type", `document.querySelector("#code").value === "" && !document.querySelector("#wrong").textContent`)
}

// TestCheckCharacter compares the page's own arithmetic with that of labels, which is
// held against the standard's own examples there.
func TestCheckCharacter(t *testing.T) {
	b := open(t, browse(t), blank(t))
	b.run(scripts(t, "page/check.js") + "; globalThis.Check = Check")
	for serial := 1; serial < 20_000; serial += 97 {
		if got := eval[string](b, fmt.Sprintf(`Check.code(%q)`, strings.ReplaceAll(code(serial), "-", ""))); got != code(serial) {
			t.Errorf("the page takes %s for %q", code(serial), got)
		}
	}
	for text, at := range map[string]int{"HBR-071-" + code(17)[8:]: 8, "hbr 0l7" + code(17)[8:]: 5} {
		got := eval[int](b, fmt.Sprintf(`Check.doubt(%q, [%q])?.at ?? -1`, text, code(17)))
		if got != at && !(at == 8 && got >= 0) {
			t.Errorf("%s looks wrong at %d, want %d", text, got, at)
		}
	}
	for _, text := range []string{"lift-out", ".YES", "17", "bath B1", code(17), code(17) + "/2"} {
		if eval[bool](b, fmt.Sprintf(`Check.doubt(%q, [%q]) !== null`, text, code(17))) {
			t.Errorf("%s is doubted", text)
		}
	}
}

// TestAtThePress breaks one: no number before it is saved, both faces after it.
func TestAtThePress(t *testing.T) {
	h := atTheTub(t)
	h.stage("BREAK")
	h.types("#code", "99\r")
	h.until("a number that nobody has", `document.querySelector("#wrong").textContent.includes("No specimen has the number 99")`)
	h.run(`document.querySelector("#code").value = ""`)
	h.types("#code", "1\r") // a bare number is a specimen's, too
	h.until("its turn", fmt.Sprintf(`document.querySelector("#subject").textContent === %q`, code(1)))
	if said := eval[string](h.tab, `document.querySelector("#answer").innerText`); said != "At the press: "+code(1) {
		t.Errorf("over the form stands %q", said)
	}
	h.tap("#save")
	h.until("the reading wanted", `document.querySelector("#lack").textContent.includes("wants the reading") && document.querySelector("#faces").hidden`)
	if unit := eval[string](h.tab, `document.querySelector("#unit").textContent`); unit != "MPa" {
		t.Errorf("the gauge is in %q, want MPa", unit)
	}
	for _, digit := range []string{"1", "2", ".", "4"} {
		h.tapOn("#pad", digit)
	}
	h.tap("#wood")
	h.tapOn("#pad", "8")
	h.tapOn("#pad", "0")
	h.tap("#modes .pick")
	if said := eval[string](h.tab, `document.body.innerText`); strings.Contains(said, "kN") {
		t.Errorf("force is shown before it is saved:\n%s", said)
	}
	h.types("#wood", "0")
	h.tap("#save")
	h.until("too much wood", `document.querySelector("#lack").textContent.includes("0 to 100") && document.querySelector("#reading").value === "12.4"`)
	h.tapOn("#pad", "⌫")
	h.tap("#save")
	h.until("force and stress", `/kN · .*MPa/.test(document.querySelector("#load").textContent)`)
	for _, half := range []string{"#face1", "#face2"} {
		h.photographs(half, tray(t, 0))
		h.until("the face taken", fmt.Sprintf(`document.querySelector(%q).parentElement.dataset.taken === "true"`, half))
	}
	h.until("all sent", `document.querySelector("#kept").textContent === "all is at the station"`)
	life := h.life(1)
	if len(life.Tries) != 1 || len(life.Photos) != 2 {
		t.Errorf("%d tries and %d photographs on record, want 1 and 2", len(life.Tries), len(life.Photos))
	}
	h.types("#code", "Dummy\r")
	h.until("the dummy at the press", `document.querySelector("#subject").textContent === "dummy" && document.querySelector("#wood").disabled && document.querySelector("#faces").hidden`)
	h.types("#reading", "9")
	h.tap("#save")
	h.until("what the dummy shows", `document.querySelector("#answer").innerText.includes("dummy\n") && document.querySelector("#load").textContent.includes("kN")`)
	if !eval[bool](h.tab, `document.querySelector("#faces").hidden && !document.querySelector("#another").disabled`) {
		t.Error("faces of a dummy are asked for")
	}
	h.quiet()
}

// TestTray photographs seven labels, one of them unreadable: six are outlined where
// they lie, and the seventh is left bare.
func TestTray(t *testing.T) {
	h := atTheTub(t)
	h.stage("GLUE-UP")
	h.until("the reader", `document.querySelector("#readies").textContent.includes("itself")`)
	h.photographs("#file", tray(t, 1, 2, 3, 4, 5, 0, 7))
	h.until("the answer", `document.querySelector("#answer").dataset.state === "good"`)
	h.until("six outlines", `document.querySelectorAll("#found li").length === 6`)
	ink := func(serial, x, y int) bool {
		return eval[bool](h.tab, fmt.Sprintf(`(() => {
			const c = document.querySelector("#picture"), k = c.width / 1600, side = 56;
			const d = c.getContext("2d").getImageData(%d * k - side, %d * k - side, side, side * 2).data;
			let dark = 0;
			for (let i = 0; i < d.length; i += 4) if (d[i] < 60) dark++;
			return dark > 100;
		})()`, x, y))
	}
	for i, serial := range []int{1, 2, 3, 4, 5, 0, 7} {
		left, middle := i%4*400+116, i/4*400+200 // where the symbol's left edge is, about
		if got := ink(serial, left, middle); got != (serial != 0) {
			t.Errorf("label %d: outlined is %t", serial, got)
		}
	}
	for _, serial := range []int{1, 2, 3, 4, 5, 7} {
		if !h.life(serial).Done()[schedule.GlueUp] {
			t.Errorf("%s is not on record", code(serial))
		}
	}
	h.quiet()
}

// TestByKeysAlone does the work without touching: every place is reached by the key
// Tab, shows that it has the focus, and keeps it after an answer.
func TestByKeysAlone(t *testing.T) {
	h := atTheTub(t)
	press := func(keys string) { h.tab.do(chromedp.KeyEvent(keys)) }
	h.keysTo("#stage")
	press(kb.Enter)
	h.keysTo("#choices button:nth-child(3)")
	press(kb.Enter)
	h.told("good", "GLUE-UP")
	if at := eval[string](h.tab, `document.activeElement.id`); at != "stage" {
		t.Errorf("after the list the focus is at %q, want the stage", at)
	}
	h.keysTo("#next button")
	press(" ")
	h.told("good", "RECORDED")
	if eval[bool](h.tab, `document.activeElement === document.body`) {
		t.Error("the focus is lost after an answer")
	}
	for _, place := range []string{"#places button", "#phones", "#who", "#undo", "#file"} {
		h.keysTo(place)
	}
	h.keysTo("#undo")
	press(kb.Enter)
	h.told("good", "TAKEN BACK")
	if eval[bool](h.tab, `document.activeElement === document.body`) {
		t.Error("the focus is lost after UNDO")
	}
}

// TestPageForEverybody looks at the page in each of its states, in both colour
// schemes, on a phone and on a tablet: axe finds nothing, every word has a contrast
// of 7:1 and every target 48 px. SOAKTAG_SHOTS=DIR keeps pictures to look at.
func TestPageForEverybody(t *testing.T) {
	h := atTheTub(t)
	look := func(name string) {
		h.Helper()
		for _, size := range []struct{ wide, high int64 }{{320, 568}, {360, 740}, {768, 1024}} {
			h.tab.do(chromedp.EmulateViewport(size.wide, size.high))
			for _, scheme := range []string{"light", "dark"} {
				h.scheme(scheme)
				h.tab.do(chromedp.Evaluate[chromedp.Void](axe(t)))
				h.window(fmt.Sprintf("page-%s-%d-%s", name, size.wide, scheme))
				for _, fault := range append(h.faultsOf("body"), eval[[]string](h.tab, faint)...) {
					t.Errorf("%s, %d px, %s: %s", name, size.wide, scheme, fault)
				}
			}
		}
		h.scheme("light")
		h.tab.do(chromedp.EmulateViewport(360, 740))
	}
	look("first")
	h.tap("#stage")
	look("stages")
	h.tab.do(chromedp.KeyEvent(kb.Escape))
	h.stage("GLUE-UP")
	h.tapOn("#next", code(1))
	h.told("good", code(1))
	look("good")
	h.stage("IMMERSION")
	h.types("#code", code(3)+"\r")
	h.told("asks", code(3))
	look("asks")
	h.types("#code", "HBR-005-A\r")
	h.until("the doubt", `document.querySelector("#wrong mark")`)
	look("wrong")
	h.tapOn("#wrong", "SEND")
	h.told("bad", "HBR-005-A")
	look("bad")
	h.photographs("#file", tray(t, 1, 2, 3, 4, 5, 0, 7, 8))
	h.until("the photograph", `document.querySelector("#count").textContent.startsWith("7")`)
	h.told("asks", "")
	look("tray")
	h.tap("#away")
	h.tap("#phones")
	look("phone")
	h.tap("#back")
	h.stage("BREAK")
	h.types("#code", code(2)+"\r")
	h.until("its turn", `!document.querySelector("#try").hidden`)
	look("press")
	h.tapOn("#pad", "9")
	h.tap("#save")
	h.until("force and stress", `!document.querySelector("#load").hidden`)
	look("saved")
	h.server.CloseClientConnections()
	h.server.Close()
	h.types("#code", code(4)+"\r")
	h.tapOn("#pad", "8")
	h.tap("#save")
	h.told("kept", code(4))
	h.until("no network", `document.querySelector("#lost").textContent === "NO NETWORK"`)
	look("away")
}

// faint lists words whose contrast with any colour behind them is below 7:1, after the
// formula of WCAG 2.2 (relative luminance). Unlike axe it also looks at stripes.
const faint = `(() => {
	const numbers = colour => colour.match(/[\d.]+/g).map(Number);
	const light = ([r, g, b]) => { const [x, y, z] = [r, g, b].map(v => (v /= 255) <= .04045 ? v / 12.92 : ((v + .055) / 1.055) ** 2.4); return .2126 * x + .7152 * y + .0722 * z; };
	const contrast = (a, b) => { const [x, y] = [light(a), light(b)].sort((p, q) => q - p); return (x + .05) / (y + .05); };
	const behind = e => {
		for (let p = e; p; p = p.parentElement) {
			const style = getComputedStyle(p), found = (style.backgroundImage.match(/rgba?\([^)]+\)/g) || []).map(numbers), ground = numbers(style.backgroundColor);
			if (found.length && p.id !== "net") return found;
			if (ground.length < 4 || ground[3] === 1) return [ground];
		}
		return [[255, 255, 255]];
	};
	const faults = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
	while (walk.nextNode()) {
		const e = walk.currentNode.parentElement, text = walk.currentNode.textContent.trim();
		if (!text || !e.checkVisibility({visibilityProperty: true, opacityProperty: true}) || e.closest("script,style,noscript")) continue;
		for (const ground of behind(e)) {
			const is = contrast(numbers(getComputedStyle(e).color), ground);
			if (is < 7) faults.push(text.slice(0, 40) + " has a contrast of " + is.toFixed(2));
		}
	}
	return faults;
})()`

// TestLiveCamera holds two labels before the camera, again and again: each is recorded
// once, as long as it does not go away for some seconds.
func TestLiveCamera(t *testing.T) {
	film := filmed(t, tray(t, 1), tray(t, 2))
	browser := browse(t, chromedp.Flag("use-fake-device-for-media-stream", true), chromedp.Flag("use-fake-ui-for-media-stream", true), chromedp.Flag("use-file-for-fake-video-capture", film))
	h := &hand{open(t, browser, "about:blank"), newBench(t)}
	h.tab.do(chromedp.EmulateViewport(360, 740))
	h.comes()
	h.stage("GLUE-UP")
	h.until("the reader", `document.querySelector("#readies").textContent.includes("itself")`)
	h.tap("#camera")
	for _, serial := range []int{1, 2} {
		h.until("label "+code(serial), fmt.Sprintf(`[...document.querySelectorAll("#earlier b, #whose")].some(b => b.textContent === %q)`, code(serial)))
	}
	h.window("page-live-360-light")
	time.Sleep(3 * time.Second) // the film has begun anew by then
	h.tap("#still")
	h.until("all sent", `document.querySelector("#kept").textContent === "all is at the station"`)
	for _, serial := range []int{1, 2} {
		if steps := h.life(serial).Steps; len(steps) != 1 {
			t.Errorf("%s was recorded %d times, want once", code(serial), len(steps))
		}
	}
	if eval[bool](h.tab, `!!document.querySelector("#video").srcObject?.active`) {
		t.Error("the camera is still on")
	}
	h.quiet()
}
