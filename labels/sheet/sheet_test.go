package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/labels/qr"
	"soaktag/labels/sheet/sheettest"
)

// The stages, names and baths here are invented.
var stages = []string{"cut", "planing", "glue-up", "clamp removal", "immersion", "lift-out", "break"}

func stock(t testing.TB, text string) labels.Stock {
	t.Helper()
	s, err := labels.ParseStock(text)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func dealt(n int) []Label {
	var out []Label
	for _, c := range labels.Deal("HBR", n) {
		out = append(out, Label{Code: c})
	}
	return out
}

func pdf(t testing.TB, job Job) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, job); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// cards are the cards of a study with as much to mind on them as the longest say.
func cards(stages, people, baths []string) []Card {
	all := Cards(stages, people, baths)
	for i := range all {
		switch all[i].Kind {
		case labels.CardStage:
			all[i].Caution = strings.Repeat("Mind the "+stages[0]+", and what flies. ", 13)
		case labels.CardBath:
			all[i].Caution, all[i].Care = strings.Repeat("KEEP THE LID LOCKED. ", 7), strings.Repeat("No bleach, no mixed chemicals. ", 10)
		}
	}
	return all
}

// crop cuts a label out of a page.
func crop(page *image.Gray, r labels.Rect, dpi int) *image.Gray {
	px := func(mm float64) int { return int(math.Round(mm / 25.4 * float64(dpi))) }
	return page.SubImage(image.Rect(px(r.X), px(r.Y), px(r.X+r.Width), px(r.Y+r.Height))).(*image.Gray)
}

// Every symbol of a full sheet of every example stock is cut out label by label,
// at the resolutions of common label, office and photo printers, and read by
// three readers. Without SOAKTAG_CI only some stocks, and no photo printer.
func TestEveryLabelIsRead(t *testing.T) {
	sheettest.Need(t, "pdftoppm", "zbarimg", "ZXingReader")
	for i, text := range labels.Stocks() {
		if !sheettest.Everything() && i%4 != 2 {
			continue
		}
		s := stock(t, text)
		n := max(s.Cells()/2, 4)
		job := Job{Stock: s, Labels: dealt(n)}
		data := pdf(t, job)
		for _, dpi := range []int{203, 300, 600} {
			if dpi == 600 && !sheettest.Everything() {
				continue
			}
			pages := sheettest.Render(t, data, dpi, 20)
			var images []*image.Gray
			var want []string
			for j, text := range job.texts() {
				if page := j / s.Cells(); page < len(pages) {
					images = append(images, crop(pages[page], s.Cell(j), dpi))
					want = append(want, text)
				}
			}
			readAll(t, fmt.Sprintf("%s at %d dpi", text, dpi), images, want)
		}
	}
}

// Place and size at 600 dpi, by measuring the picture: the symbol stands at the
// left edge of its label, centred in its height, and every module is as wide
// as high.
func TestPlaceAndSize(t *testing.T) {
	sheettest.Need(t, "pdftoppm")
	for _, text := range []string{"a4 3x9 63.5x29.6", "letter 4x15 44.5x16.9 gap 7.5x0", "roll 38x19"} {
		s := stock(t, text)
		for _, nudge := range [][2]float64{{0, 0}, {1.3, -0.7}} {
			job := Job{Stock: s, Labels: dealt(s.Cells()/2 + 1), NudgeX: nudge[0], NudgeY: nudge[1]}
			page := sheettest.Render(t, pdf(t, job), 600, 1)[0]
			for i := range min(s.Cells(), len(job.texts())) {
				place(t, fmt.Sprintf("%s label %d", text, i+1), page, s.Cell(i), nudge)
			}
		}
	}
}

const perMM = 600 / 25.4

