package plan

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// readShop reads [shop]: when somebody is there, how many, and the scale.
func readShop(t table, s *tracker.Study) {
	if text, everyDay := t.values["hours"].(string); everyDay {
		t.ask("hours")
		everyOther(s, readHours(t, "hours", text))
	} else {
		readDays(t.sub("hours"), s)
	}
	s.Away = readAway(t, s.Zone)
	s.Scale = positive(t, "scale", "mass", quantity.ParseMass)
	s.People = t.count("people", 100)
}

// readAway reads the days when nobody is there: "2026-03-20..2026-03-22", or
// one day alone. Days are the study's zone's.
func readAway(t table, zone *time.Location) []tracker.Absence {
	days, _ := get[[]any](t, "away")
	var list []tracker.Absence
	for i, day := range days {
		place := element(join(t.path, "away"), i)
		name := fmt.Sprintf("%s[%d]", t.child("away"), i+1)
		text, ok := day.(string)
		a, err := parseAway(text, zone)
		switch {
		case !ok:
			t.r.add(t.r.places[place].value, name, wrongType(name, "", day))
		case err != nil:
			t.r.add(t.r.places[place].value, name, note{Error, "away", fmt.Sprintf("the days away %.40q %s", text, err), `write "2026-03-20..2026-03-22", or one day, "2026-03-20"`})
		default:
			list = append(list, a)
		}
	}
	return list
}

func parseAway(text string, zone *time.Location) (tracker.Absence, error) {
	first, last, several := strings.Cut(text, "..")
	if !several {
		last = first
	}
	from, err1 := time.ParseInLocation(time.DateOnly, strings.TrimSpace(first), zone)
	to, err2 := time.ParseInLocation(time.DateOnly, strings.TrimSpace(last), zone)
	switch {
	case err1 != nil || err2 != nil:
		return tracker.Absence{}, errors.New("are not dates of the calendar")
	case to.Before(from):
		return tracker.Absence{}, errors.New("end before they begin")
	}
	return tracker.Absence{From: from, Until: to.AddDate(0, 0, 1)}, nil
}

// daily stands in the hours for every day that they do not name.
const daily = "daily"

// readDays reads for each day of the week the hours when somebody is there,
// "09:00-12:30, 13:30-18:00".
func readDays(hours table, s *tracker.Study) {
	var other []tracker.ShopHours
	for _, key := range hours.keys() {
		text, ok := get[string](hours, key)
		day, known := weekday(key)
		switch {
		case ok && key == daily:
			other = readHours(hours, key, text)
		case key == daily: // what stands there was refused
		case !known:
			hours.atKey(key, note{Error, "shop-day", fmt.Sprintf("%.40q is not a day of the week", key), "use mon, tue, wed, thu, fri, sat, sun, or daily for every day not named"})
		case slices.ContainsFunc(s.Shop, func(h tracker.ShopHours) bool { return h.Day == day }):
			hours.atKey(key, note{Error, "shop-day-twice", fmt.Sprintf("%s has hours twice", day), `put both into one text, "09:00-12:30, 13:30-18:00"`})
		case ok:
			s.Shop = append(s.Shop, on(day, readHours(hours, key, text))...)
		}
	}
	everyOther(s, other)
}

// everyOther gives hours to every day that has none.
func everyOther(s *tracker.Study, hours []tracker.ShopHours) {
	named := slices.Clone(s.Shop)
	for day := time.Sunday; day <= time.Saturday; day++ {
		if !slices.ContainsFunc(named, func(h tracker.ShopHours) bool { return h.Day == day }) {
			s.Shop = append(s.Shop, on(day, hours)...)
		}
	}
}

// on is the same hours on a day.
func on(day time.Weekday, hours []tracker.ShopHours) (list []tracker.ShopHours) {
	for _, h := range hours {
		h.Day = day
		list = append(list, h)
	}
	return list
}

// weekday takes "tue", "tues" or "Tuesday".
func weekday(s string) (time.Weekday, bool) {
	s = strings.ToLower(s)
	for day := time.Sunday; day <= time.Saturday; day++ {
		if len(s) >= 3 && strings.HasPrefix(strings.ToLower(day.String()), s) {
			return day, true
		}
	}
	return 0, false
}

// readHours reads the hours of a day, which is left to the caller.
func readHours(t table, key, text string) []tracker.ShopHours {
	form := regexp.MustCompile(`^\s*([0-9]{1,2}):([0-5][0-9])\s*[-–]\s*([0-9]{1,2}):([0-5][0-9])\s*$`)
	var list []tracker.ShopHours
	for _, part := range strings.Split(text, ",") {
		m := form.FindStringSubmatch(part)
		if m == nil {
			t.at(key, note{Error, "shop-hours", fmt.Sprintf("the hours %.40q are not two clock times", part), `write "09:00-18:00"`})
			return nil
		}
		h := tracker.ShopHours{Opens: minutes(m[1], m[2]), Ends: minutes(m[3], m[4])}
		if h.Opens >= h.Ends || h.Ends > 24*60 {
			t.at(key, note{Error, "shop-hours-order", fmt.Sprintf("the hours %.40q do not end later on the same day", part), "hours run from 00:00 to 24:00; put a night into two days"})
			return nil
		}
		list = append(list, h)
	}
	return list
}

// minutes after midnight; the digits were checked by the caller's pattern.
func minutes(hour, minute string) int {
	h, _ := strconv.Atoi(hour)
	m, _ := strconv.Atoi(minute)
	return h*60 + m
}
