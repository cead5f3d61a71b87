package worksheet

import "soaktag/labels/sheet"

// table draws headings, rows and rules.
func (p paper) table(columns []column, rows []Row, top float64) {
	x, bottom := sheetMargin, top+rowHeight*float64(len(rows)+1)
	for i, c := range columns {
		if p.Text(sheet.Bold, p.Heading(1.9, c.width-3, c.head), x+1.5, top+rowHeight-2.5, c.head); i == 0 {
			p.Line(x, top, x, bottom, 0.2)
		} else {
			p.between(x, top, rows)
		}
		for i, r := range rows {
			if c.of != nil && r.Heading == "" {
				p.cell(x, c.width, top+rowHeight*float64(i+2), c.of(r))
			}
		}
		x += c.width
	}
	p.Line(x, top, x, bottom, 0.2)
	for i := range len(rows) + 2 {
		y := top + rowHeight*float64(i)
		p.Line(sheetMargin, y, x, y, 0.2)
		if i >= 2 && rows[i-2].Heading != "" {
			p.cell(sheetMargin, x-sheetMargin, y, rows[i-2].Heading)
		}
	}
}

// cell writes a text above the lower edge of its cell.
func (p paper) cell(x, width, bottom float64, text string) {
	p.Text(sheet.Bold, p.Heading(rowCaps, width-3, text), x+1.5, bottom-3.2, text)
}

// between draws the rule between two columns, which crosses no heading.
func (p paper) between(x, top float64, rows []Row) {
	from := top
	for i, r := range rows {
		if y := top + rowHeight*float64(i+1); r.Heading != "" {
			p.Line(x, from, x, y, 0.2)
			from = y + rowHeight
		}
	}
	if bottom := top + rowHeight*float64(len(rows)+1); bottom > from {
		p.Line(x, from, x, bottom, 0.2)
	}
}
