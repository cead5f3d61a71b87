package reader

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"soaktag/labels/photo"
)

// Corners lie where the page shows the symbol, however the camera was held: upright,
// upside down, on one side or the other.
func TestCornersInABrowser(t *testing.T) {
	files := map[string][]byte{}
	img := opened(t, filepath.Join(photos, "none-1-00201.jpg"))
	for _, held := range []uint16{1, 3, 6, 8} {
		files[fmt.Sprintf("/held-%d.jpg", held)] = heldSo(t, img, held)
	}
	b, list := open(t, serve(t, files)), known(t)
	b.learn()
	for path, file := range files {
		look, err := photo.LookAt(file, list, photo.Options{})
		if err != nil || len(look.Found) != 1 {
			t.Fatal(path, err, look.Found)
		}
		for i := range look.Found {
			look.Found[i].Corners = look.Upright[i]
		}
		compare(t, path, b.read(path), look.Found, blurred)
	}
}

// heldSo is a photograph with the orientation that a camera writes (Exif 2.32,
// 4.6.4, tag 274).
func heldSo(t *testing.T, img image.Image, orientation uint16) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := jpeg.Encode(&out, img, nil); err != nil {
		t.Fatal(err)
	}
	body := []byte("Exif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01")
	body = append(binary.BigEndian.AppendUint16(body, orientation), 0, 0, 0, 0, 0, 0)
	head := append(binary.BigEndian.AppendUint16([]byte{0xff, 0xe1}, uint16(len(body)+2)), body...)
	return bytes.Join([][]byte{out.Bytes()[:2], head, out.Bytes()[2:]}, nil)
}

// A label that is lost in a large photograph when it is drawn down is looked for
// again in more of it.
func TestSmallLabelInABrowser(t *testing.T) {
	label := opened(t, filepath.Join(photos, "none-1-00201.jpg"))
	b := open(t, serve(t, map[string][]byte{"/wide.png": asPNG(t, onTable(halved(halved(label))))}))
	b.learn()
	got := b.read("/wide.png")
	if len(got.Found) != 1 || got.Found[0].Text != "QU391G2" || got.Width != 4000 || got.Height != 3000 {
		t.Fatal(got)
	}
	if x, y := got.Found[0].Corners[0][0], got.Found[0].Corners[0][1]; x < 3000 || x > 3200 || y < 2000 || y > 2150 {
		t.Errorf("it lies at %.0f, %.0f", x, y)
	}
}

// onTable is a photograph of 12 million pixels with another one at 3000, 2000.
func onTable(of image.Image) image.Image {
	wide := image.NewRGBA(image.Rect(0, 0, 4000, 3000))
	draw.Draw(wide, wide.Rect, image.NewUniform(color.Gray{150}), image.Point{}, draw.Src)
	draw.Draw(wide, of.Bounds().Add(image.Pt(3000, 2000)), of, of.Bounds().Min, draw.Src)
	return wide
}

// The reader says that it loads and how much; where the network is gone it says so
// and tries again.
func TestLoadingInABrowser(t *testing.T) {
	b := open(t, serve(t, nil))
	if b.read("/photos/none-1-00201.jpg").By != "station" {
		t.Error("read by a reader that is not there")
	}
	eval[bool](b, `globalThis.fetched = fetch, globalThis.fetch = () => Promise.reject(new TypeError("cut")), true`)
	if says := b.learnAnd("away"); !strings.Contains(says, "could not be loaded") {
		t.Error(says)
	}
	said := eval[string](b, `globalThis.fetch = fetched, globalThis.said = "", Reader.on(s => said += s.says), learn({ specimens: [], cards: [] }), become("ready").then(() => said)`)
	if want := fmt.Sprintf("loading, %.1f MB", float64(len(Module()))/1e6); !strings.Contains(said, want) {
		t.Errorf("%q does not say %q", said, want)
	}
}

// A picture that takes more memory than there is does not bring the page down: it is
// tried once more drawn down, and so are all after it.
func TestScarceMemoryInABrowser(t *testing.T) {
	label := opened(t, filepath.Join(photos, "none-1-00201.jpg"))
	b := open(t, serve(t, map[string][]byte{"/wide.png": asPNG(t, onTable(label))}), memory(700))
	b.learn()
	for range 2 {
		if got := b.read("/wide.png"); got.By != "phone" || len(got.Found) != 1 || got.Width != 4000 {
			t.Errorf("%d labels, read by the %s, in %d pixels", len(got.Found), got.By, got.Width)
		}
	}
	if n := eval[int](b, "workers"); n != 2 {
		t.Errorf("%d workers were started, not one and then another", n)
	}
}

