package plan

import (
	"fmt"
	"strings"
	"time"

	"github.com/pelletier/go-toml/v2"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

// readHead reads [study].
func readHead(t table, s *tracker.Study) {
	s.Title = t.needText("title")
	s.Prefix = readPrefix(t)
	s.Zone = readZone(t)
	s.FirstGlueUp = readFirstGlueUp(t, s.Zone)
	if seed, ok := get[int64](t, "seed"); ok && seed < 0 {
		t.at("seed", note{Error, "seed", "study.seed is negative", "write any whole number from 0, such as a date"})
	} else {
		s.Seed = uint64(seed)
	}
	s.Page, _ = parsed(t, "page", "page", readPage)
	s.Stock, _ = parsed(t, "stock", "stock", readStock)
	s.By, _ = t.someText("by")
}

// readPage reads a page that sheets can be printed on.
func readPage(text string) (string, error) {
	if page := strings.ToLower(strings.TrimSpace(text)); page == "a4" || page == "letter" {
		return page, nil
	}
	return "", fmt.Errorf("page %.20q: want a4 or letter", text)
}

// readStock reads the stock of the labels, and keeps it in the words of labels.
func readStock(text string) (string, error) {
	stock, err := labels.ParseStock(text)
	if err != nil {
		return "", err
	}
	return stock.String(), nil
}

// readPrefix reads the letters that every code begins with. I, L and O are
// left out because wet or scuffed print makes them 1, 1 and 0.
func readPrefix(t table) string {
	prefix := t.needText("prefix")
	for _, c := range prefix {
		switch {
		case strings.ContainsRune("ILO", c):
			t.at("prefix", note{Error, "prefix-letters", fmt.Sprintf("the prefix %.20q has the letter %c", prefix, c), "choose letters other than I, L and O, which are misread"})
			return prefix
		case c < 'A' || c > 'Z':
			t.at("prefix", note{Error, "prefix-form", fmt.Sprintf("the prefix %.20q has the character %q", prefix, c), "write two or three capital letters"})
			return prefix
		}
	}
	if n := len(prefix); n == 1 || n > 3 {
		t.at("prefix", note{Error, "prefix-length", fmt.Sprintf("the prefix %.20q has %d letters", prefix, n), "write two or three capital letters"})
	}
	return prefix
}

// readZone refuses "Local", which would mean another zone on another machine.
func readZone(t table) *time.Location {
	name := t.needText("zone")
	if name == "" {
		return time.UTC
	}
	zone, err := time.LoadLocation(name)
	if err != nil || name == "Local" {
		t.at("zone", note{Error, "zone", fmt.Sprintf("the time zone %.40q is not known", name), `write a name such as "Europe/London" or "America/New_York"`})
		return time.UTC
	}
	return zone
}

// readFirstGlueUp reads a clock time of the study's zone, or one with an
// offset of its own.
func readFirstGlueUp(t table, zone *time.Location) time.Time {
	const key = "first_glue_up"
	if at, ok := t.values[key].(time.Time); ok {
		t.ask(key)
		return at.In(zone)
	}
	local, ok := get[toml.LocalDateTime](t, key)
	if !ok {
		return time.Time{}
	}
	// Read as if long past, so that no doubt is about the future.
	later := local.AsTime(time.UTC).AddDate(1, 0, 0)
	span, doubts, err := schedule.ParseTime(local.AsTime(time.UTC).Format("2006-01-02 15:04:05"), later, zone)
	if err != nil {
		t.at(key, note{Error, "first-glue-up", err.Error(), ""})
		return time.Time{}
	}
	for _, doubt := range doubts {
		t.at(key, note{Error, "first-glue-up", fmt.Sprintf("%s %s in %s", local, doubt, zone), "the clocks change then: choose another time or write its offset, +01:00"})
	}
	return span.From
}
