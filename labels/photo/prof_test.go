package photo

import (
	"fmt"
	"image"
	"image/jpeg"
	"os"
	"testing"
	"time"
)

func load(name string) image.Image {
	f, err := os.Open(name)
	if err != nil {
		panic(err)
	}
	defer f.Close()
	img, err := jpeg.Decode(f)
	if err != nil {
		panic(err)
	}
	return img
}

func TestProf(t *testing.T) {
	name := os.Getenv("PIC")
	if name == "" {
		t.Skip()
	}
	img := load(name)
	start := time.Now()
	lap := func(s string, r *reader) {
		n := 0
		for _, c := range r.open {
			if c.strong() {
				n++
			}
		}
		fmt.Println(s, time.Since(start), "found", len(r.found), "open", len(r.open), "strong", n, "weak", len(r.weak))
		start = time.Now()
	}
	r := &reader{light: newPyramid(lumaOf(img))}
	lap("pyramid", r)
	for i := range r.light {
		r.light.prepare(i)
		lap(fmt.Sprint("contrast ", i), r)
		candidates(r.light[i].contrast)
		lap(fmt.Sprint("candidates ", i), r)
	}
	r.firstPass()
	lap("first", r)
	r.secondPass()
	lap("second", r)
	r.lastPass()
	lap("last", r)
}
