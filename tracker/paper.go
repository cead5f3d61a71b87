package tracker

import (
	"cmp"
	"strings"

	"soaktag/labels"
	"soaktag/tracker/quantity"
)

// Stocks to begin with, one for each page that is common.
const (
	a4Stock     = "a4 3x9 63.5x29.6"
	letterStock = "letter 3x10 66.7x25.4 gap 3.2x0"
)

// Paper is the page that sheets are printed on, "a4" or "letter": the plan's, else
// that of its labels, else letter where the study is in inches or in America.
// Letter is usual in most of North America and the north of South America: common
// practice, no published source.
func (s *Study) Paper() string {
	page, _, _ := strings.Cut(s.Stock, " ")
	if page != "a4" && page != "letter" { // a roll, or a page of another size
		page = ""
	}
	usual := "a4"
	if s.Units == quantity.Inch || s.Zone != nil && strings.HasPrefix(s.Zone.String(), "America/") {
		usual = "letter"
	}
	return cmp.Or(s.Page, page, usual)
}

// SuggestedStock is the plan's, else one to try on the paper of the study.
func (s *Study) SuggestedStock() string {
	if s.Stock == "" && s.Paper() == "letter" {
		return letterStock
	}
	return cmp.Or(s.Stock, a4Stock)
}

// LabelStock is what labels are printed on unless another stock is named: the
// plan's, else that of the last labels of specimens. What it is made of is not
// taken over. Empty when neither is known.
func (r *Record) LabelStock() string {
	if s := r.Study(); s != nil && s.Stock != "" {
		return s.Stock
	}
	for i := len(r.log) - 1; i >= 0; i-- {
		e := r.log[i]
		if _, trial := TrialOf(e.Code); e.Kind != Issued || trial || r.Voided(e.ID) || e.stock() == "" {
			continue
		}
		size, _, _ := strings.Cut(e.stock(), ", ")
		if _, err := labels.ParseStock(size); err == nil {
			return size
		}
	}
	return ""
}

// SuggestedStock is LabelStock, or one to try on the paper of the study.
func (r *Record) SuggestedStock() string { return cmp.Or(r.LabelStock(), r.Study().SuggestedStock()) }

// Paper is the page that sheets are printed on: the plan's, else that of the labels
// printed last, else what is usual where the study is.
func (r *Record) Paper() string {
	study := *r.Study()
	study.Stock = r.LabelStock()
	return study.Paper()
}