// place measures the symbol in a cell by its finders.
func place(t *testing.T, what string, page *image.Gray, cell labels.Rect, nudge [2]float64) {
	t.Helper()
	x0, y0 := cell.X+nudge[0], cell.Y+nudge[1]
	left, top := corner(page, x0, y0, cell.Height/2)
	finder := runEnd(page, left+0.15, top+0.15, 1, 0) - left // seven modules
	right := runEnd(page, left+finder*17.5/7, top+0.15, 1, 0)
	bottom := runEnd(page, left+0.15, top+finder*17.5/7, 0, 1)
	module := (right - left) / 21
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"left", left - x0, edge + qr.QuietZone*module},
		{"top", top - y0, (cell.Height - 21*module) / 2},
		{"height over width", bottom - top, right - left},
		{"finder", finder, 7 * module},
	} {
		if !(math.Abs(c.got-c.want) <= 0.1) {
			t.Errorf("%s: %s %.3f mm, want %.3f", what, c.name, c.got, c.want)
		}
	}
	if !(module > leastModule-0.005) {
		t.Errorf("%s: module of %.3f mm", what, module)
	}
}

func dark(page *image.Gray, x, y int) bool { return page.GrayAt(x, y).Y < 128 }

// corner finds the top left corner of the finder in the upper half of a label, in mm.
func corner(page *image.Gray, x0, y0, height float64) (left, top float64) {
	for x := int(max(x0, 0) * perMM); x < page.Rect.Dx(); x++ {
		for y := int(max(y0, 0) * perMM); y < min(int((y0+height)*perMM), page.Rect.Dy()); y++ {
			if dark(page, x, y) {
				return float64(x) / perMM, float64(y) / perMM
			}
		}
	}
	return math.NaN(), math.NaN()
}

// runEnd follows a dark run from a point and returns where it ends, in mm.
func runEnd(page *image.Gray, x, y float64, dx, dy int) float64 {
	i, j := int(x*perMM), int(y*perMM)
	for (image.Point{X: i, Y: j}).In(page.Rect) && dark(page, i, j) {
		i, j = i+dx, j+dy
	}
	return float64(i*dx+j*dy) / perMM
}

// Cards of every kind, on sheets and rolls, are read where they stand.
func TestEveryCardIsRead(t *testing.T) {
	sheettest.Need(t, "pdftoppm", "zbarimg", "ZXingReader")
	for _, text := range []string{"a4 3x9 63.5x29.6", "letter 3x10 66.7x25.4 gap 3.2x0", "roll 50x25"} {
		job := Job{Stock: stock(t, text), Cards: cards(stages, []string{"Anna", "Zoë"}, []string{"B1"}), Title: "an invented study"}
		pages := sheettest.Render(t, pdf(t, job), 203, 99)
		dir := t.TempDir()
		var names []string
		for i, page := range pages {
			names = append(names, fmt.Sprintf("%s/%03d.pgm", dir, i))
			writePGM(t, names[i], page)
		}
		found := map[string]bool{}
		for _, texts := range zxing(t, names) {
			for _, text := range texts {
				found[text] = true
			}
		}
		for _, texts := range zbar(t, names) {
			for _, text := range texts {
				found["zbar "+text] = true
			}
		}
		for _, text := range job.texts() {
			// this version of ZXingReader reports one symbol a picture
			if !found["zbar "+text] || !found[text] && job.Stock.Roll() {
				t.Errorf("%s: card %q is not read", job.Stock, text)
			}
		}
	}
}

// 5,000 random codes, or 200 without SOAKTAG_CI: what the encoder makes is read
// by three readers.
func TestRandomCodesAreRead(t *testing.T) {
	sheettest.Need(t, "zbarimg", "ZXingReader")
	n := 200
	if sheettest.Everything() {
		n = 5000
	}
	rng := rand.New(rand.NewPCG(2026, 11))
	const letters = "ABCDEFGHJKMNPQRSTUVWXYZ"
	var images []*image.Gray
	var want []string
	for range n {
		prefix := []byte{letters[rng.IntN(23)], letters[rng.IntN(23)], letters[rng.IntN(23)]}
		c := labels.Code{Prefix: string(prefix), Serial: 1 + rng.IntN(999), Half: 1 + rng.IntN(2)}
		s, err := qr.Encode(c.Packed())
		if err != nil {
			t.Fatal(err)
		}
		images, want = append(images, s.Image(5)), append(want, c.Packed())
	}
	readAll(t, "random code", images, want)
}

