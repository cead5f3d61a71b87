package photo

import (
	"encoding/csv"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"soaktag/labels"
)

// A pictured is one of the photographs in testdata/photos and what it shows.
type pictured struct {
	name  string
	img   image.Image
	texts []string
}

func pictures(t testing.TB) []pictured {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", "photos", "truth.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var all []pictured
	for _, row := range rows[1:] {
		all = append(all, pictured{row[0], picture(t, row[0]), strings.Fields(row[1])})
	}
	return all
}

func picture(t testing.TB, name string) image.Image {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", "photos", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, err := jpeg.Decode(f)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return img
}

// known returns the list of the codes in testdata/photos/codes.txt but those
// left out.
func known(t testing.TB, without ...string) *List {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", "photos", "codes.txt"))
	if err != nil {
		t.Fatal(err)
	}
	l := &List{byText: map[string]int{}}
	for _, line := range strings.Fields(string(text)) {
		c, err := labels.Parse(line)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Contains(without, line) {
			l.add(line, c)
		}
	}
	return l
}

// What testdata/photos shows is read: all of it with the list, all but what
// is too damaged for that by decoding alone, and nothing else either way.
// Without SOAKTAG_CI decoding alone is tried on every third only.
func TestPhotographs(t *testing.T) {
	unraced(t)
	t.Parallel()
	tooSmall := []string{"QU04771"} // two pixels a module, and slime
	hopeless := append([]string{"QU345S1", "WZQ251U2", "QU029B2"}, tooSmall...)
	list := known(t)
	for i, p := range pictures(t) {
		// Every picture is read with the list: that is what people do.
		compareTexts(t, p.name+" with the list", Read(p.img, list, Options{}), p.texts, tooSmall)
		if i%atLength(1, 3) == 0 {
			compareTexts(t, p.name+" alone", Read(p.img, nil, Options{}), p.texts, hopeless)
		}
	}
}

// A quick look finds what is clear, and says of nothing else than a long one.
func TestQuickLook(t *testing.T) {
	unraced(t)
	t.Parallel()
	list, read := known(t), 0
	for _, p := range pictures(t) {
		found := Read(p.img, list, Options{Quick: true})
		compareTexts(t, p.name, found, p.texts, p.texts)
		read += len(found)
	}
	if read < 46 { // of 48 that a long look reads
		t.Errorf("%d labels read", read)
	}
}

// compareTexts reports texts that were read wrongly, and those missed unless
// they may be.
func compareTexts(t *testing.T, what string, found []Found, want, mayMiss []string) {
	t.Helper()
	texts := textsOf(found)
	for _, text := range texts {
		if !slices.Contains(want, text) {
			t.Errorf("%s: %s is not in the picture", what, text)
		}
	}
	for _, text := range want {
		if !slices.Contains(texts, text) && !slices.Contains(mayMiss, text) {
			t.Errorf("%s: %s is missed", what, text)
		}
	}
}

// A code that is not on the list is never taken for one that is, though the
// other half of the same specimen is: it is decoded, or nothing is said. Without
// SOAKTAG_CI in two pictures.
func TestCodesThatAreNotOnTheList(t *testing.T) {
	unraced(t)
	t.Parallel()
	for _, p := range pictures(t) {
		if !slices.Contains([]string{"gblur-2", "tray-3", "blotch-6", "glare-4"}[:atLength(4, 2)], p.name[:len(p.name)-len("-00201.jpg")]) {
			continue
		}
		for _, f := range Read(p.img, known(t, p.texts...), Options{}) {
			if !slices.Contains(p.texts, f.Text) || f.How != Decoded {
				t.Errorf("%s: %s, %s, margin %.2f", p.name, f.Text, f.How, f.Margin)
			}
		}
	}
}

// The same picture gives the same answer, and is not changed.
func TestReadIsDeterministic(t *testing.T) {
	list := known(t)
	for _, name := range []string{"tray-3-00201.jpg", "gblur-4-00201.jpg"} {
		img := picture(t, name)
		before := slices.Clone(img.(*image.YCbCr).Y)
		first := Read(img, list, Options{})
		if again := Read(img, list, Options{}); !reflect.DeepEqual(first, again) {
			t.Errorf("%s: %v, then %v", name, first, again)
		}
		if !slices.Equal(before, img.(*image.YCbCr).Y) {
			t.Errorf("%s was changed", name)
		}
	}
}

