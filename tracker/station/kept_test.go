package station

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"

	"soaktag/schedule"
	"soaktag/tracker"
)

// What a phone keeps survives what happens to phones, and what it cannot keep it says
// beforehand: the program itself, in a real browser.
func TestPhoneKeeps(t *testing.T) {
	s := newShop(t, 40)
	all := browse(t)
	var did []deed
	for _, test := range []struct {
		name string
		what func(*handset)
		room float64 // of the phone, in bytes; 0 for plenty
	}{
		{"a page that is closed before it sent", (*handset).closedTooSoon, 0},
		{"two tabs that send at once", (*handset).twoTabs, 0},
		{"seven tabs", (*handset).sevenTabs, 0},
		{"a phone without room", (*handset).withoutRoom, 200e3},
		{"a window that keeps nothing", (*handset).inPrivate, 0},
		{"a phone that is let in no more", (*handset).revoked, 0},
		{"a file of what was not sent", (*handset).savedUnsent, 0},
		{"more than the list holds", (*handset).manyAtOnce, 0},
		{"a disk that is taken away", (*handset).evicted, 0},
		{"a thumb that taps twice", (*handset).tapsTwice, 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			s.T = t
			h := s.handset(all, chromedp.WithNewBrowserContext()) // nothing in common with the others
			if test.room > 0 {
				h.room(test.room)
			}
			h.pair(test.name)
			h.stage("GLUE-UP")
			h.answered("GLUE-UP", "good")
			h.delivered()
			test.what(h)
			did = append(did, h.did...)
		})
	}
	s.T = t
	s.agree(did)
}

// beside opens the page in another tab of the same phone.
func (h *handset) beside() *handset {
	h.Helper()
	other := &handset{tab: open(h.T, h.ctx, "about:blank"), shop: h.shop}
	other.reload()
	return other
}

// sevenTabs are more than a browser has lines to one station: those that nobody looks at
// give theirs up, and the one in front sends. A headless browser shows all of them, so
// the page is told that it does not.
func (h *handset) sevenTabs() {
	h.Helper()
	for range 6 {
		other := h.beside()
		other.until("what is new", `document.getElementById("word").textContent === "GLUE-UP"`)
		other.run(`Object.defineProperty(document, "hidden", {value: true}); document.dispatchEvent(new Event("visibilitychange"))`)
	}
	h.types("glue-up", serials(39, 40)...)
	h.delivered()
}

func (h *handset) closedTooSoon() {
	h.Helper()
	other := h.beside()
	h.do(chromedp.Navigate("about:blank"))
	other.offline(true)
	other.types("glue-up", serials(1, 2)...)
	other.kept(2)
	other.end()
	h.reload()
	h.delivered()
	h.did = append(h.did, other.did...)

	// And one that is closed when the answer came and before it showed it.
	h.answered(serials(2, 2)[0], "good")
	h.run(`const log = JSON.parse(localStorage["soaktag.log"]); delete log[0].answer; localStorage["soaktag.log"] = JSON.stringify(log)`)
	h.reload()
	h.answered(serials(2, 2)[0], "good")
}

func (h *handset) twoTabs() {
	h.Helper()
	other := h.beside()
	h.offline(true)
	other.offline(true)
	h.types("glue-up", serials(3, 5)...)
	other.types("glue-up", serials(6, 8)...)
	h.offline(false)
	other.offline(false)
	h.delivered()
	other.delivered()
	h.did = append(h.did, other.did...)
}

// room leaves the browser so many bytes to keep for the page. It must not have begun.
func (h *handset) room(bytes float64) {
	h.Helper()
	p := storage.OverrideQuotaForOriginParams{Origin: "http://" + h.shop.address, QuotaSize: &bytes}
	if _, err := chromedp.Call(h.ctx, storage.OverrideQuotaForOrigin, p); err != nil {
		h.Fatal(err)
	}
}