func TestSameBytes(t *testing.T) {
	date := time.Date(2026, 2, 21, 13, 30, 0, 0, time.FixedZone("", 3600))
	for _, text := range []string{"a4 3x9 63.5x29.6", "roll 50x25"} {
		job := Job{Stock: stock(t, text), Title: "Zoë's study ≥ 80 %", Labels: dealt(30), Cards: cards(stages, []string{"Anna"}, []string{"B1"}), Date: date}
		first := pdf(t, job)
		for range 9 {
			if !bytes.Equal(first, pdf(t, job)) {
				t.Fatalf("%s: the same job gave other bytes", text)
			}
		}
		if !bytes.Contains(first, []byte("D:20260221123000")) {
			t.Errorf("%s: the date is not in the PDF", text)
		}
		job.Date = time.Time{}
		if again := pdf(t, job); !bytes.Equal(again, pdf(t, job)) || !bytes.Contains(again, []byte("D:19700101000000")) {
			t.Errorf("%s: without a date the bytes follow the clock", text)
		}
	}
}

func TestNothingIsWrittenWhenASymbolFails(t *testing.T) {
	var b bytes.Buffer
	long := Card{Card: labels.Card{Kind: labels.CardStage, Name: strings.Repeat("X", 2000)}}
	err := Write(&b, Job{Stock: stock(t, "a4 3x9 63.5x29.6"), Labels: dealt(3), Cards: []Card{long}})
	var failed *SymbolsError
	if !errors.As(err, &failed) || len(failed.Texts) != 1 || failed.Texts[0] != long.Text() || b.Len() != 0 {
		t.Errorf("%d bytes written, %v", b.Len(), err)
	}
}

func TestEveryFailingSymbolIsNamed(t *testing.T) {
	var texts []string
	for _, c := range labels.Deal("HBR", 40) {
		texts = append(texts, c.Packed())
	}
	unreadable := errors.New("unreadable")
	odd := func(s qr.Symbol) error {
		if strings.ContainsAny(s.Text[5:6], "13579") {
			return unreadable
		}
		return nil
	}
	symbols, err := encodeWith(texts, qr.Encode, odd)
	var failed *SymbolsError
	if !errors.As(err, &failed) || symbols != nil || !errors.Is(err, unreadable) {
		t.Fatalf("%v, %v", symbols, err)
	}
	for _, text := range failed.Texts {
		if !strings.ContainsAny(text[5:6], "13579") {
			t.Errorf("%s is named and is good", text)
		}
	}
	if !strings.Contains(err.Error(), failed.Texts[0]) || !strings.Contains(err.Error(), "more") {
		t.Error(err)
	}
}

