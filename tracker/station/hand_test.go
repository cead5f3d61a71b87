package station

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"soaktag/labels"
	"soaktag/labels/qr"
	"soaktag/tracker"
)

// A hand works at the page as a person does: it looks, taps and types.
type hand struct {
	*tab
	*bench
}

// atTheTub is somebody with a small phone, paired by the page itself.
func atTheTub(t *testing.T) *hand {
	t.Helper()
	browser := browse(t)
	b := newBench(t)
	h := &hand{open(t, browser, "about:blank"), b}
	h.tab.do(chromedp.EmulateViewport(360, 740))
	h.comes()
	return h
}

// comes opens the page by the line on the terminal, and pairs.
func (h *hand) comes() {
	h.Helper()
	h.tab.do(chromedp.Navigate(h.Invite().URL))
	h.until("the form to pair", `document.querySelector("#token").value && !document.querySelector("#pair").hidden`)
	h.types("#called", "Ann's phone")
	h.tap("#pairing button")
	h.until("the study", `document.querySelector("#pair").hidden && document.querySelector("#study").textContent === "Two adhesives"`)
}

// tap touches what a selector names, where it is.
func (h *hand) tap(selector string) {
	h.Helper()
	h.tab.do(chromedp.Click(chromedp.CSS(selector)))
}

// tapOn touches the button within a place that begins with these words, once the
// place has stood still: what moves under the finger does not count as meant.
func (h *hand) tapOn(place, words string) {
	h.Helper()
	button := fmt.Sprintf(`[...document.querySelectorAll(%s)].find(b => b.innerText.startsWith(%s))`, strconv.Quote(place+" button"), strconv.Quote(words))
	h.until(words, button)
	time.Sleep(400 * time.Millisecond)
	h.run(`document.querySelectorAll("[data-touched]").forEach(e => e.removeAttribute("data-touched")); ` + button + `.dataset.touched = ""`)
	h.tap("[data-touched]")
}

func (h *hand) types(selector, text string) {
	h.Helper()
	h.tab.do(chromedp.Focus(chromedp.CSS(selector)), chromedp.KeyEvent(text))
}

// photographs gives the camera's file to the page.
func (h *hand) photographs(selector string, m image.Image) {
	h.Helper()
	file := filepath.Join(h.TempDir(), "photo.png")
	f, err := os.Create(file)
	if err != nil {
		h.Fatal(err)
	}
	if err := png.Encode(f, m); err != nil {
		h.Fatal(err)
	}
	if err := f.Close(); err != nil {
		h.Fatal(err)
	}
	h.tab.do(chromedp.SetUploadFiles(chromedp.CSS(selector), []string{file}))
}

// stage puts a stage in force by the list behind the large word.
func (h *hand) stage(title string) {
	h.Helper()
	h.tap("#stage")
	h.tapOn("#choices", title)
	h.until(title+" in large type", fmt.Sprintf(`document.querySelector("#word").textContent === %q`, title))
	h.told("good", title)
}

// told waits for what the page says in large type of the last entry.
func (h *hand) told(state, words string) {
	h.Helper()
	h.until(state+": "+words, fmt.Sprintf(`document.querySelector("#answer").dataset.state === %q && document.querySelector("#answer").innerText.includes(%q)`, state, words))
}

// life is what the station knows of a specimen.
func (h *hand) life(serial int) *tracker.Life {
	h.Helper()
	rec, err := h.DB.State()
	if err != nil {
		h.Fatal(err)
	}
	return rec.Life(labels.New("HBR", serial))
}

// by is who the last event on record is by.
func (h *hand) by() string {
	h.Helper()
	rec, err := h.DB.State()
	if err != nil {
		h.Fatal(err)
	}
	all := rec.EventsAfter(0)
	return all[len(all)-1].By
}

// code is what is printed on the label of a specimen.
func code(serial int) string { return labels.New("HBR", serial).String() }

// A tray is a drawn photograph of labels in rows of four, 400 pixels each; of what is
// 0 there is a label that cannot be read.
func tray(t *testing.T, serials ...int) image.Image {
	t.Helper()
	m := image.NewGray(image.Rect(0, 0, 1600, 400*((len(serials)+3)/4)))
	draw.Draw(m, m.Bounds(), image.NewUniform(color.Gray{150}), image.Point{}, draw.Src)
	for i, serial := range serials {
		at := image.Pt(i%4*400+60, i/4*400+60)
		draw.Draw(m, image.Rectangle{at, at.Add(image.Pt(280, 280))}, image.White, image.Point{}, draw.Src)
		if serial == 0 {
			continue
		}
		symbol, err := qr.Encode(labels.New("HBR", serial).Packed())
		if err != nil {
			t.Fatal(err)
		}
		drawn := symbol.Image(8) // pixels a module
		side := drawn.Bounds().Size()
		draw.Draw(m, image.Rectangle{at, at.Add(side)}.Add(image.Pt(140-side.X/2, 140-side.Y/2)), drawn, image.Point{}, draw.Src)
	}
	return m
}

// keys presses a key so often until an element has the focus, as somebody without a
// mouse does; each one on the way must show that it has it.
func (h *hand) keysTo(selector string) {
	h.Helper()
	for range 80 {
		if eval[bool](h.tab, fmt.Sprintf(`document.activeElement.matches(%q)`, selector)) {
			return
		}
		h.tab.do(chromedp.KeyEvent(kb.Tab))
		if fault := eval[string](h.tab, focusShown); fault != "" {
			h.Error(fault)
		}
	}
	h.Fatalf("no key leads to %s; the focus is at %s", selector, eval[string](h.tab, `document.activeElement.outerHTML.slice(0, 80)`))
}

// focusShown says which element has the focus without an outline, or out of sight.
const focusShown = `(() => {
	const e = document.activeElement, seen = e.closest("label") || e, style = getComputedStyle(seen), box = seen.getBoundingClientRect();
	if (e === document.body) return "";
	if (parseFloat(style.outlineWidth) < 3 || style.outlineStyle === "none") return "no outline at " + e.outerHTML.slice(0, 80);
	const on = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
	return on && (seen.contains(on) || on.contains(seen)) ? "" : "out of sight: " + e.outerHTML.slice(0, 80);
})()`

// quiet is no complaint of the page until now.
func (h *hand) quiet() {
	h.Helper()
	for _, complaint := range h.complaints() {
		h.Error(complaint)
	}
}

// window keeps a picture of what is seen at once, where SOAKTAG_SHOTS names a folder.
func (h *hand) window(name string) {
	h.Helper()
	dir := os.Getenv("SOAKTAG_SHOTS")
	if dir == "" {
		return
	}
	picture, err := chromedp.Run(h.ctx, chromedp.CaptureScreenshot())
	if err != nil {
		h.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name+".png"), picture, 0o600); err != nil {
		h.Fatal(err)
	}
}

// filmed writes a film in which each picture stands for a second, as a browser's
// invented camera plays it, over and over: one JPEG after the other.
func filmed(t *testing.T, pictures ...image.Image) (file string) {
	t.Helper()
	var film bytes.Buffer
	for _, m := range pictures {
		frame := image.NewGray(image.Rect(0, 0, 640, 480))
		draw.Draw(frame, frame.Bounds(), m, image.Point{}, draw.Src)
		for range 30 {
			if err := jpeg.Encode(&film, frame, nil); err != nil {
				t.Fatal(err)
			}
		}
	}
	file = filepath.Join(t.TempDir(), "film.mjpeg")
	if err := os.WriteFile(file, film.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}