// withoutRoom fills the phone: a photograph that it cannot keep waits in the window,
// which says so; what is typed is kept as before.
func (h *handset) withoutRoom() {
	h.Helper()
	h.offline(true)
	h.photographs("glue-up", drawn(h.T, 2000, 1500, 1, 30, symbols(serials(9, 9))...), serials(9, 9)...)
	h.kept(1)
	h.until("the warning", `document.getElementById("warned").textContent.includes("no room")`)
	h.types("glue-up", serials(10, 10)...)
	h.kept(2)
	h.offline(false)
	h.delivered()
	h.until("no warning", `!document.getElementById("warned").textContent`)
}

// inPrivate works in a window without a disk, as some private ones are.
func (h *handset) inPrivate() {
	h.Helper()
	without := page.AddScriptToEvaluateOnNewDocumentParams{Source: `Object.defineProperty(self, "indexedDB", { value: undefined })`}
	if _, err := chromedp.Call(h.ctx, page.AddScriptToEvaluateOnNewDocument, without); err != nil {
		h.Fatal(err)
	}
	h.reload()
	h.until("the warning", `document.getElementById("warned").textContent.includes("keeps nothing")`)
	h.stage("GLUE-UP")
	h.answered("GLUE-UP", "good")
	h.offline(true)
	h.types("glue-up", serials(11, 12)...)
	h.kept(2)
	h.offline(false)
	h.delivered()
}

// revoked is let in no more while entries are under way: they wait until it is paired again.
func (h *handset) revoked() {
	h.Helper()
	h.types("glue-up", serials(13, 13)...)
	h.delivered()
	h.shop.run("station", "--revoke", "a phone that is let in no more")
	h.types("glue-up", serials(14, 14)...)
	h.until("the form for pairing", `!document.getElementById("pair").hidden`) // it takes the focus
	h.types("glue-up", serials(15, 15)...)
	h.kept(2)
	h.shop.invite()
	code := h.shop.invitation[strings.Index(h.shop.invitation, "=")+1:]
	h.do(chromedp.SendKeys(chromedp.CSS("#token"), code), chromedp.SendKeys(chromedp.CSS("#called"), "\r"))
	h.delivered()
}

// savedUnsent carries what could not be sent to the study in a file, and sends it later
// all the same.
func (h *handset) savedUnsent() {
	h.Helper()
	dir := h.TempDir()
	to := browser.SetDownloadBehaviorParams{Behavior: browser.SetDownloadBehaviorBehaviorAllow, DownloadPath: dir, BrowserContextID: chromedp.FromContext(h.ctx).BrowserContextID}
	if _, err := chromedp.CallBrowser(h.ctx, browser.SetDownloadBehavior, to); err != nil {
		h.Fatal(err)
	}
	h.until("the reader", `document.getElementById("readies").textContent.includes("reads photographs itself")`)
	h.shop.kill()
	h.types("glue-up", serials(16, 17)...)
	h.photographs("glue-up", drawn(h.T, 800, 600, 1, 12, symbols(serials(18, 18))...), serials(18, 18)...)
	h.kept(3)
	h.do(chromedp.Click(chromedp.CSS("#phones")))
	h.until("the page about this phone", `!document.getElementById("phone").hidden && document.activeElement.id === "show"`)
	h.do(chromedp.Click(chromedp.CSS("#unsent")))
	file := filepath.Join(dir, "unsent.jsonl")
	for end := time.Now().Add(30 * time.Second); ; time.Sleep(20 * time.Millisecond) {
		if _, err := os.Stat(file); err == nil {
			break
		}
		if time.Now().After(end) {
			h.Fatal("no file was saved")
		}
	}
	if said := h.shop.run("import", file); !strings.Contains(said, "took in  3 entries of a file of what was not sent from ") {
		h.Errorf("import says %s", said)
	}
	if said := h.shop.run("import", file); !strings.Contains(said, "took in  0 entries") {
		h.Errorf("import again says %s", said)
	}
	h.shop.open()
	h.delivered()
}

