package tracker

import (
	"testing"
	"time"

	"soaktag/tracker/quantity"
)

// ISO 216 is the standard of A4; where letter is used instead is common practice,
// no published source.
func TestPaper(t *testing.T) {
	zone := func(name string) *time.Location {
		z, err := time.LoadLocation(name)
		if err != nil {
			t.Fatal(err)
		}
		return z
	}
	for _, test := range []struct {
		study        Study
		paper, stock string
	}{
		{Study{Zone: zone("Europe/London")}, "a4", a4Stock},
		{Study{}, "a4", a4Stock},
		{Study{Zone: zone("America/New_York")}, "letter", letterStock},
		{Study{Zone: zone("Europe/London"), Units: quantity.Inch}, "letter", letterStock},
		{Study{Zone: zone("America/New_York"), Page: "a4"}, "a4", a4Stock},
		{Study{Zone: zone("Europe/London"), Stock: "letter 4x15 44.5x16.9 gap 7.5x0"}, "letter", "letter 4x15 44.5x16.9 gap 7.5x0"},
		{Study{Zone: zone("America/New_York"), Stock: "roll 50x25"}, "letter", "roll 50x25"},
		{Study{Zone: zone("Europe/London"), Stock: "100x150 2x5 40x20"}, "a4", "100x150 2x5 40x20"},
		{Study{Zone: zone("Europe/London"), Stock: "roll 50x25", Page: "letter"}, "letter", "roll 50x25"},
	} {
		if paper, stock := test.study.Paper(), test.study.SuggestedStock(); paper != test.paper || stock != test.stock {
			t.Errorf("%+v: %s, %s; want %s, %s", test.study, paper, stock, test.paper, test.stock)
		}
	}
}
