package qr_test

import (
	"encoding/xml"
	"fmt"
	"strings"
	"testing"

	"soaktag/labels/qr"
)

// TestSVG draws the path of the picture again, module by module, and compares.
func TestSVG(t *testing.T) {
	for _, text := range []string{"HBR017J1", "http://192.168.1.7:8080/#pair=ABCDEFGHJK"} {
		symbol, err := qr.Encode(text)
		if err != nil {
			t.Fatal(err)
		}
		var picture struct {
			ViewBox string `xml:"viewBox,attr"`
			Path    struct {
				D string `xml:"d,attr"`
			} `xml:"path"`
		}
		if err := xml.Unmarshal([]byte(symbol.SVG()), &picture); err != nil {
			t.Fatal(err)
		}
		if side := symbol.Size + 8; picture.ViewBox != fmt.Sprintf("0 0 %d %d", side, side) { // four light modules a side: ISO/IEC 18004, 6.3.8
			t.Errorf("%s: view %q", text, picture.ViewBox)
		}
		drawn := map[[2]int]bool{}
		for run := range strings.SplitSeq(strings.TrimSuffix(picture.Path.D, "z"), "z") {
			var x, y, wide, back int
			if _, err := fmt.Sscanf(run, "M%d %dh%dv1h-%d", &x, &y, &wide, &back); err != nil || wide != back {
				t.Fatalf("%s: %q: %v", text, run, err)
			}
			for i := range wide {
				drawn[[2]int{x + i - 4, y - 4}] = true
			}
		}
		for y := -4; y < symbol.Size+4; y++ {
			for x := -4; x < symbol.Size+4; x++ {
				if drawn[[2]int{x, y}] != symbol.Dark(x, y) {
					t.Fatalf("%s: module %d, %d", text, x, y)
				}
			}
		}
	}
}
