package schedule

import (
	"fmt"
	"testing"
	"time"
)

// The calendar settles which number is the month where one is above twelve.
func TestNumberDates(t *testing.T) {
	for text, want := range map[string]string{
		"10/28/2026 6:10": "10/28/2026 / month/day/year", "28-10-2026": "28-10-2026 - day/month/year",
		"3/4/2026":               "3/4/2026 / two days",
		"3/3/2026":               "3/3/2026 / one day",
		"3/4-2026":               "", // two signs are no date
		"3.4.2026":               "",
		"1/2/2026 and 1-31-2026": "1/2/2026 / two days; 1-31-2026 - month/day/year",
	} {
		got := ""
		for _, d := range NumberDates(text) {
			order, one := d.Order()
			said := map[bool]string{true: "two days", false: "one day"}[d.TwoDays()]
			if one {
				said = order.String()
			}
			if got != "" {
				got += "; "
			}
			got += fmt.Sprintf("%s %s %s", d.Text, d.Sign, said)
		}
		if got != want {
			t.Errorf("%q is %q, want %q", text, got, want)
		}
	}
}

// Only what is in doubt, and has the sign, is put in order.
func TestInOrder(t *testing.T) {
	for _, c := range []struct {
		text, sign string
		order      Order
		want       string
	}{
		{"3/4/2026 6:10", "/", MonthDay, "2026-03-04 6:10"},
		{"3/4/2026 6:10", "/", DayMonth, "2026-04-03 6:10"},
		{"3/4/2026", "-", DayMonth, "3/4/2026"},
		{"3-4-2026..5-4-2026", "-", DayMonth, "2026-04-03..2026-04-05"},
		{"10/28/2026", "/", DayMonth, "10/28/2026"},
		{"3/3/2026", "/", DayMonth, "3/3/2026"},
	} {
		if got := InOrder(c.text, c.sign, c.order); got != c.want {
			t.Errorf("%q in order is %q, want %q", c.text, got, c.want)
		}
	}
	if MonthDay == 0 || DayMonth == 0 {
		t.Error("an order is the zero Order, which is none")
	}
}

// A day without its year is the last one, ahead only where that is nearer. From
// 1 June 2027 to 1 June 2028 are 366 days, and 183 to 1 December.
func TestNearestDay(t *testing.T) {
	june := time.Date(2027, 6, 1, 0, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		today time.Time
		year  int
	}{
		{june.AddDate(0, 0, 182), 2027}, {june.AddDate(0, 0, 183), 2027}, {june.AddDate(0, 0, 184), 2028},
	} {
		if got := (day{date: june}).nearest(c.today).date; got.Year() != c.year || got.YearDay()-june.YearDay() > 1 {
			t.Errorf("on %s it is %s", c.today.Format(time.DateOnly), got.Format(time.DateOnly))
		}
	}
}

// The years in which a log may have been kept, both ends among them.
func TestBeyond(t *testing.T) {
	for year, want := range map[int]bool{1899: true, 1900: false, 2199: false, 2200: true} {
		if got := beyond(time.Date(year, 7, 1, 0, 0, 0, 0, time.UTC)); got != want {
			t.Errorf("%d is beyond: %v", year, got)
		}
	}
}

// London's clocks jumped at 01:00 UTC on 29 March 2026 (IANA): an hour from then
// on may be a reading that no clock showed, not a second longer.
func TestReadingsEndWithTheJump(t *testing.T) {
	jump := time.Date(2026, 3, 29, 1, 0, 0, 0, time.UTC)
	for after, want := range map[time.Duration]int{-time.Second: 0, 0: 2, hour - 1: 2, hour: 0} {
		if got := Readings(jump.Add(after), Missing, zone(t, "Europe/London")); len(got) != want {
			t.Errorf("%v after the jump: %v, want %d readings", after, got, want)
		}
	}
}
