package labels

import (
	"encoding/csv"
	"errors"
	"os"
	"slices"
	"strings"
	"testing"
)

// The vectors were published with the sources named in each row.
func TestCheckAgainstPublishedVectors(t *testing.T) {
	f, err := os.Open("../testdata/iso7064_vectors.csv")
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
	seen := 0
	for _, row := range rows {
		if row[0] != "MOD37,36" {
			continue
		}
		seen++
		if got, err := Check(row[1]); err != nil || string(got) != row[2] {
			t.Errorf("Check(%s) = %c, %v; want %s (%s)", row[1], got, err, row[2], row[3])
		}
	}
	if seen < 16 {
		t.Fatalf("only %d vectors read", seen)
	}
}

func TestCheckRefuses(t *testing.T) {
	for _, payload := range []string{"", "abc", "A-1", "É", "A B"} {
		if c, err := Check(payload); err == nil {
			t.Errorf("Check(%q) = %c, want an error", payload, c)
		}
	}
}

// All states and pairs of characters: the step is a bijection, 72 of 45,360
// swaps of neighbours are missed, and 2 of 1,260 swaps with the check
// character. Counted independently from the formula of ISO/IEC 7064.
func TestCheckExhaustively(t *testing.T) {
	swaps, missed := 0, 0
	for p := 1; p <= 36; p++ {
		seen := map[int]bool{}
		for a := range 36 {
			seen[step(p, a)] = true
			for b := range 36 {
				if a != b {
					swaps++
					if step(step(p, a), b) == step(step(p, b), a) {
						missed++
					}
				}
			}
		}
		if len(seen) != 36 {
			t.Errorf("state %d: only %d different successors", p, len(seen))
		}
	}
	if swaps != 45360 || missed != 72 {
		t.Errorf("missed %d of %d swaps of neighbours, want 72 of 45360", missed, swaps)
	}
	tail, missedTail := lastSwaps()
	if tail != 1260 || missedTail != 2 {
		t.Errorf("missed %d of %d swaps with the check character, want 2 of 1260", missedTail, tail)
	}
}

// lastSwaps exchanges the last payload character with the check character.
func lastSwaps() (swaps, missed int) {
	for p := 1; p <= 36; p++ {
		for a := range 36 {
			c := (37 - step(p, a)) % 36
			if a == c {
				continue
			}
			swaps++
			if (step(p, c)+a)%36 == 1 {
				missed++
			}
		}
	}
	return swaps, missed
}

// Every single wrong character of every dealt code is refused, or (where a
// letter of the prefix moves between keyboards) read as the code it was.
func TestEverySingleErrorIsFound(t *testing.T) {
	for _, prefix := range []string{"HBR", "BX", "ZAQ"} {
		for _, c := range append(Deal(prefix, 120), New(prefix, 1234), New(prefix, 99999)) {
			for _, half := range []int{0, 1} {
				c.Half = half
				singleErrors(t, c)
			}
		}
	}
}

func singleErrors(t *testing.T, c Code) {
	packed := c.Packed()
	covered := len(c.Whole().Packed())
	for i := range covered {
		for j := range len(alphabet) {
			wrong := packed[:i] + alphabet[j:j+1] + packed[i+1:]
			if wrong == packed {
				continue
			}
			got, err := Parse(wrong)
			if err == nil && got.Whole() != c.Whole() && got.Prefix == c.Prefix && !ambiguous(wrong) {
				t.Errorf("%s was read as %s, want %s or an error", wrong, got, c)
			}
		}
	}
}

// ambiguous text has two readings: four digits whole, or three and a half.
func ambiguous(packed string) bool { return len(readings(packed, nil)) > 1 }

// Every swap of neighbours is refused, or read as the code it was, except where
// the scheme itself gives both the same check character (the 72 and the 2 above).
func TestEverySwapOfNeighbours(t *testing.T) {
	for _, prefix := range []string{"HBR", "KT", "XYZ", "ABC"} {
		missed, swaps := 0, 0
		for _, c := range Deal(prefix, 900) {
			packed := c.Packed()
			for i := range len(packed) - 1 {
				if packed[i] == packed[i+1] {
					continue
				}
				swaps++
				wrong := packed[:i] + packed[i+1:i+2] + packed[i:i+1] + packed[i+2:]
				check, _ := Check(wrong[:len(wrong)-1])
				if check == wrong[len(wrong)-1] {
					missed++
				} else if got, err := Parse(wrong); err == nil && got != c && got.Prefix == c.Prefix {
					t.Errorf("%s, swapped to %s, was read as %s", c, wrong, got)
				}
			}
		}
		t.Logf("%s: the scheme misses %d of %d swaps of neighbours", prefix, missed, swaps)
	}
}

