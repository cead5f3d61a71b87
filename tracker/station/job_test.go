package station

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

// A handset is a phone in somebody's hand: what was done with it, and when.
type handset struct {
	*tab
	shop *shop
	did  []deed
}

// A deed is one thing that was done to one specimen between two instants.
type deed struct {
	kind     tracker.Kind
	stage    schedule.Stage
	code     string
	from, to time.Time
}

// handset is a phone that was never here.
func (s *shop) handset(browser context.Context, options ...chromedp.ContextOption) *handset {
	s.Helper()
	return &handset{tab: open(s.T, browser, "about:blank", options...), shop: s}
}

// pair opens the page by the address that the terminal shows, and gives the phone a name.
func (h *handset) pair(name string) {
	h.Helper()
	h.shop.invite()
	h.do(chromedp.Navigate(h.shop.invitation))
	h.until("the form for pairing", `!document.getElementById("pair").hidden`)
	h.do(chromedp.SendKeys(chromedp.CSS("#called"), name+"\r"))
	h.until("the study", `document.getElementById("pair").hidden && document.getElementById("study").textContent === "Two adhesives"`)
}

// reload loads the page anew, as a phone does that was restarted.
func (h *handset) reload() {
	h.Helper()
	h.do(chromedp.Navigate("http://" + h.shop.address + "/"))
	h.until("the study", `document.getElementById("study").textContent === "Two adhesives"`)
}

// stage puts a stage in force by its button across the top.
func (h *handset) stage(title string) {
	h.Helper()
	h.run(fmt.Sprintf(`document.getElementById("stage").click();
		[...document.querySelectorAll("#choices button")].find(b => b.textContent.startsWith(%q)).click()`, title))
	h.until("the stage "+title, fmt.Sprintf(`document.getElementById("word").textContent === %q`, title))
	h.until("its entry", fmt.Sprintf(`JSON.parse(localStorage["soaktag.log"] ?? "[]")[0]?.what === %q`, title))
}

// does notes what was done to specimens while f ran.
func (h *handset) does(kind tracker.Kind, stage schedule.Stage, codes []string, f func()) {
	h.Helper()
	from := time.Now()
	f()
	for _, code := range codes {
		h.did = append(h.did, deed{kind, stage, code, from, time.Now()})
	}
}

// types types codes, each with its Enter.
func (h *handset) types(stage schedule.Stage, codes ...string) {
	h.Helper()
	for _, code := range codes {
		h.does(tracker.Staged, stage, []string{code}, func() {
			h.do(chromedp.SendKeys(chromedp.CSS("#code"), code+"\r"))
			h.until("the entry of "+code, fmt.Sprintf(`document.getElementById("whose").textContent === %q`, code))
		})
	}
}

// photographs hands a photograph to the page and waits until it was read.
func (h *handset) photographs(stage schedule.Stage, jpeg []byte, codes ...string) {
	h.Helper()
	h.does(tracker.Staged, stage, codes, func() {
		h.upload("#file", jpeg)
		h.until("all codes outlined", fmt.Sprintf(`document.getElementById("count").textContent.startsWith("%d code")`, len(codes)))
	})
}

func (h *handset) upload(input string, jpeg []byte) {
	h.Helper()
	h.do(chromedp.SetUploadFiles(chromedp.CSS(input), []string{written(h.T, "photo.jpg", jpeg)}))
}

// delivered waits until nothing is left on the phone.
func (h *handset) delivered() {
	h.Helper()
	h.until("everything at the station", `document.getElementById("kept").textContent === "all is at the station"`)
}

// kept waits until so many entries are on the phone.
func (h *handset) kept(n int) {
	h.Helper()
	h.until(fmt.Sprintf("%d entries kept", n), fmt.Sprintf(`document.getElementById("kept").textContent === "kept on this phone: %d"`, n))
}

// offline cuts the phone off, or lets it back in.
func (h *handset) offline(off bool) {
	h.Helper()
	cut := &network.Conditions{Offline: off, DownloadThroughput: -1, UploadThroughput: -1}
	if _, err := chromedp.Call(h.ctx, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{MatchedNetworkConditions: []*network.Conditions{cut}}); err != nil {
		h.Fatal(err)
	}
	seen := network.OverrideNetworkStateParams{Offline: off, DownloadThroughput: -1, UploadThroughput: -1}
	if _, err := chromedp.Call(h.ctx, network.OverrideNetworkState, seen); err != nil {
		h.Fatal(err)
	}
}

