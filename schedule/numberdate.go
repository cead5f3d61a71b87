package schedule

import (
	"fmt"
	"regexp"
	"time"
)

// A NumberDate is a date of numbers with the year last, as it stands in a text:
// 10/28/2026. A reading that is no day of the calendar is zero.
type NumberDate struct {
	Text       string
	Sign       string // between the numbers, / or -
	MonthFirst time.Time
	DayFirst   time.Time
}

// An Order says which number of a NumberDate is the month.
type Order int

// The orders of a date that has one.
const (
	MonthDay Order = iota + 1
	DayMonth
)

// String names an order as forms do: month/day/year.
func (o Order) String() string {
	return map[Order]string{MonthDay: "month/day/year", DayMonth: "day/month/year"}[o]
}

var numbersIn = regexp.MustCompile(`\b(\d{1,2})([-/]) ?(\d{1,2})([-/]) ?(\d{4})\b`)

// NumberDates finds the dates of numbers with the year last in a text, except
// those with dots, in which the day stands first.
func NumberDates(text string) (all []NumberDate) {
	for _, m := range numbersIn.FindAllStringSubmatch(text, -1) {
		if m[2] != m[4] {
			continue
		}
		dayFirst, _ := dated(m[0], m[5], m[3], m[1])
		monthFirst, _ := dated(m[0], m[5], m[1], m[3])
		all = append(all, NumberDate{m[0], m[2], monthFirst.date, dayFirst.date})
	}
	return all
}

// Order is the only order in which the date is a day, and whether there is just
// one. 3/3/2026 has none and is not TwoDays either.
func (d NumberDate) Order() (Order, bool) {
	switch {
	case d.DayFirst.IsZero() && !d.MonthFirst.IsZero():
		return MonthDay, true
	case d.MonthFirst.IsZero() && !d.DayFirst.IsZero():
		return DayMonth, true
	}
	return 0, false
}

// TwoDays reports whether the date may be two days.
func (d NumberDate) TwoDays() bool {
	return !d.DayFirst.IsZero() && !d.MonthFirst.IsZero() && !d.DayFirst.Equal(d.MonthFirst)
}

// InOrder writes those dates of a text that have the sign with the year first,
// read in an order; text that ParseTime reads in one way only.
func InOrder(text, sign string, order Order) string {
	return numbersIn.ReplaceAllStringFunc(text, func(s string) string {
		for _, d := range NumberDates(s) {
			if d.Sign == sign && d.TwoDays() {
				return map[Order]time.Time{MonthDay: d.MonthFirst, DayMonth: d.DayFirst}[order].Format(time.DateOnly)
			}
		}
		return s
	})
}

// TwoDaysError is the error of a date that may be two days.
type TwoDaysError struct {
	Text                 string
	DayFirst, MonthFirst time.Time
}

func (e *TwoDaysError) Error() string {
	return fmt.Sprintf("%s may be %s or %s; write %s or %s", e.Text, e.DayFirst.Format("2 January"), e.MonthFirst.Format("2 January"),
		e.DayFirst.Format(time.DateOnly), e.MonthFirst.Format(time.DateOnly))
}