// manyAtOnce keeps more than the list of answers is long: what is not taken among the
// oldest is told all the same, until somebody has seen it.
func (h *handset) manyAtOnce() {
	h.Helper()
	h.offline(true)
	h.do(chromedp.SendKeys(chromedp.CSS("#code"), "nonsense\r"))
	h.kept(1)
	h.types("glue-up", serials(19, 32)...)
	h.kept(15)
	h.offline(false)
	h.delivered()
	h.until("the one not taken", `document.getElementById("open").textContent === "EARLIER: 1 NOT TAKEN"`)
	h.do(chromedp.Click(chromedp.CSS("#open")))
	h.until("its name", `document.querySelector("#choices b").textContent === "NONSENSE"`)
	h.run(`[...document.querySelectorAll("#choices button")].find(b => b.textContent.startsWith("SEEN")).click()`)
	h.until("nothing to look at", `document.getElementById("open").hidden`)
}

// evicted loses what the browser keeps, as happens where room is short: the open page
// sends it all the same, and one that was closed meanwhile says what is gone.
func (h *handset) evicted() {
	h.Helper()
	h.offline(true)
	h.types("glue-up", serials(33, 34)...)
	h.clear()
	h.types("glue-up", serials(35, 35)...)
	h.kept(3)
	h.offline(false)
	h.delivered()

	h.offline(true)
	h.types("glue-up", serials(36, 36)...)
	h.kept(1)
	h.did = h.did[:len(h.did)-1]
	h.do(chromedp.Navigate("about:blank"))
	h.clear()
	h.offline(false)
	h.reload()
	h.until("the word of what is gone", `document.getElementById("says").textContent === "GONE"`)
}

// clear takes away what the browser keeps for the page, but for its short memory.
func (h *handset) clear() {
	h.Helper()
	c := storage.ClearDataForOriginParams{Origin: "http://" + h.shop.address, StorageTypes: "indexeddb"}
	if _, err := chromedp.Call(h.ctx, storage.ClearDataForOrigin, c); err != nil {
		h.Fatal(err)
	}
}

// tapsTwice taps UNDO twice, as a wet thumb does: one entry goes. And a stage that was
// tapped holds before anything else can happen.
func (h *handset) tapsTwice() {
	h.Helper()
	h.types("glue-up", serials(37, 38)...)
	h.delivered()
	h.answered(serials(38, 38)[0], "good")
	h.did = h.did[:len(h.did)-1]
	h.run(`for (let i = 0; i < 2; i++) document.getElementById("undo").dispatchEvent(new MouseEvent("click", { detail: 1 }))`)
	h.answered("UNDO "+serials(38, 38)[0], "good")
	h.delivered()
	word := eval[string](h.tab, `(() => { document.getElementById("stage").click();
		[...document.querySelectorAll("#choices button")].find(b => b.textContent.startsWith("LIFT-OUT")).click();
		return document.getElementById("word").textContent; })()`)
	if word != "LIFT-OUT" {
		h.Errorf("a stage was tapped, and the page says %s", word)
	}
	h.delivered()
}

// run runs a command of the program on the study and returns what it says.
func (s *shop) run(args ...string) string {
	s.Helper()
	cmd := exec.Command(s.program, append(args, "--study", s.file)...)
	out, err := cmd.CombinedOutput()
	if err != nil && cmd.ProcessState.ExitCode() != 3 { // 3: something asks
		s.Fatalf("soaktag %v: %v\n%s", args, err, out)
	}
	return string(out)
}

// agree compares the log with what was done: each once, at its time, and nothing else.
func (s *shop) agree(did []deed) {
	s.Helper()
	s.kill()
	rec := s.record()
	for _, d := range did {
		s.once(rec, d)
	}
	counts := map[schedule.Stage]int{}
	for _, e := range rec.Events() {
		if e.Kind == tracker.Staged && !rec.Voided(e.ID) {
			counts[e.Stage]++
		}
	}
	if counts["glue-up"] != 38 || len(counts) != 1 {
		s.Errorf("in the log: %v, want 38 at the glue-up alone", counts)
	}
}
