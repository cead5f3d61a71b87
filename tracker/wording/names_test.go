package wording

import "testing"

// TestAnd: a list of names can be read back into its names.
func TestAnd(t *testing.T) {
	for _, c := range []struct {
		names []string
		want  string
	}{
		{nil, ""},
		{[]string{"casein"}, "casein"},
		{[]string{"casein", "epoxy"}, "casein and epoxy"},
		{[]string{"casein", "epoxy", "hide glue"}, "casein, epoxy and hide glue"},
		{[]string{"epoxy, slow"}, `"epoxy, slow"`},
		{[]string{"epoxy, slow", "casein", "lime and curd"}, `"epoxy, slow", casein and "lime and curd"`},
		{[]string{`"best" glue: hot`, "sand"}, `"'best' glue: hot" and sand`},
		{[]string{"sandarac", "brand A"}, "sandarac and brand A"},
	} {
		if got := And(c.names); got != c.want {
			t.Errorf("%q: got %s, want %s", c.names, got, c.want)
		}
	}
}
