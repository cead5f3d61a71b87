package qr

import (
	"encoding/csv"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"soaktag/labels"
)

// Capacity at level H, ISO/IEC 18004 as tabulated in the shared testdata/qr_capacity.csv
// (checked at every boundary with another encoder): n characters fit a
// version, n+1 need the next.
func TestEncodeAgainstPublishedCapacity(t *testing.T) {
	f, err := os.Open("../../testdata/qr_capacity.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	checked := 0
	for _, row := range rows[1:] {
		version, _ := strconv.Atoi(row[column["version"]])
		if row[column["ec_level"]] != "H" || version > 5 {
			continue
		}
		for mode, char := range map[string]string{"numeric": "7", "alphanumeric": "K", "byte": "k"} {
			n, err := strconv.Atoi(row[column[mode]])
			if err != nil {
				t.Fatal(err)
			}
			capacity(t, char, n, version)
			checked++
		}
	}
	if checked != 15 {
		t.Fatalf("checked %d boundaries, want 15", checked)
	}
}

func capacity(t *testing.T, char string, n, version int) {
	for extra, want := range []int{version, version + 1} {
		s, err := Encode(strings.Repeat(char, n+extra))
		if err != nil || s.Size != 17+4*want {
			t.Errorf("%d times %q: %d modules, %v; want version %d", n+extra, char, s.Size, err, want)
		}
	}
}

func TestEveryCodeIsVersionOne(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		c := labels.Code{Prefix: "HBR", Serial: 1 + rng.IntN(labels.MaxSerial), Half: 1 + rng.IntN(2)}
		s, err := Encode(c.Packed())
		if err != nil || s.Size != 21 {
			t.Fatalf("%s: %d modules, %v", c, s.Size, err)
		}
		if err := ReadBack(s); err != nil {
			t.Error(err)
		}
	}
}

// The three finders are where ISO/IEC 18004 puts them, and the border is off.
func TestFinders(t *testing.T) {
	s, err := Encode("HBR017J1")
	if err != nil {
		t.Fatal(err)
	}
	for _, at := range [][2]int{{0, 0}, {14, 0}, {0, 14}} {
		for i := range 7 {
			if !s.Dark(at[0]+i, at[1]) || !s.Dark(at[0], at[1]+i) || !s.Dark(at[0]+3, at[1]+3) || s.Dark(at[0]+1, at[1]+1) {
				t.Fatalf("no finder at %v", at)
			}
		}
	}
	if s.Dark(-1, 0) || s.Dark(0, 21) || s.Dark(99, 99) {
		t.Error("dark outside the symbol")
	}
	if img := s.Image(0); img.Bounds().Dx() != 29 || img.GrayAt(3, 3).Y != 255 || img.GrayAt(4, 4).Y != 0 {
		t.Error("the picture has no quiet zone of four modules")
	}
}

func TestEncodeRefuses(t *testing.T) {
	for _, text := range []string{"", strings.Repeat("x", 1274), strings.Repeat("x", 100000)} {
		if s, err := Encode(text); err == nil {
			t.Errorf("%d bytes gave a symbol of %d modules", len(text), s.Size)
		}
	}
}

func TestReadBackFindsDamage(t *testing.T) {
	s, err := Encode("HBR017J1")
	if err != nil {
		t.Fatal(err)
	}
	other := s
	other.Text = "HBR018L1"
	if err := ReadBack(other); err == nil || !strings.Contains(err.Error(), `reads back as "HBR017J1"`) {
		t.Errorf("a wrong text: %v", err)
	}
	broken := Symbol{Text: s.Text, Size: s.Size, dark: make([]bool, len(s.dark))}
	for _, bad := range []Symbol{broken, {}, {Text: "A"}} {
		if ReadBack(bad) == nil {
			t.Errorf("%d modules without a symbol were read", bad.Size)
		}
	}
}

func FuzzEncode(f *testing.F) {
	for _, seed := range []string{"HBR017J1", ".LIFTOUT", "é", "\x00", "lower 123"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if s, err := Encode(text); err == nil && (s.Size < 21 || s.Size > 177 || s.Size%4 != 1) {
			t.Fatalf("%q: %d modules", text, s.Size)
		}
	})
}

func BenchmarkEncode(b *testing.B) {
	for b.Loop() {
		if _, err := Encode("HBR017J1"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkReadBack(b *testing.B) {
	s, err := Encode("HBR017J1")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if err := ReadBack(s); err != nil {
			b.Fatal(err)
		}
	}
}