func TestWriteRefuses(t *testing.T) {
	good := stock(t, "a4 3x9 63.5x29.6")
	for want, job := range map[string]Job{
		"nothing to print":  {Stock: good},
		"places 1 to 27":    {Stock: good, Labels: dealt(1), StartAt: 28},
		"start at -1":       {Stock: good, Labels: dealt(1), StartAt: -1},
		"nudge":             {Stock: good, Labels: dealt(1), NudgeX: math.NaN()},
		"too small":         {Stock: stock(t, "roll 20x10"), Labels: dealt(1)},
		"prefix":            {Stock: good, Labels: []Label{{Code: labels.New("hbr", 1)}}},
		"holds no labels":   {Labels: dealt(1)},
		"does not fit on r": {Stock: stock(t, "roll 30x15"), Cards: cards([]string{strings.Repeat("antidisestablishment ", 6)}, nil, nil)},
	} {
		var b bytes.Buffer
		if err := Write(&b, job); err == nil || !strings.Contains(err.Error(), want) || b.Len() > 0 {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

func TestStartAt(t *testing.T) {
	sheettest.Need(t, "pdftoppm")
	s := stock(t, "a4 3x9 63.5x29.6")
	pages := sheettest.Render(t, pdf(t, Job{Stock: s, Labels: dealt(2), StartAt: 26}), 100, 9)
	if len(pages) != 2 {
		t.Fatalf("%d pages, want 2", len(pages))
	}
	for i := range 27 {
		for page, want := range []bool{i >= 25, i < 2} {
			if got := inked(crop(pages[page], s.Cell(i), 100)); got != want {
				t.Errorf("page %d, place %d: printed %v, want %v", page+1, i+1, got, want)
			}
		}
	}
}

// What is printed keeps inside its label, and off the edge of a sheet, which
// printers leave white.
func TestInkKeepsInside(t *testing.T) {
	sheettest.Need(t, "pdftoppm")
	const dpi, border = 150, 0.5
	for _, text := range labels.Stocks() {
		s := stock(t, text)
		page := sheettest.Render(t, pdf(t, Job{Stock: s, Labels: dealt(s.Cells())[:max(1, s.Cells()/2)]}), dpi, 1)[0]
		for i := range s.Cells() {
			c := s.Cell(i)
			for _, side := range []labels.Rect{{X: c.X, Y: c.Y, Width: c.Width, Height: border}, {X: c.X, Y: c.Y + c.Height - border, Width: c.Width, Height: border},
				{X: c.X, Y: c.Y, Width: border, Height: c.Height}, {X: c.X + c.Width - border, Y: c.Y, Width: border, Height: c.Height}} {
				if inked(crop(page, side, dpi)) {
					t.Errorf("%s: label %d reaches its edge", text, i+1)
				}
			}
		}
		right := labels.Rect{X: s.PageWidth - unprinted + 0.2, Width: unprinted - 0.2, Height: s.PageHeight}
		if !s.Roll() && (inked(crop(page, right, dpi)) || inked(crop(page, labels.Rect{Width: unprinted - 0.2, Height: s.PageHeight}, dpi))) {
			t.Errorf("%s: ink on the edge of the sheet", text)
		}
	}
}

func inked(img *image.Gray) bool {
	b := img.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			if img.GrayAt(x, y).Y < 128 {
				return true
			}
		}
	}
	return false
}

func TestWhatIsPrinted(t *testing.T) {
	job := Job{Stock: stock(t, "a4 3x9 63.5x29.6"), Title: "an invented study", Cards: cards(stages, []string{"Zoë"}, []string{"B1", "B2"}),
		Labels: []Label{{Code: labels.New("HBR", 17)}, {Code: labels.Code{Prefix: "HBR", Serial: 18, Half: 2}, Issue: 3}}}
	job.Cards[len(job.Cards)-1].LiftOut = "Sat 14 March 10:40"
	job.Cards[len(job.Cards)-1].Holds = []string{"HBR-017-J"}
	got := sheettest.Words(t, pdf(t, job))
	for _, want := range []string{"017-J/1", "017-J/2", "018-H/2", "issue three", "Glue-up", "Mind the cut",
		"Yes", "Undo", "Zoë", "Scanner test", "Bath B1", "KEEP THE LID LOCKED", "No bleach",
		"planned lift-out", "an invented study", "Sat 14 March 10:40", "holds HBR-017-J", "50 mm", ".WHOZOE"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not printed", want)
		}
	}
	for _, not := range []string{"018-H/1", "epoxy resin", "casein"} {
		if strings.Contains(got, not) {
			t.Errorf("%q is printed", not)
		}
	}
}

// Stock without a margin has its scale bar on the first label that is left.
func TestScaleBarOnASpareLabel(t *testing.T) {
	job := Job{Stock: stock(t, "a4 3x8 70x37"), Labels: dealt(11)}
	if got := sheettest.Words(t, pdf(t, job)); !strings.Contains(got, "50 mm") {
		t.Error("no scale bar on the spare labels")
	}
	job.Labels = dealt(12)
	if got := sheettest.Words(t, pdf(t, job)); strings.Contains(got, "50 mm") {
		t.Error("a scale bar on a full sheet without margin")
	}
}