// Corners lie where the symbol is, in the pixels of the picture, also when the
// picture is a part of a larger one.
func TestCornersOfAPart(t *testing.T) {
	img := picture(t, "none-1-00201.jpg").(*image.YCbCr)
	whole := Read(img, nil, Options{})
	part := Read(img.SubImage(image.Rect(101, 77, 800, 600)), nil, Options{})
	if len(whole) != 1 || len(part) != 1 {
		t.Fatalf("%v, %v", whole, part)
	}
	for i, c := range whole[0].Corners {
		if off := c.minus(part[0].Corners[i]).minus(Point{101, 77}).length(); off > 3 {
			t.Errorf("corner %d lies %.1f pixels off", i, off)
		}
	}
}

func TestEmptyAndTinyPictures(t *testing.T) {
	for _, r := range []image.Rectangle{{}, image.Rect(0, 0, 1, 1), image.Rect(0, 0, 1, 900), image.Rect(5, 5, 12, 7), image.Rect(0, 0, 3000, 2)} {
		for _, img := range []image.Image{image.NewGray(r), image.NewRGBA(r), image.NewYCbCr(r, image.YCbCrSubsampleRatio420), image.NewPaletted(r, color.Palette{color.White})} {
			if found := Read(img, known(t), Options{Any: true}); len(found) != 0 {
				t.Errorf("%T %v: %v", img, r, found)
			}
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add(uint16(29), []byte("HBR017J1"))
	f.Add(uint16(64), picture(f, "gblur-4-00201.jpg").(*image.YCbCr).Y[40000:60000])
	img := symbolImage(f, "HBR017J1", 3)
	f.Add(uint16(img.Rect.Dx()), img.Pix)
	list := NewList([]labels.Code{labels.New("HBR", 17)})
	f.Fuzz(func(t *testing.T, width uint16, pix []byte) {
		w := max(1, int(width)%160)
		h := min(160, len(pix)/w)
		img := &image.Gray{Pix: pix[:w*h], Stride: w, Rect: image.Rect(0, 0, w, h)}
		for _, found := range Read(img, list, Options{Any: len(pix)%2 == 0}) {
			for _, c := range found.Corners {
				if !c.finite() {
					t.Errorf("a corner at %v", c)
				}
			}
		}
	})
}

func BenchmarkRead(b *testing.B) {
	list := known(b)
	for _, name := range []string{"none-1", "blank-1", "gblur-4", "blotch-6", "tray-2"} {
		img := picture(b, name+"-00201.jpg")
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				Read(img, list, Options{})
			}
		})
	}
}

// Each pass on the tray, begun where those before it ended.
func BenchmarkPasses(b *testing.B) {
	img, list := picture(b, "tray-2-00201.jpg"), known(b)
	passes := []struct {
		name string
		pass func(*reader)
	}{
		{"first", (*reader).firstPass}, {"general", (*reader).generalPass}, {"second", (*reader).secondPass},
		{"blurred", (*reader).blurredPass}, {"rings", (*reader).ringsPass}, {"last", (*reader).lastPass}, {"red", (*reader).redPass},
	}
	for i, p := range passes {
		b.Run(p.name, func(b *testing.B) {
			for b.Loop() {
				b.StopTimer()
				r := newReader(img, list, Options{})
				for _, q := range passes[:i] {
					q.pass(r)
				}
				b.StartTimer()
				p.pass(r)
			}
		})
	}
}

func BenchmarkNewList(b *testing.B) {
	codes := labels.Deal("HBR", 1000)
	for b.Loop() {
		NewList(codes)
	}
}

func BenchmarkMatch(b *testing.B) {
	list, soft := known(b), printed(b, "HBR017J1")
	for b.Loop() {
		list.match(soft)
	}
}

func BenchmarkCorrect(b *testing.B) {
	words, _ := wordsOf("HBR017J1")
	for b.Loop() {
		broken := words
		broken[3], broken[9], broken[20] = 1, 2, 3
		correct(broken[:], ecWords, []int{3, 4, 5, 6})
	}
}

// unraced skips what takes minutes under the race detector. The reader runs on
// one goroutine; .ci/run runs these tests once more without.
func unraced(t *testing.T) {
	t.Helper()
	if raced {
		t.Skip("takes minutes under the race detector: go test ./labels/photo")
	}
}
