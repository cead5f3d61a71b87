package station

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"testing"

	"github.com/chromedp/chromedp"
)

// The README shows what a person gets in pictures, small enough to be looked at on a
// phone. SOAKTAG_PICTURES=1 takes them anew, from an invented study at the tub and
// from the demo; go on and look at them.
const (
	pictures     = "../../testdata/pictures"
	mostPicture  = 60_000 // bytes
	picturesFlag = "SOAKTAG_PICTURES"
)

func TestPicturesOfTheReadme(t *testing.T) {
	if os.Getenv(picturesFlag) != "" {
		takePictures(t)
	}
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	shown := regexp.MustCompile(`!\[([^\]]+)\]\(testdata/pictures/(\w+\.png)\)`).FindAllSubmatch(readme, -1)
	if len(shown) != 3 {
		t.Errorf("%d pictures in the README, want the tub, the labels and the report", len(shown))
	}
	for _, m := range shown {
		content, err := os.ReadFile(filepath.Join(pictures, string(m[2])))
		if err != nil {
			t.Error(err)
			continue
		}
		if _, err := png.Decode(bytes.NewReader(content)); err != nil || len(content) > mostPicture {
			t.Errorf("%s: %d bytes of at most %d, %v", m[2], len(content), mostPicture, err)
		}
	}
}

func takePictures(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "demo")
	if out, err := exec.Command(built(t), "demo", dir).CombinedOutput(); err != nil {
		t.Fatalf("demo: %v\n%s", err, out)
	}
	keepPicture(t, "labels.png", sheetOfLabels(t, dir))
	keepPicture(t, "report.png", figureOfReport(t, dir))
	keepPicture(t, "tub.png", pageAtTheTub(t))
}

func keepPicture(t *testing.T, name string, m image.Image) {
	t.Helper()
	var b bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&b, fewColours(m)); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(pictures, name), b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	t.Logf("%s: %v, %d bytes", name, m.Bounds().Size(), b.Len())
}

// fewColours has the 32 colours of a picture that it shows most, and the nearest of
// them for others: a screen and a drawing hardly have more, and take a third.
func fewColours(m image.Image) image.Image {
	seen := map[color.Color]int{}
	size := m.Bounds()
	for y := size.Min.Y; y < size.Max.Y; y++ {
		for x := size.Min.X; x < size.Max.X; x++ {
			seen[m.At(x, y)]++
		}
	}
	all := slices.SortedFunc(maps.Keys(seen), func(a, b color.Color) int { return seen[b] - seen[a] })
	few := image.NewPaletted(size, all[:min(len(all), 32)])
	draw.Draw(few, size, m, size.Min, draw.Src)
	return few
}

// sheetOfLabels is the upper part of the first sheet of the demo.
func sheetOfLabels(t *testing.T, dir string) image.Image {
	t.Helper()
	drawn := exec.Command("pdftoppm", "-png", "-r", "80", "-gray", "-singlefile", filepath.Join(dir, "labels.pdf"), filepath.Join(dir, "sheet"))
	if out, err := drawn.CombinedOutput(); err != nil {
		t.Fatalf("pdftoppm (apt-get install poppler-utils): %v\n%s", err, out)
	}
	content, err := os.ReadFile(filepath.Join(dir, "sheet.png"))
	if err != nil {
		t.Fatal(err)
	}
	m := decoded(t, content)
	size := m.Bounds().Size()
	return part(m, image.Rect(0, size.Y/40, size.X, size.Y*17/50))
}

// figureOfReport is the first figure of the demo's report.
func figureOfReport(t *testing.T, dir string) image.Image {
	t.Helper()
	b := open(t, browse(t), "file://"+filepath.ToSlash(filepath.Join(dir, "report.html")))
	b.do(chromedp.EmulateViewport(800, 1000))
	box := eval[[]int](b, `(() => {
		const box = [...document.querySelectorAll("figure svg")].find(f => f.checkVisibility()).getBoundingClientRect();
		return [box.left, box.top + scrollY, box.right, box.bottom + scrollY].map(Math.round);
	})()`)
	seen, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
	if err != nil {
		t.Fatal(err)
	}
	return part(decoded(t, seen), image.Rect(box[0], box[1], box[2], box[3]).Inset(-8))
}

// pageAtTheTub is the page after a tap and after a photograph of a tray, side by side.
func pageAtTheTub(t *testing.T) image.Image {
	t.Helper()
	s := newShop(t, 16)
	for stage, at := range map[string]string{"glue-up": "-8d2h", "clamp removal": "-7d2h"} {
		if out, err := exec.Command(s.program, "log", "1-16", "--stage", stage, "--at", at, "--study", s.file).CombinedOutput(); err != nil {
			t.Logf("%s: %v\n%s", stage, err, out) // it asks: that was before the study began
		}
	}
	phone := s.handset(browse(t))
	phone.pair("Ann's phone")
	h := &hand{tab: phone.tab}
	h.tab.do(chromedp.EmulateViewport(360, 740))
	h.stage("IMMERSION")
	h.tapOn("#next", code(3))
	h.told("good", code(3))
	h.until("one less", `document.querySelector("#nexts").textContent.endsWith(" 7")`)
	left := h.seen()
	h.photographs("#file", tray(t, 4, 7, 8, 11, 12, 0, 15, 16))
	h.until("the photograph", `document.querySelector("#count").textContent.startsWith("7") && document.querySelector("#answer").dataset.state === "good"`)
	h.until("none left", `document.querySelector("#expected").hidden`)
	return beside(left, h.seen())
}

func (h *hand) seen() image.Image {
	h.Helper()
	picture, err := chromedp.Run(h.ctx, chromedp.CaptureScreenshot())
	if err != nil {
		h.Fatal(err)
	}
	return decoded(h.tab.T, picture)
}

func decoded(t *testing.T, content []byte) image.Image {
	t.Helper()
	m, err := png.Decode(bytes.NewReader(content))
	if err != nil {
		t.Fatal(fmt.Errorf("a picture of the browser: %w", err))
	}
	return m
}

// part cuts a rectangle out.
func part(m image.Image, r image.Rectangle) image.Image {
	cut := image.NewRGBA(image.Rectangle{Max: r.Size()})
	draw.Draw(cut, cut.Bounds(), m, r.Min, draw.Src)
	return cut
}

// beside puts two pictures next to each other.
func beside(left, right image.Image) image.Image {
	const gap = 16
	both := image.NewRGBA(image.Rect(0, 0, left.Bounds().Dx()+gap+right.Bounds().Dx(), left.Bounds().Dy()))
	draw.Draw(both, both.Bounds(), image.White, image.Point{}, draw.Src)
	draw.Draw(both, left.Bounds(), left, image.Point{}, draw.Src)
	draw.Draw(both, right.Bounds().Add(image.Pt(left.Bounds().Dx()+gap, 0)), right, image.Point{}, draw.Src)
	return both
}