func TestLegible(t *testing.T) {
	for text, want := range map[string]string{
		"Zoë µ ± ≥ ≤ Ωκ Ж": "Zoë µ ± ≥ ≤ Ωκ Ж", "✓ ⚠ 漢 \U0001F600": "? ? ? ?", "a\u2011b": "a-b", "a\nb\u00ad": "a b",
	} {
		if got := Legible(text); got != want {
			t.Errorf("Legible(%q) = %q, want %q", text, got, want)
		}
	}
}

func TestLabelsTakeAnyTitle(t *testing.T) {
	for _, text := range []string{"", "\x00\xff", "漢字 \U0001F600", strings.Repeat("long ", 200), strings.Repeat("x", 500)} {
		if err := Write(&bytes.Buffer{}, Job{Stock: stock(t, "a4 3x9 63.5x29.6"), Title: text, Labels: dealt(1)}); err != nil {
			t.Errorf("%.20q: %v", text, err)
		}
	}
}

func TestIssueWords(t *testing.T) {
	for issue, want := range map[int]string{-1: "", 0: "", 1: "", 2: "issue two", 19: "issue nineteen", 20: "issue twenty", 42: "issue forty-two", 100: "issue 100"} {
		if got := issueWords(issue); got != want {
			t.Errorf("issue %d is %q, want %q", issue, got, want)
		}
	}
}

// Letters of the code are 3 mm high at least, on every example stock, with five
// digits, three letters and an issue.
func TestLettersAreLargeEnough(t *testing.T) {
	for _, text := range labels.Stocks() {
		job := Job{Stock: stock(t, text), Labels: []Label{{Code: labels.New("WMW", 88888), Issue: 23}}}
		symbols, err := encode(job.texts())
		if err != nil {
			t.Fatal(err)
		}
		p, err := NewPaper(100, 100, "", time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		p.Page()
		f, err := p.fit(job.Stock, job.halves(), symbols)
		if err != nil || f.caps < leastCaps || f.module < leastModule-1e-9 {
			t.Errorf("%s: letters %.2f mm, module %.2f mm, %v", text, f.caps, f.module, err)
		}
	}
}

func job1000(b *testing.B) Job {
	return Job{Stock: stock(b, "a4 3x9 63.5x29.6"), Labels: dealt(500), Date: time.Unix(0, 0)}
}

// BenchmarkSheetA4x1000 against BenchmarkEncodeOnly1000 is what printing costs
// over encoding alone; Write also reads every symbol back, which
// BenchmarkReadBack1000 measures apart: 1,000 labels each, on one goroutine.
func BenchmarkSheetA4x1000(b *testing.B) {
	job := job1000(b)
	unread := func(qr.Symbol) error { return nil }
	for b.Loop() {
		symbols := make([]symbol, 0, 1000)
		for _, text := range job.texts() {
			s, err := one(text, qr.Encode, unread)
			if err != nil {
				b.Fatal(err)
			}
			symbols = append(symbols, s)
		}
		if err := draw(&bytes.Buffer{}, job, symbols); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkEncodeOnly1000(b *testing.B) {
	texts := job1000(b).texts()
	for b.Loop() {
		for _, text := range texts {
			if _, err := qr.Encode(text); err != nil {
				b.Fatal(err)
			}
		}
	}
}

func BenchmarkReadBack1000(b *testing.B) {
	var symbols []qr.Symbol
	for _, text := range job1000(b).texts() {
		s, err := qr.Encode(text)
		if err != nil {
			b.Fatal(err)
		}
		symbols = append(symbols, s)
	}
	for b.Loop() {
		for _, s := range symbols {
			if err := qr.ReadBack(s); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// BenchmarkWrite1000 is all of it: two goroutines encode and read back.
func BenchmarkWrite1000(b *testing.B) {
	job := job1000(b)
	for b.Loop() {
		if err := Write(&bytes.Buffer{}, job); err != nil {
			b.Fatal(err)
		}
	}
}