// set sets the phone's clock so far ahead, now and after a reload.
func (h *handset) set(ahead time.Duration) {
	h.Helper()
	script := fmt.Sprintf(`(now => { Date.now = () => now() + %d; globalThis.realNow ??= now; })(globalThis.realNow ?? Date.now.bind(Date))`, ahead.Milliseconds())
	if _, err := chromedp.Call(h.ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script}); err != nil {
		h.Fatal(err)
	}
	h.run(script)
}

func (h *handset) click(id string) {
	h.Helper()
	h.until(id+" can be pressed", fmt.Sprintf(`!document.getElementById(%q).disabled`, id))
	h.do(chromedp.Click(chromedp.CSS("#" + id)))
}

// answered waits for the station's answer to the last thing done, named as the page names it.
func (h *handset) answered(what, state string) {
	h.Helper()
	h.until(what+" to be "+state, fmt.Sprintf(`(i => i.what === %q && i.answer?.state === %q)(JSON.parse(localStorage["soaktag.log"])[0])`, what, state))
}

// serials are the codes of specimens, by the serials that they were dealt.
func serials(from, to int) (all []string) {
	for i := from; i <= to; i++ {
		all = append(all, labels.New("HBR", i).String())
	}
	return all
}

// symbols are texts as they stand in the symbols of labels.
func symbols(codes []string) (all []string) {
	for _, c := range codes {
		all = append(all, strings.ReplaceAll(c, "-", ""))
	}
	return all
}

// TestTheWholeJob does a day at the tub in a real browser against the program itself,
// which is killed, restarted and cut off meanwhile, and then compares the log with
// what was done: everything once, at its time.
func TestTheWholeJob(t *testing.T) {
	s := newShop(t, 60)
	film := drawn(t, 1280, 960, 3, 8, symbols(serials(16, 20))...)
	browser := browse(t, chromedp.Flag("use-fake-ui-for-media-stream", true), chromedp.Flag("use-fake-device-for-media-stream", true),
		chromedp.Flag("use-file-for-fake-video-capture", video(t, 5, film)))
	h := s.handset(browser)
	h.pair("Ann's phone")
	h.until("the reader", `document.getElementById("readies").textContent.includes("reads photographs itself")`)
	h.stage("GLUE-UP")
	h.types("glue-up", serials(1, 10)...)
	h.delivered()
	h.withoutStation()
	h.film()
	h.tray()
	h.press()
	h.killedInTheMiddle()
	h.cutOff()
	h.clockSet()
	h.agrees()
}

// withoutStation photographs five while the station is gone.
func (h *handset) withoutStation() {
	h.Helper()
	h.shop.kill()
	for _, code := range serials(11, 15) {
		h.photographs("glue-up", drawn(h.T, 800, 600, 1, 12, symbols([]string{code})...), code)
	}
	h.kept(5)
	h.shop.open()
	h.delivered()
}

// film holds five labels before the camera.
func (h *handset) film() {
	h.Helper()
	seen := serials(16, 20)
	h.does(tracker.Staged, "glue-up", seen, func() {
		h.click("camera")
		h.until("all five in the record", fmt.Sprintf(`%q.split(" ").every(c => JSON.parse(localStorage["soaktag.log"]).some(i => i.what === c && i.answer))`, strings.Join(seen, " ")))
		h.click("still")
	})
	h.delivered()
}

// tray photographs sixteen at once.
func (h *handset) tray() {
	h.Helper()
	h.photographs("glue-up", drawn(h.T, 2000, 1500, 4, 8, symbols(serials(21, 36))...), serials(21, 36)...)
	h.delivered()
}

// press breaks one, photographs both faces, says yes to what asks, and takes another entry back.
func (h *handset) press() {
	h.Helper()
	h.stage("BREAK")
	code := serials(1, 1)[0]
	h.does(tracker.Tried, "", []string{code}, func() {
		h.do(chromedp.SendKeys(chromedp.CSS("#code"), code+"\r"))
		h.do(chromedp.SendKeys(chromedp.CSS("#reading"), "12.4"), chromedp.SendKeys(chromedp.CSS("#wood"), "30"), chromedp.Click(chromedp.CSS("#save")))
		h.until("force and stress", `!document.getElementById("load").hidden`)
	})
	h.answered(code, "asks")
	h.click("yes")
	h.answered("YES "+code, "good")
	for half := 1; half <= 2; half++ {
		h.does(tracker.Photographed, "", []string{fmt.Sprint(code, "/", half)}, func() {
			h.upload(fmt.Sprint("#face", half), drawn(h.T, 640, 480, 1, 3, fmt.Sprint("FACE", half)))
			h.until("the face is taken", fmt.Sprintf(`document.getElementById("face%d").parentElement.dataset.taken === "true"`, half))
		})
		h.delivered()
	}
	h.stage("GLUE-UP")
	mistake := serials(37, 37)[0]
	h.types("glue-up", mistake)
	h.answered(mistake, "good")
	h.click("undo")
	h.answered("UNDO "+mistake, "good")
	h.delivered()
	h.did = h.did[:len(h.did)-1] // it does not count
}

