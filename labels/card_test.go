package labels

import (
	"strings"
	"testing"
)

var testStages = []string{"cut", "glue-up", "clamp removal", "immersion", "lift-out", "break", "bath change"}

func TestCardsComeBack(t *testing.T) {
	cards := []Card{{CardYes, ""}, {CardUndo, ""}, {CardTest, ""}, {CardWho, "Anna"}, {CardWho, "Anna Smith"}, {CardBath, "B2"}, {CardBath, "X"}}
	for _, stage := range testStages {
		cards = append(cards, Card{CardStage, stage})
	}
	for _, c := range cards {
		for _, text := range []string{c.Text(), strings.ToLower(c.Text()), " " + c.Text() + "\r\n"} {
			if got, ok := ParseCard(text, testStages); !ok || got != c {
				t.Errorf("ParseCard(%q) = %+v, %v; want %+v", text, got, ok, c)
			}
		}
		if _, err := Parse(c.Text()); err == nil {
			t.Errorf("%q reads as a code", c.Text())
		}
		if c.Title() == "" || strings.Trim(c.Text(), alphabet+" $%*+-./:") != "" {
			t.Errorf("%+v: title %q, text %q", c, c.Title(), c.Text())
		}
	}
	if (Card{}).Text() != "" || (Card{}).Title() != "" || NoCard.String() != "no card" {
		t.Error("the zero card is not empty")
	}
}

func TestCardText(t *testing.T) {
	for want, c := range map[string]Card{
		".LIFTOUT": {CardStage, "lift-out"}, ".BATHB2": {CardBath, "b 2"}, ".YES": {CardYes, ""}, ".UNDO": {CardUndo, ""},
		".WHOANNA": {CardWho, "Anna"}, ".WHOZOE MULLER": {CardWho, "Zoë Müller"},
	} {
		if got := c.Text(); got != want {
			t.Errorf("%+v gives %q, want %q", c, got, want)
		}
	}
	if greek := (Card{CardStage, "κόλλα"}); !strings.HasPrefix(greek.Text(), ".X") {
		t.Errorf("a name without Latin letters gives %q", greek.Text())
	} else if got, ok := ParseCard(greek.Text(), []string{"κόλλα"}); !ok || got != greek {
		t.Errorf("read back as %+v, %v", got, ok)
	}
}

func TestParseCardTyped(t *testing.T) {
	for text, want := range map[string]Card{
		"lift-out": {CardStage, "lift-out"}, "Lift Out": {CardStage, "lift-out"}, "liftout": {CardStage, "lift-out"},
		"clamp  removal": {CardStage, "clamp removal"}, "GLUE-UP": {CardStage, "glue-up"}, "yes": {CardYes, ""}, "Undo": {CardUndo, ""},
		"who anna": {CardWho, "Anna"}, "bath B2": {CardBath, "B2"}, "bath change": {CardStage, "bath change"},
		".zes": {CardYes, ""}, ":ZHOQNNQ": {CardWho, "Anna"}, ":LIFTOUT": {CardStage, "lift-out"}, // foreign layouts
	} {
		if got, ok := ParseCard(text, testStages); !ok || got != want {
			t.Errorf("ParseCard(%q) = %+v, %v; want %+v", text, got, ok, want)
		}
	}
	for _, text := range []string{"", ".", "-", "bath", "who", "whoanna", "bathB2", "HBR-017-J", ".WHO", "é", ".DRY", strings.Repeat("x", 99)} {
		if got, ok := ParseCard(text, testStages); ok {
			t.Errorf("ParseCard(%q) = %+v, want nothing", text, got)
		}
	}
	if !SameName("B 2", "b2") || SameName("B1", "B2") {
		t.Error("SameName")
	}
}

func TestScanner(t *testing.T) {
	for text, want := range map[string]string{
		testText + "\r": "", strings.ToLower(testText): "caps lock", ".TEST0189AQWMZY-/": "Y and Z", ":TESTà&_çQAZ?WY)!": "layout",
		".TEST0189AQWMYZ'-": "hyphen", ".TEST09AQWMYZ-/": "missing", ".TEST0189AQWMZYß-": "Y and Z",
	} {
		got := strings.Join(Scanner(text), "; ")
		if (want == "") != (got == "") || !strings.Contains(got, want) {
			t.Errorf("Scanner(%q) = %q, want %q", text, got, want)
		}
	}
}

func FuzzParseCard(f *testing.F) {
	for _, seed := range []string{".LIFTOUT", "bath B2", "who zoë", ":ZHOQ", ".", "\xff", ".TEST", "κόλλα"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		Scanner(text)
		c, ok := ParseCard(text, testStages)
		if !ok {
			return
		}
		if c.Title() == "" || c.Text() == "" {
			t.Fatalf("ParseCard(%q) = %+v", text, c)
		}
		again, ok := ParseCard(c.Text(), testStages)
		if !ok || again.Kind != c.Kind && c.Kind != CardBath || again.Text() != c.Text() {
			t.Fatalf("ParseCard(%q) = %+v, then %+v, %v", text, c, again, ok)
		}
	})
}
