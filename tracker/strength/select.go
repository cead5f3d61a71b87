package strength

import "slices"

// What of the results is worth listing, and what is said once for many.

// BySize sets groups of one specimen apart: they are never ranked.
func (r Report) BySize() (several, single []Group) {
	for _, g := range r.Groups {
		if g.N == 1 {
			single = append(single, g)
		} else {
			several = append(several, g)
		}
	}
	return several, single
}

// LettersOf are those of a group; those of the same adhesive that were broken on another
// rig or in another state than the ones compared have none.
func (r Report) LettersOf(g Group) string {
	own := withSurvivors(of(r.Groups, g.Adhesive, g.Treatment))
	if len(own) == 0 {
		return ""
	}
	if l := largest(own); l.Rig != g.Rig || l.State != g.State {
		return ""
	}
	return r.Letters[g.Treatment][g.Adhesive]
}

// WithoutSingles leaves out what would be compared with one specimen: its box
// has said that there is nothing to compare. One specimen that was only broken
// on another rig or in another state than the rest does not count here.
func (r Report) WithoutSingles() Report {
	several, single := r.BySize()
	alone := func(adhesive, treatment string) bool {
		same := func(g Group) bool { return g.Adhesive == adhesive && g.Treatment == treatment }
		return slices.ContainsFunc(single, same) && !slices.ContainsFunc(several, same)
	}
	r.Retention = slices.DeleteFunc(slices.Clone(r.Retention), func(ret Retention) bool {
		return alone(ret.Adhesive, ret.Treatment)
	})
	r.Comparisons = slices.DeleteFunc(slices.Clone(r.Comparisons), func(c Comparison) bool {
		return alone(c.A, c.Treatment) || alone(c.B, c.Treatment)
	})
	return r
}

// MoreToCome reports whether any group of one specimen is to have more.
func (r Report) MoreToCome() bool {
	_, single := r.BySize()
	return slices.ContainsFunc(single, func(g Group) bool {
		return slices.ContainsFunc(r.Specimens, func(s Specimen) bool {
			return s.Adhesive == g.Adhesive && s.Treatment == g.Treatment && s.Outcome == NoneYet
		})
	})
}

// Split reports whether any specimen is alone only because others of its kind
// were broken on another rig or in another state.
func (r Report) Split() bool {
	_, single := r.BySize()
	return slices.ContainsFunc(single, func(g Group) bool { return len(of(r.Groups, g.Adhesive, g.Treatment)) > 1 })
}

// Boxed are the specimens of a treatment that are alone in their group and fell
// into a box.
func (r Report) Boxed(treatment string, box Box) []Specimen {
	_, single := r.BySize()
	return filter(r.Specimens, func(s Specimen) bool {
		alone := slices.ContainsFunc(single, func(g Group) bool {
			return g.Treatment == treatment && s.Treatment == treatment && g.Adhesive == s.Adhesive && g.Rig == s.Rig && g.State == s.State
		})
		return alone && s.Outcome != NoneYet && BoxOf(s) == box
	})
}

// crowd is how many specimens at least must bear a mark, besides being half of
// all, for it to be told once for all of them.
const crowd = 4

// A Crowd is those that bear marks of one rule, so many that it is told once.
type Crowd struct {
	Rule string
	Who  []Specimen
}

// Crowds finds the rules of marks that a crowd bears, in the order of their
// first bearers. rules are those of a specimen, which may repeat.
func Crowds(all []Specimen, rules func(Specimen) []string) []Crowd {
	var met []Crowd
	for _, s := range all {
		for _, rule := range rules(s) {
			i := slices.IndexFunc(met, func(c Crowd) bool { return c.Rule == rule })
			if i < 0 {
				i, met = len(met), append(met, Crowd{Rule: rule})
			}
			if n := len(met[i].Who); n == 0 || met[i].Who[n-1].Called() != s.Called() {
				met[i].Who = append(met[i].Who, s)
			}
		}
	}
	return slices.DeleteFunc(met, func(c Crowd) bool { return len(c.Who) < crowd || 2*len(c.Who) < len(all) })
}

// Rules are the rules of the marks of s.
func (s Specimen) Rules() (rules []string) {
	for _, m := range s.Marks {
		rules = append(rules, m.Rule)
	}
	return rules
}

// Odd reports whether s did anything but wait, or break with so many marks left
// to tell.
func (s Specimen) Odd(marks int) bool {
	return s.Outcome != NoneYet && (s.Outcome != Broke || marks > 0)
}
