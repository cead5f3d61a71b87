package station

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// TestBeforePairing looks at a phone that was never let in: it says what to do first, and
// offers nothing else. One that was locked out is told so, and how it comes back.
func TestBeforePairing(t *testing.T) {
	h := &hand{open(t, browse(t), "about:blank"), newBench(t)}
	h.tab.do(chromedp.EmulateViewport(360, 740), chromedp.Navigate(h.server.URL))
	h.until("what to do first", `document.querySelector("#answer").innerText.includes("not paired yet. Photograph the symbol at the terminal")`)
	if said := eval[string](h.tab, `document.body.innerText`); eval[bool](h.tab, `document.querySelector("footer").checkVisibility() || !document.querySelector("#stage").disabled || /at the station|Choose the stage/.test(document.body.innerText)`) {
		t.Errorf("it offers what it cannot do:\n%s", said)
	}
	h.window("wet-unpaired-360")
	h.comes()
	h.stage("GLUE-UP")
	phones, err := Phones(h.File)
	if err != nil || len(phones) != 1 {
		t.Fatal(phones, err)
	}
	if _, err := Revoke(h.File, phones[0].ID); err != nil {
		t.Fatal(err)
	}
	h.types("#code", code(1)+"\r")
	h.until("why", `document.querySelector("#revoked").checkVisibility() && document.querySelector("#revoked").innerText.includes("Press Enter at the terminal")`)
	h.told("kept", "sent once this phone is paired")
	h.window("wet-revoked-360")
}

// TestPhotographsOverlap takes a second photograph while the first is being read: under
// the second one nothing of the first is ever drawn.
func TestPhotographsOverlap(t *testing.T) {
	h := atTheTub(t)
	h.stage("GLUE-UP")
	h.until("the reader", `document.querySelector("#readies").textContent.includes("itself")`)
	h.run(`globalThis.seen = []; const c = document.querySelector("#picture"), n = document.querySelector("#count");
		new MutationObserver(() => seen.push(c.height + " " + n.textContent)).observe(n, {childList: true, characterData: true, subtree: true})`)
	h.photographs("#file", tray(t, 1, 2, 3, 4, 5, 6, 7)) // twice as high as the next
	h.photographs("#file", tray(t, 8))
	h.until("both recorded", `document.querySelector("#kept").textContent === "all is at the station" && document.querySelector("#count").textContent === "1 code outlined"`)
	for serial := range 8 {
		if len(h.life(serial+1).Steps) != 1 {
			t.Errorf("%s is recorded %d times", code(serial+1), len(h.life(serial+1).Steps))
		}
	}
	if wrong := eval[[]string](h.tab, `seen.filter(s => s.startsWith("350 ") && s !== "350 " && s !== "350 0 codes outlined" && s !== "350 1 code outlined")`); len(wrong) > 0 {
		t.Errorf("under the second photograph stood %q", wrong)
	}
	if !eval[bool](h.tab, `seen.some(s => s.startsWith("350 "))`) {
		t.Error("the second photograph was never shown")
	}
}

// TestTrayFolds photographs a tray: what was found is one line, in the order of codes, and
// what to type and tap stays in reach. Another stage puts the photograph away and shows
// the page from its top.
func TestTrayFolds(t *testing.T) {
	h := atTheTub(t)
	h.stage("GLUE-UP")
	h.photographs("#file", tray(t, 7, 5, 1, 4, 2, 3, 8))
	h.until("seven", `document.querySelector("#fold summary").textContent === "7 codes"`)
	h.told("good", "")
	if eval[bool](h.tab, `document.querySelector("#found").checkVisibility()`) {
		t.Error("seven rows lie open")
	}
	h.tap("#fold summary")
	if got := eval[[]string](h.tab, `[...document.querySelectorAll("#found b")].map(b => b.textContent)`); len(got) != 7 || got[0] != code(1) || got[6] != code(8) {
		t.Errorf("listed in the order %v", got)
	}
	h.run(`document.querySelector("main").scrollTop = 9999`)
	h.stage("CLAMP REMOVAL")
	h.until("the top of the page, without the photograph", `document.querySelector("main").scrollTop === 0 && document.querySelector("#seen").hidden`)
}

// TestAsksMeanwhile records with one phone what is good, and with another what does not go
// with it: the first one is told, loudly, and may say YES.
func TestAsksMeanwhile(t *testing.T) {
	h := atTheTub(t)
	h.stage("GLUE-UP")
	h.types("#code", code(1)+"\r")
	h.told("good", code(1))
	bob := h.sender("Bob's phone")
	before := bob.line("glue-up", code(1))
	before["at"] = bob.clock().Add(-time.Hour).UnixMilli()
	if a := bob.sends(before); a.Recorded != 1 {
		t.Fatalf("%+v", a)
	}
	h.told("asks", "glue-up was recorded before")
	h.window("wet-meanwhile-360")
	h.tap("#yes")
	h.told("good", "ACCEPTED")
}

// TestKeptIsNotExpected works with the network gone: what is kept is expected no more, an
// UNDO brings it back, and takes the question for both faces away.
func TestKeptIsNotExpected(t *testing.T) {
	h := atTheTub(t)
	h.stage("GLUE-UP")
	h.until("eight", `document.querySelector("#nexts").textContent === "Expected next: 8"`)
	h.server.CloseClientConnections()
	h.server.Close()
	h.tapOn("#next", code(1))
	h.told("kept", code(1))
	h.until("seven", `document.querySelector("#nexts").textContent === "Expected next: 7"`)
	h.tap("#undo")
	h.until("eight again", `document.querySelector("#nexts").textContent === "Expected next: 8"`)
	h.tap("#stage")
	h.tapOn("#choices", "BREAK")
	h.told("kept", "BREAK")
	h.types("#code", code(2)+"\r")
	h.until("its turn", `!document.querySelector("#try").hidden`)
	h.tap(`#endings [value="fell apart"]`)
	h.tap("#save")
	h.until("both faces", fmt.Sprintf(`document.querySelector("#parted").textContent === "Both faces of %s" && !document.querySelector("#faces").hidden`, code(2)))
	h.tap("#undo")
	h.until("no faces", `document.querySelector("#faces").hidden`)
}
