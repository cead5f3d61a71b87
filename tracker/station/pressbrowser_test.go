package station

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"

	"soaktag/tracker"
)

// TestPressInSight holds a small phone at the press: SAVE, and both ways to end that
// part the bond, are in sight without scrolling, each with what it means; PHOTOGRAPH,
// which would be about another one, is there again after the try is saved.
func TestPressInSight(t *testing.T) {
	h := atTheTub(t)
	h.stage("BREAK")
	h.types("#code", code(1)+"\r")
	h.until("its turn", `!document.querySelector("#try").hidden`)
	for _, size := range [][2]int64{{360, 740}, {390, 844}} {
		h.tab.do(chromedp.EmulateViewport(size[0], size[1]))
		for _, e := range []string{`#save`, `#reading`, `#endings label:has([value=separated])`, `#endings label:has([value="fell apart"])`} {
			if !eval[bool](h.tab, inSight("document.querySelector('"+e+"')")) {
				t.Errorf("%d x %d: %s is out of sight", size[0], size[1], e)
			}
		}
		h.window(fmt.Sprintf("press-turn-%d", size[0]))
	}
	h.tab.do(chromedp.EmulateViewport(360, 740))
	if eval[bool](h.tab, `document.querySelector("#photo").checkVisibility()`) {
		t.Error("PHOTOGRAPH stands beside SAVE")
	}
	for _, says := range []string{"by itself, before any load", "ram ran out of stroke", "in the wood"} {
		if !eval[bool](h.tab, `document.querySelector("#try").innerText.includes("`+says+`")`) {
			t.Errorf("the form does not say %q", says)
		}
	}
	h.tapOn("#pad", "7")
	h.photographs("#file", tray(t, 2)) // of one that was under way when the form was opened
	h.until("the one in hand to be saved first", fmt.Sprintf(`document.querySelector("#lack").textContent.includes(%q)`, "SAVE this one before "+code(2)))
	if got := eval[string](h.tab, `document.querySelector("#subject").textContent`); got != code(1) {
		t.Errorf("a reading of %s is in the form of %s", code(1), got)
	}
	h.tapOn("#pad", "⌫")
	h.tap(`#endings [value="fell apart"]`)
	h.run(`new MutationObserver((_, o) => {
		if (document.body.dataset.turn === "true") return;
		globalThis.second = !document.querySelector("#file").dispatchEvent(new MouseEvent("click", {bubbles: true, cancelable: true, detail: 1}));
		o.disconnect();
	}).observe(document.body, {attributeFilter: ["data-turn"]})`)
	h.tap("#save")
	h.told("good", code(1))
	h.until("a second tap of the same thumb that opens no camera", `globalThis.second`)
	h.until("PHOTOGRAPH again", `document.querySelector("#photo").checkVisibility() && !document.querySelector("#save").checkVisibility()`)
}

// inSight is an expression for whether all of an element can be touched where it is: what
// lies at its corners is the element or its label.
func inSight(element string) string {
	return `(() => { const e = ` + element + `, r = e.getBoundingClientRect();
		return [[r.left + 3, r.top + 3], [r.right - 3, r.bottom - 3]].every(([x, y]) => {
			const at = document.elementFromPoint(x, y);
			return at && (at === e || e.contains(at) || at.closest("label")?.contains(e));
		});
	})()`
}

// TestPressWayOut goes on where the pad holds back: a break without its reading is recorded
// as that, and asks; a number that the way to end has no use for is left out.
func TestPressWayOut(t *testing.T) {
	h := atTheTub(t)
	h.stage("BREAK")
	turn := func(n int) {
		h.types("#code", code(n)+"\r")
		h.until("its turn", fmt.Sprintf(`document.querySelector("#subject").textContent === %q`, code(n)))
	}
	turn(2)
	h.tap("#save")
	h.tapOn("#lack", "WITHOUT A READING")
	h.told("asks", code(2))
	if tries := h.life(2).Tries; len(tries) != 0 {
		t.Errorf("on record: %+v", tries)
	}
	turn(1)
	h.types("#reading", "9")
	h.tap(`#endings [value="fell apart"]`)
	h.tap("#save")
	h.until("the number that is too much", `document.querySelector("#lack").textContent.includes("nothing is kept here: 9")`)
	h.tapOn("#lack", "LEAVE IT OUT")
	h.told("good", code(1))
	h.until("all sent", `document.querySelector("#kept").textContent === "all is at the station"`)
	if _, last := h.events(); last.Code != code(1) || last.Try == nil || last.Try.How != tracker.FellApart || last.Try.Reading != "" {
		t.Errorf("on record: %+v", last)
	}
}