// Where that is too much as well the station is asked, and the next picture is read
// in the page again, with the network gone too. After three in a row the reader leaves it
// to the station.
func TestShortMemoryInABrowser(t *testing.T) {
	server := serve(t, nil)
	b := open(t, server, memory(450))
	b.learn()
	eval[bool](b, `Promise.all(["tray-2", "none-1"].map(n => fetch("/photos/" + n + "-00201.jpg").then(r => r.blob()))).then(all => {
		[globalThis.tray, globalThis.single] = all; return true; })`)
	server.Close()
	for i, step := range []struct{ picture, by string }{
		{"single", "phone"}, {"tray", "station"}, {"single", "phone"}, {"tray", "station"}, {"single", "phone"},
		{"tray", "station"}, {"tray", "station"}, {"tray", "station"}, {"single", "station"},
	} {
		if by := eval[answer](b, `Reader.read(%s)`, step.picture).By; by != step.by {
			t.Errorf("%d: %s is read by the %s", i, step.picture, by)
		}
	}
	if state := eval[string](b, "Reader.state.name + Reader.ready"); state != "nonefalse" {
		t.Error(state)
	}
}

// memory is the most that a module gets, in pages of 64 KiB.
func memory(pages int) chromedp.ExecAllocatorOption {
	return chromedp.Flag("js-flags", fmt.Sprintf("--wasm-max-mem-pages=%d", pages))
}

// A picture that no reader opens goes to the station, which says what it is.
func TestNoPictureInABrowser(t *testing.T) {
	b := open(t, serve(t, map[string][]byte{"/none": []byte("no picture")}))
	b.learn()
	if by := b.read("/none").By; by != "station" {
		t.Error(by)
	}
	if by := b.read("/photos/none-1-00201.jpg").By; by != "phone" {
		t.Error(by)
	}
}

// Frames of the camera are read one at a time; while one is, the others are left out.
func TestFramesInABrowser(t *testing.T) {
	b := open(t, serve(t, nil))
	b.learn()
	got := eval[[]*answer](b, `fetch("/photos/none-1-00201.jpg").then(r => r.blob()).then(async blob => {
		const frames = await Promise.all([1, 2].map(() => createImageBitmap(blob)));
		const all = await Promise.all(frames.map(Reader.frame));
		return [...all, ...frames.map(f => f.width ? { width: f.width } : null)];
	})`)
	if len(got[0].Found) != 1 || got[0].Found[0].Text != "QU391G2" || got[1] != nil {
		t.Error(got[0], got[1])
	}
	if got[2] != nil || got[3] != nil {
		t.Error("a frame is kept open")
	}
}

// A list that comes later is the one that counts.
func TestAnotherListInABrowser(t *testing.T) {
	b := open(t, serve(t, nil))
	read := func(codes string) []string {
		eval[string](b, `learn({ specimens: [{ code: %q }], cards: [] }), become("ready")`, codes)
		var texts []string
		for _, f := range b.read("/photos/blotch-6-00201.jpg").Found { // it can only be recognised
			texts = append(texts, f.Text)
		}
		return texts
	}
	for _, step := range []struct{ code, found string }{{"QU-345-S/1", "[QU345S1]"}, {"QU-391-G", "[]"}, {"QU-345-S", "[QU345S1]"}} {
		if got := fmt.Sprint(read(step.code)); got != step.found {
			t.Errorf("with %s: %s", step.code, got)
		}
	}
}

// BenchmarkInThePage is what a person waits for: a clean label of 800 x 600, a tray
// of sixteen of 2000 x 1500, as JPEG, opening included; a frame of the camera with a
// label and one without. In turns with them the reader of this machine, on one core: a ratio to that means the same on a
// busy machine.
func BenchmarkInThePage(b *testing.B) {
	page, list := open(b, serve(b, nil)), known(b)
	page.learn()
	for _, c := range []struct{ name, file, script string }{
		{"label", "none-1", "Reader.read(blob)"}, {"tray", "tray-2", "Reader.read(blob)"},
		{"frame", "none-1", "createImageBitmap(blob).then(Reader.frame)"}, {"frame-without", "blank-1", "createImageBitmap(blob).then(Reader.frame)"},
	} {
		file := read(b, filepath.Join(photos, c.file+"-00201.jpg"))
		eval[bool](page, `fetch("/photos/%s-00201.jpg").then(r => r.blob()).then(async b => { globalThis.blob = b; await createImageBitmap(b).then(Reader.frame); return true; })`, c.file)
		b.Run(c.name, func(b *testing.B) {
			var here, there []float64
			for b.Loop() {
				there = append(there, eval[float64](page, `(async () => { const from = performance.now(); await %s; return performance.now() - from; })()`, c.script))
				from := time.Now()
				if _, err := photo.LookAt(file, list, photo.Options{Quick: strings.HasPrefix(c.name, "frame")}); err != nil {
					b.Fatal(err)
				}
				here = append(here, time.Since(from).Seconds()*1000)
			}
			b.ReportMetric(median(there), "ms-in-page")
			b.ReportMetric(median(there)/median(here), "times-native")
		})
	}
}

func median(v []float64) float64 {
	slices.Sort(v)
	return v[len(v)/2]
}