func TestCodeForms(t *testing.T) {
	c := New("HBR", 17)
	if c.String() != "HBR-017-J" || c.Packed() != "HBR017J" {
		t.Errorf("got %s and %s, want HBR-017-J and HBR017J", c, c.Packed())
	}
	c.Half = 1
	if c.String() != "HBR-017-J/1" || c.Packed() != "HBR017J1" || c.Whole() != New("HBR", 17) {
		t.Errorf("got %s and %s", c, c.Packed())
	}
	for _, bad := range []Code{{"H", 1, 0}, {"HBRX", 1, 0}, {"HBL", 1, 0}, {"hbr", 1, 0}, {"HBR", 0, 0}, {"HBR", 100000, 0}, {"HBR", 1, 3}} {
		if bad.Valid() == nil {
			t.Errorf("%+v is taken for valid", bad)
		}
	}
	if s := (Code{Prefix: "é"}).String(); !strings.Contains(s, "?") {
		t.Errorf("a prefix without check character gives %q", s)
	}
}

func TestDeal(t *testing.T) {
	codes := Deal("HBR", 2000)
	if len(codes) != 2000 {
		t.Fatalf("dealt %d", len(codes))
	}
	for i, c := range codes {
		if strings.ContainsRune("IO", rune(c.CheckCharacter())) {
			t.Errorf("%s has a check character that is easily misread", c)
		}
		if i > 0 && c.Serial <= codes[i-1].Serial {
			t.Errorf("%s after %s", c, codes[i-1])
		}
	}
	if codes[1999].Serial == 2000 {
		t.Error("no serial was skipped")
	}
	if n := len(Deal("HBR", -1)); n != 0 {
		t.Errorf("dealt %d of -1", n)
	}
}

func TestParse(t *testing.T) {
	whole, half := New("HBR", 17), Code{"HBR", 17, 1}
	for text, want := range map[string]Code{
		"HBR-017-J": whole, "HBR017J": whole, "hbr-017-j": whole, " hbr 017 j ": whole, "HBR-17-J": whole,
		"HBR-017-J/1": half, "HBR017J1": half, "hbr017j1\r\n": half, "HBR-017-J-1": half, "HBR 017 J 1": half,
		`HBR-017-J\1`: half, "HBR–017–J⁄1": half, "HBR-017-J|1": half, "HBR017J/1": half, "\ufeffHBR-017-J/1": half,
		"HBRß017ßJ-1": half, "HBR'017'J-1": half, // US scanner on a German, on a Spanish or Italian keyboard
		"HBRà&èJ&": half, "hbrà&èj&": half, "HBR-à&è-J&": half, "HBRÀ&ÈJ&": half, "HBR)à&è)J!&": half,
		"HBR-1234-" + string(New("HBR", 1234).CheckCharacter()):          New("HBR", 1234),
		"HBR-99999-" + string(New("HBR", 99999).CheckCharacter()) + "/2": {"HBR", 99999, 2},
	} {
		if got, err := Parse(text); err != nil || got != want {
			t.Errorf("Parse(%q) = %+v, %v; want %v", text, got, err, want)
		}
	}
}

