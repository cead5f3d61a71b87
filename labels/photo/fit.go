package photo

// A fit is a registered symbol and what was sampled there.
type fit struct {
	pose          // in pixels of the picture
	known float64 // agreement with the known modules
	level level
	*sampling
}

// read decodes or matches what was sampled, and files it.
func (r *reader) read(f fit) bool {
	w, ok := f.warp()
	if !ok {
		return false
	}
	var softs []*softness
	for _, rule := range rules {
		soft := rule(f.sampling)
		if d, ok := soft.decode(); ok {
			r.file(Found{Text: d.text, How: Decoded, Corners: w.corners(), Errors: d.errors, Erasures: d.erasures,
				Margin: float64(ecWords-d.cost()) / ecWords})
			return true
		}
		softs = append(softs, soft)
	}
	for _, soft := range softs {
		if m := r.list.match(soft); m.score > leastScore && m.margin > leastMargin {
			r.file(Found{Text: r.list.entries[m.entry].text, How: Matched, Corners: w.corners(), Margin: m.margin})
			return true
		}
	}
	r.weak = append(r.weak, f)
	return false
}

const (
	leastScore  = 0.66
	leastMargin = 0.22
)

func (r *reader) file(f Found) { r.found = append(r.found, f) }
