package tracker

import (
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
	"strconv"
	"strings"
	"testing"

	"soaktag/schedule"
)

// storedRules are the names of rules as studies hold them, beside the marks that
// somebody accepted: none may ever change or go. A new rule is added here.
const storedRules = `added, after the break, amended apart, bond size, clock corrected, clock unknown, code explained, corrected apart, dealt twice,
double scan, entries missing, exchanged, in the future, loaded before, no reading, no stage, not broken yet, not lost, other pass, out of order, over the gauge,
partner in bath, photograph in doubt, probable code, put back, re-glued, relabelled, repeated, time in doubt, unknown code, written up later,
wrong stage`

func TestRuleNamesAreKept(t *testing.T) {
	stored := strings.Split(strings.Join(strings.Fields(storedRules), " "), ", ")
	if rules := rulesIn(t, "mark.go"); !slices.Equal(rules, stored) {
		t.Errorf("rules are\n%q\nand studies hold\n%q", rules, stored)
	}
	made := []Rule{EndRule(Lost), EndRule(Damaged), EndRule(Withdrawn), LapseRule("soak", schedule.Early), LapseRule("soak", schedule.Late), LapseRule("wet hold", schedule.CannotTell)}
	if want := []Rule{"was lost", "was damaged", "was withdrawn", "soak early", "soak late", "wet hold cannot tell"}; !slices.Equal(made, want) {
		t.Errorf("made rules %q, want %q", made, want)
	}
}

// rulesIn lists the texts of the constants of type Rule in a file, in the order
// of the alphabet.
func rulesIn(t *testing.T, path string) (rules []string) {
	file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
	if err != nil {
		t.Fatal(err)
	}
	ast.Inspect(file, func(n ast.Node) bool {
		spec, ok := n.(*ast.ValueSpec)
		if !ok {
			return true
		}
		if typ, ok := spec.Type.(*ast.Ident); ok && typ.Name == "Rule" {
			text, _ := strconv.Unquote(spec.Values[0].(*ast.BasicLit).Value)
			rules = append(rules, text)
		}
		return true
	})
	slices.Sort(rules)
	return rules
}
