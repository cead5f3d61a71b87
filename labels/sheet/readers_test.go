package sheet

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/makiuchi-d/gozxing"
	multi "github.com/makiuchi-d/gozxing/multi/qrcode"
)

func writePGM(t *testing.T, name string, img *image.Gray) {
	t.Helper()
	b := img.Bounds()
	out := bytes.NewBufferString(fmt.Sprintf("P5\n%d %d\n255\n", b.Dx(), b.Dy()))
	for y := b.Min.Y; y < b.Max.Y; y++ {
		i := img.PixOffset(b.Min.X, y)
		out.Write(img.Pix[i : i+b.Dx()])
	}
	if err := os.WriteFile(name, out.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
}

// readAll reads every picture with three readers that share no code with the
// encoder and fails for each symbol that one of them misses or misreads.
func readAll(t *testing.T, what string, images []*image.Gray, want []string) {
	t.Helper()
	dir := t.TempDir()
	names := make([]string, len(images))
	for i, img := range images {
		names[i] = filepath.Join(dir, fmt.Sprintf("%05d.pgm", i))
		writePGM(t, names[i], img)
	}
	var byZbar, byZXing, byGozxing map[string][]string
	var readers sync.WaitGroup
	readers.Go(func() { byZbar = zbar(t, names) })
	readers.Go(func() { byZXing = zxing(t, names); byGozxing = gozxingMulti(names, images) })
	readers.Wait()
	for i, name := range names {
		for reader, got := range map[string]map[string][]string{"zbarimg": byZbar, "ZXingReader": byZXing, "gozxing": byGozxing} {
			if !slices.Equal(got[name], []string{want[i]}) {
				t.Errorf("%s: %s reads %q as %q", what, reader, want[i], got[name])
			}
		}
	}
}

// batch keeps command lines short.
const batch = 500

func zbar(t *testing.T, names []string) map[string][]string {
	found := map[string][]string{}
	for part := range slices.Chunk(names, batch) {
		out, err := exec.Command("zbarimg", append([]string{"-q", "--nodbus", "--xml", "-Sdisable", "-Sqrcode.enable"}, part...)...).Output()
		var doc struct {
			Source []struct {
				Href string   `xml:"href,attr"`
				Data []string `xml:"index>symbol>data"`
			} `xml:"source"`
		}
		if bad := xml.Unmarshal(out, &doc); bad != nil {
			t.Errorf("zbarimg: %v, %v", err, bad)
		}
		for _, s := range doc.Source {
			found[s.Href] = append(found[s.Href], s.Data...)
		}
	}
	return found
}

var zxingLine = regexp.MustCompile(`^(\S+) QRCode "(.*)"$`)

func zxing(t *testing.T, names []string) map[string][]string {
	found := map[string][]string{}
	for part := range slices.Chunk(names, batch) {
		out, err := exec.Command("ZXingReader", append([]string{"-1", "-format", "QRCode"}, part...)...).Output()
		if len(out) == 0 {
			t.Errorf("ZXingReader: %v", err)
		}
		for line := range strings.Lines(string(out)) {
			if m := zxingLine.FindStringSubmatch(strings.TrimSpace(line)); m != nil {
				found[m[1]] = append(found[m[1]], m[2])
			}
		}
	}
	return found
}

func gozxingMulti(names []string, images []*image.Gray) map[string][]string {
	found := map[string][]string{}
	for i, img := range images {
		bitmap, err := gozxing.NewBinaryBitmap(gozxing.NewHybridBinarizer(gozxing.NewLuminanceSourceFromImage(halved(img))))
		if err != nil {
			continue
		}
		results, _ := multi.NewQRCodeMultiReader().DecodeMultiple(bitmap, nil)
		for _, r := range results {
			found[names[i]] = append(found[names[i]], r.GetText())
		}
	}
	return found
}

// halved brings a large picture to half its size: the reader looks at patches of
// 40 pixels, which at 600 dpi is less than two modules.
func halved(img *image.Gray) *image.Gray {
	b := img.Bounds()
	if b.Dx() <= 700 {
		return img
	}
	small := image.NewGray(image.Rect(0, 0, b.Dx()/2, b.Dy()/2))
	for y := range b.Dy() / 2 {
		for x := range b.Dx() / 2 {
			i := img.PixOffset(b.Min.X+2*x, b.Min.Y+2*y)
			sum := int(img.Pix[i]) + int(img.Pix[i+1]) + int(img.Pix[i+img.Stride]) + int(img.Pix[i+img.Stride+1])
			small.Pix[y*small.Stride+x] = uint8(sum / 4)
		}
	}
	return halved(small)
}
