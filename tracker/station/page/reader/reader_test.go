package reader

import (
	"bytes"
	"image"
	"image/draw"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"soaktag/labels/photo"
)

// An answer is what the page says of a photograph.
type answer struct {
	Found []struct {
		Text, Code string
		How        photo.How
		Corners    [4][2]float64
		Ambiguous  bool
		Half       int
	}
	Width, Height int
	By            string
}

// known is the list that the page was told, learn.
func known(t testing.TB) *photo.List {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(photos, "codes.txt"))
	if err != nil {
		t.Fatal(err)
	}
	list, err := photo.ParseList(append(text, ".YES\n.BATHB1\n"...))
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// The page answers as the reader of this machine does: the same to the last digit
// where both get the same pixels, the same texts where the browser opens the file.
// Without SOAKTAG_CI every third photograph.
func TestSameAnswersInABrowser(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(photos, "*-00201.jpg"))
	if err != nil || len(files) < 15 {
		t.Fatal(files, err)
	}
	pixels, pictures := map[string][]byte{}, map[string]image.Image{}
	for i, file := range files {
		if inFull() || i%3 == 0 {
			name := strings.TrimSuffix(filepath.Base(file), ".jpg")
			pictures[name] = opened(t, file)
			pixels["/"+name+".png"] = asPNG(t, pictures[name])
		}
	}
	b, list := open(t, serve(t, pixels)), known(t)
	if eval[bool](b, "isSecureContext") {
		t.Fatal("the page is in a secure context, as it is not at the tub")
	}
	b.learn()
	for name, img := range pictures {
		png := name + ".png"
		want := photo.Read(decoded(t, pixels["/"+png]), list, photo.Options{})
		compare(t, png, b.read("/"+png), want, 1e-9)
		compare(t, name, b.read("/photos/"+name+".jpg"), photo.Read(img, list, photo.Options{}), blurred)
	}
}

// blurred is how many pixels the corners of a label that is out of focus may lie
// apart in pictures that differ by a grey level here and there.
const blurred = 6

// read has the page read what an address holds.
func (b *tab) read(path string) answer {
	b.Helper()
	return eval[answer](b, `fetch(%q).then(r => r.blob()).then(Reader.read)`, path)
}

// compare reports where the page answers otherwise; corners may lie so many pixels
// apart.
func compare(t *testing.T, name string, got answer, want []photo.Found, off float64) {
	t.Helper()
	if got.By != "phone" || len(got.Found) != len(want) {
		t.Errorf("%s: read by the %s, %d found instead of %d", name, got.By, len(got.Found), len(want))
		return
	}
	for i, f := range got.Found {
		w, code := want[i], ""
		if w.Code.Serial != 0 {
			code = w.Code.Whole().String()
		}
		if f.Text != w.Text || f.How != w.How || f.Ambiguous != w.Ambiguous || f.Half != w.Half || f.Code != code {
			t.Errorf("%s: %v instead of %v", name, f, w)
		}
		for j, c := range f.Corners {
			if d := math.Hypot(c[0]-w.Corners[j].X, c[1]-w.Corners[j].Y); !(d <= off) {
				t.Errorf("%s: corner %d of %s lies %g pixels off", name, j, f.Text, d)
			}
		}
	}
}

// halved is the picture at half its size.
func halved(img image.Image) image.Image {
	b := img.Bounds()
	out := image.NewRGBA(image.Rect(0, 0, b.Dx()/2, b.Dy()/2))
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			out.Set(x, y, img.At(b.Min.X+2*x, b.Min.Y+2*y))
		}
	}
	return out
}

func opened(t *testing.T, file string) image.Image { return decoded(t, read(t, file)) }

func decoded(t *testing.T, file []byte) image.Image {
	t.Helper()
	p, err := photo.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	return p.Image
}

// asPNG returns the picture as a file that every decoder opens to the same pixels.
func asPNG(t *testing.T, img image.Image) []byte {
	t.Helper()
	plain := image.NewRGBA(img.Bounds())
	draw.Draw(plain, plain.Rect, img, img.Bounds().Min, draw.Src)
	var out bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&out, plain); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}
