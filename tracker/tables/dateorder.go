package tables

import (
	"fmt"
	"strings"
	"time"

	"soaktag/schedule"
)

// A foundDate is a date of numbers in a cell.
type foundDate struct {
	schedule.NumberDate
	row    row
	column string
}

// settleDates reads dates that may be two days, such as 11/1/2026, the way other
// dates of the file with the same sign must be: one program wrote them all. It
// says so once, and where the file leaves it open it says that once. The cells then hold
// the year first, so that a row is told apart by the day that it means.
func (s *sheet) settleDates(columns ...string) {
	for _, sign := range []string{"/", "-"} {
		var open []foundDate
		must := map[schedule.Order]foundDate{} // the first that can only be in an order
		for _, d := range s.numberDates(sign, columns) {
			order, one := d.Order()
			if _, met := must[order]; one && !met {
				must[order] = d
			}
			if d.TwoDays() {
				open = append(open, d)
			}
		}
		s.settle(open, must)
	}
}

func (s *sheet) numberDates(sign string, columns []string) (all []foundDate) {
	for _, r := range s.rows {
		for _, column := range columns {
			for _, d := range schedule.NumberDates(r.get(column)) {
				if d.Sign == sign {
					all = append(all, foundDate{d, r, column})
				}
			}
		}
	}
	return all
}

// settle reads the open dates in the only order that others have.
func (s *sheet) settle(open []foundDate, must map[schedule.Order]foundDate) {
	switch {
	case len(open) == 0:
	case len(must) != 1:
		s.unsettled(open, must)
	default:
		for order, known := range must {
			s.warn(open[0].row.line, "%s read as %s, as %s in line %d must be", andMore(open), order, known.Text, known.row.line)
			for _, d := range open {
				cell := &d.row.cells[s.columns[d.column]]
				*cell = schedule.InOrder(*cell, d.Sign, order)
			}
		}
	}
}

// unsettled says once that dates may be two days each, and what to do.
func (s *sheet) unsettled(open []foundDate, must map[schedule.Order]foundDate) {
	first, why := open[0], "nothing in the file settles it"
	if len(must) > 1 {
		m, d := must[schedule.MonthDay], must[schedule.DayMonth]
		why = fmt.Sprintf("the file has both: %s in line %d is %s, %s in line %d is %s",
			m.Text, m.row.line, schedule.MonthDay, d.Text, d.row.line, schedule.DayMonth)
	}
	s.problem(first.row.line, "%s: %s may be %s or %s, and %s; write %s or %s%s: in a spreadsheet, give the column the format yyyy-mm-dd and save again",
		first.column, first.Text, first.DayFirst.Format("2 January"), first.MonthFirst.Format("2 January"), why,
		first.DayFirst.Format(time.DateOnly), first.MonthFirst.Format(time.DateOnly), likewise(open[1:]))
}

// andMore names the first of several dates.
func andMore(all []foundDate) string {
	if len(all) == 1 {
		return all[0].Text + " is"
	}
	return fmt.Sprintf("%s and %d more are", all[0].Text, len(all)-1)
}

// mostLines is how many lines a message lists.
const mostLines = 20

// likewise lists the lines of more dates like the first.
func likewise(more []foundDate) string {
	var lines []string
	last := 0
	for _, d := range more {
		if d.row.line != last {
			lines = append(lines, fmt.Sprint(d.row.line))
		}
		last = d.row.line
	}
	switch n := len(lines); {
	case n == 0:
		return ""
	case n > mostLines:
		lines = append(lines[:mostLines], fmt.Sprintf("%d more", n-mostLines))
	}
	return ", likewise in lines " + strings.Join(lines, ", ")
}
