package plan

import (
	"encoding/binary"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"soaktag/tracker"
)

// allocated is how many bytes reading a text as a plan takes.
func allocated(text string) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	Check("plan.toml", []byte(text))
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// A plan twice as long takes twice the work, and a key of 20,000 parts little: its places alone would
// take 400 MB.
func TestLongPlansAreReadInProportion(t *testing.T) {
	adhesives := func(n int) (text string) {
		for i := range n {
			text += fmt.Sprintf("[adhesive.A%d]\nname = \"invented %d\"\n", i, i)
		}
		return text
	}
	if few, many := allocated(adhesives(400)), allocated(adhesives(1600)); many > 6*few {
		t.Errorf("400 adhesives take %d bytes, 1,600 %d", few, many)
	}
	for name, text := range map[string]string{
		"dotted key":    strings.Repeat("a.", 20_000) + "a = 1",
		"nested tables": "a = " + strings.Repeat("{ a = ", 2000) + "1" + strings.Repeat("}", 2000),
		"nested lists":  "a = " + strings.Repeat("[", 2000) + strings.Repeat("]", 2000),
	} {
		if n := allocated(text); n > 50e6 {
			t.Errorf("%s: %d bytes", name, n)
		}
		_, problems := Check("plan.toml", []byte(text))
		if !slices.ContainsFunc(problems, func(p Problem) bool { return p.Level == Error && p.Rule == "too-deep" && p.Line == 1 }) {
			t.Errorf("%s: %v", name, problems)
		}
	}
}

// What nobody could tell apart by hand is refused before anything long is worked out.
func TestTooManyOfSomething(t *testing.T) {
	for n, want := range map[int]string{mostAdhesives: "", mostAdhesives + 1: "the plan has 501 adhesives, more than 500"} {
		problems := Names("plan.toml", &tracker.Study{Adhesives: make([]tracker.Adhesive, n)})
		if said := fmt.Sprint(problems); (want == "") != (len(problems) == 0) || !strings.Contains(said, want) {
			t.Errorf("%d adhesives: %s", n, said)
		}
	}
}

// What an editor saves as UTF-16, with its mark and without, is told as that.
func TestTextOfTwoBytes(t *testing.T) {
	const plain = "[study]\ntitle = \"Fugen\"\n"
	for name, text := range map[string][]byte{
		"little, marked": append([]byte("\xff\xfe"), wider(plain, binary.LittleEndian)...),
		"big, marked":    append([]byte("\xfe\xff"), wider(plain, binary.BigEndian)...),
		"little":         wider(plain, binary.LittleEndian), "big": wider(plain, binary.BigEndian)} {
		_, problems := Check("plan.toml", text)
		if len(problems) != 1 || problems[0].Rule != "encoding" || !strings.Contains(problems[0].Hint, "UTF-8") {
			t.Errorf("%s: %v", name, problems)
		}
	}
	if _, problems := Check("plan.toml", []byte("\xef\xbb\xbf"+plain)); slices.ContainsFunc(problems, func(p Problem) bool { return p.Rule == "encoding" }) {
		t.Errorf("UTF-8 with a mark: %v", problems)
	}
}

func wider(text string, order binary.AppendByteOrder) (wide []byte) {
	for _, unit := range utf16.Encode([]rune(text)) {
		wide = order.AppendUint16(wide, unit)
	}
	return wide
}

// What is not known is left out, and the hint says so.
func TestNotKnown(t *testing.T) {
	for _, word := range []string{"unknown", "not known", "?", "N/A", "Unknown?"} {
		_, problems := Check("plan.toml", []byte("[specimen]\nbond = \"40 mm x 45 mm\"\n[[rig]]\nname = \"press\"\nparts = [{ name = \"frame\", working_limit = \""+word+"\" }]\n"))
		if !slices.ContainsFunc(problems, func(p Problem) bool {
			return strings.HasSuffix(p.Key, "working_limit") && strings.HasPrefix(p.Hint, "leave the key out")
		}) {
			t.Errorf("%s: %v", word, problems)
		}
	}
}