func TestParseForeignLetters(t *testing.T) {
	for _, c := range []Code{{"YZB", 23, 1}, {"AQW", 16, 2}, {"ZW", 666, 1}, {"MAB", 105, 0}} {
		packed := c.Packed()
		for _, typed := range []string{qwertz(packed), strings.NewReplacer("A", "q", "Q", "a", "W", "z", "Z", "w", "M", ",",
			"1", "&", "2", "é", "3", "\"", "4", "'", "5", "(", "6", "-", "7", "è", "8", "_", "9", "ç", "0", "à").Replace(packed)} {
			if got, err := Parse(typed); err != nil || got != c {
				t.Errorf("Parse(%q) = %+v, %v; want %v", typed, got, err, c)
			}
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, text := range []string{
		"", " ", "HBR", "017", "HBR-J", "HBR-017", "HBR--017-J", "-HBR-017-J", "HBR-017-J/", "HBR-017-J/3", "HBR-0-J", "HBR-000-R",
		"HBL-017-J", "HBRX-017-J", "HB-R017-J", "HBR-01-7J", ".LIFTOUT", "http://a/HBR-017-J", strings.Repeat("A", 100), "HBR-0017-J", "é", "\x00",
	} {
		if c, err := Parse(text); err == nil {
			t.Errorf("Parse(%q) = %s, want an error", text, c)
		}
	}
	var wrong *CheckError
	if _, err := Parse("HBR-017-K/2"); !errors.As(err, &wrong) || wrong.Code != (Code{"HBR", 17, 2}) || wrong.Got != 'K' {
		t.Errorf("HBR-017-K/2: %v", err)
	}
	if _, err := Parse("hello"); !errors.Is(err, ErrNotACode) {
		t.Errorf("hello: %v", err)
	}
}

// Of two readings of packed text at most one has a right check character, and
// it is the one that was meant; separators settle it too.
func TestParseAmbiguous(t *testing.T) {
	two := 0
	for serial := 1000; serial <= 9999; serial++ {
		c := New("HBR", serial)
		if ambiguous(c.Packed()) {
			two++
		}
		for _, half := range []int{0, 1, 2} {
			c.Half = half
			for _, text := range []string{c.Packed(), c.String()} {
				if got, err := Parse(text); err != nil || got != c {
					t.Errorf("Parse(%s) = %v, %v", text, got, err)
				}
			}
		}
	}
	if two == 0 {
		t.Error("no packed text had two readings: the test shows nothing")
	}
}

func TestParseSerial(t *testing.T) {
	for text, want := range map[string][2]int{"17": {17, 0}, "017": {17, 0}, " #17 ": {17, 0}, "17/2": {17, 2}, "&è": {17, 0}, "99999": {99999, 0}} {
		serial, half, ok := ParseSerial(text)
		if !ok || serial != want[0] || half != want[1] {
			t.Errorf("ParseSerial(%q) = %d, %d, %v", text, serial, half, ok)
		}
	}
	for _, text := range []string{"", "0", "-1", "1.5", "17/3", "17/", "HBR", "123456", "17J", "+5", "-", "_"} {
		if serial, half, ok := ParseSerial(text); ok {
			t.Errorf("ParseSerial(%q) = %d, %d, want nothing", text, serial, half)
		}
	}
}

func TestNearest(t *testing.T) {
	known := Deal("HBR", 60)
	got := Nearest("HBR-O17-J", known, 3)
	if len(got) == 0 || got[0] != New("HBR", 17) || len(got) > 3 {
		t.Errorf("nearest to HBR-O17-J: %v", got)
	}
	if got := Nearest("HBR-107-J", known, 1); !slices.Equal(got, []Code{New("HBR", 17)}) {
		t.Errorf("nearest to HBR-107-J: %v", got)
	}
	for _, text := range []string{"", "é", "TOTALLYELSE", "HBR-099-J"} {
		if got := Nearest(text, known, 3); len(got) != 0 {
			t.Errorf("nearest to %q: %v", text, got)
		}
	}
	if got := Nearest("HBR-017-J", known, -1); len(got) != 0 {
		t.Errorf("-1 nearest: %v", got)
	}
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{"HBR-017-J/1", "hbr017j1", "HBRà&èJ&", "HBRß017ßJ-1", "HBR12341", "", "17/2", "\xff-1", "YB-100-?"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		ParseSerial(text)
		Nearest(text, []Code{{"HBR", 17, 0}}, 2)
		c, err := Parse(text)
		if err != nil {
			return
		}
		if c.Valid() != nil {
			t.Fatalf("Parse(%q) = %+v: %v", text, c, c.Valid())
		}
		if again, err := Parse(c.String()); err != nil || again != c {
			t.Fatalf("Parse(%q) = %s, then %+v, %v", text, c, again, err)
		}
	})
}