// killedInTheMiddle kills the station while it takes what was kept meanwhile.
func (h *handset) killedInTheMiddle() {
	h.Helper()
	h.shop.kill()
	h.types("glue-up", serials(38, 45)...)
	h.kept(8)
	h.shop.open()
	h.shop.await(`HBR-039`)
	h.shop.kill()
	h.types("glue-up", serials(46, 46)...)
	h.shop.open()
	h.delivered()
}

// cutOff cuts the phone off and has the page loaded anew when it is back.
func (h *handset) cutOff() {
	h.Helper()
	h.offline(true)
	h.types("glue-up", serials(47, 49)...)
	h.kept(3)
	h.offline(false)
	h.reload()
	h.delivered()
}

// clockSet sets the clock off by an hour: in sight of the page, where a stage that may
// be over ends, and while the page is closed.
func (h *handset) clockSet() {
	h.Helper()
	h.offline(true)
	h.types("glue-up", serials(50, 51)...)
	h.set(-time.Hour)
	h.types("glue-up", serials(52, 53)...)
	h.set(time.Hour)
	h.until("the stage to end", `document.getElementById("word").textContent === "NO STAGE"`)
	h.stage("GLUE-UP")
	h.types("glue-up", serials(54, 55)...)
	h.offline(false)
	h.delivered()
	h.set(-time.Hour)
	h.reload()
	h.stage("GLUE-UP")
	h.types("glue-up", serials(56, 57)...)
	h.delivered()
}

// agrees compares the log with what was done.
func (h *handset) agrees() {
	h.Helper()
	h.shop.kill()
	rec := h.shop.record()
	counts := map[tracker.Kind]int{}
	for _, e := range rec.Events() {
		if !rec.Voided(e.ID) && !e.Recorded.Before(h.did[0].from.Add(-time.Second)) {
			counts[e.Kind]++
		}
	}
	for _, d := range h.did {
		h.shop.once(rec, d)
	}
	for _, kind := range []tracker.Kind{tracker.Staged, tracker.Tried} {
		if want := h.count(kind); counts[kind] != want {
			h.Errorf("%d events of kind %v in the log, %d things were done", counts[kind], kind, want)
		}
	}
	if counts[tracker.Accepted] == 0 || counts[tracker.Voided] != 1 {
		h.Errorf("yes and undo: %v", counts)
	}
	for _, complaint := range h.complaints() {
		if !strings.Contains(complaint, "ERR_") {
			h.Error(complaint)
		}
	}
}

func (h *handset) count(kind tracker.Kind) (n int) {
	for _, d := range h.did {
		if d.kind == kind {
			n++
		}
	}
	return n
}

// slack is by how much a time may be off: half the round trip of a busy machine, and
// what nobody notices of a clock.
const slack = 2 * time.Second

// once looks for the one event of a deed, whose time must be that of the deed.
func (s *shop) once(rec *tracker.Record, d deed) {
	s.Helper()
	var found []tracker.Event
	for _, e := range rec.Events() {
		code := e.Code
		if d.kind == tracker.Photographed && e.Half > 0 {
			code = fmt.Sprint(e.Code, "/", e.Half)
		}
		if e.Kind == d.kind && e.Stage == d.stage && code == d.code && !rec.Voided(e.ID) {
			found = append(found, e)
		}
	}
	if len(found) != 1 {
		s.Errorf("%v %v of %s: %d times in the log", d.kind, d.stage, d.code, len(found))
		return
	}
	at := rec.Corrected(found[0])
	if at.From.After(d.to.Add(slack)) || at.To.Before(d.from.Add(-slack)) {
		s.Errorf("%s was done at %v and is told at %v..%v", d.code, d.from.Format(time.TimeOnly), at.From, at.To)
	}
}
