package main

import (
	"bytes"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// The door types, prints and ends with a status. Whoever decides something has
// to name what is decided about: so no kind of event, stage, rule or ending may
// be named here, no event be made, and nothing be recorded but through a desk.

// mostLines is how long the door may get; tests, the example study and what it sets
// text with (mostScreen) left out. What does not fit is most likely a rule, or a
// sentence.
const mostLines, mostScreen = 6000, 320

// decided are the types whose constants only rules name, by their package.
var decided = map[string][]string{
	"tracker":  {"Kind", "Rule", "How", "Ending"},
	"schedule": {"Stage"},
}

// nameable are the constants named here all the same, each for a reason.
var nameable = map[string]string{
	"tracker.Separated": "the ending that a dialogue proposes",
}

// made are the types of facts that only a desk makes.
var made = []string{"Event", "Try", "Faces", "Mark", "Life", "Step"}

func TestTheDoorOnlyTypesAndPrints(t *testing.T) {
	banned := constantsOf(t)
	for path, file := range doorFiles(t) {
		ast.Inspect(file.tree, func(n ast.Node) bool {
			if what := beyond(n, banned); what != "" {
				t.Errorf("%s %s", file.at(n), what)
			}
			return true
		})
		if slices.ContainsFunc(file.tree.Imports, func(i *ast.ImportSpec) bool { return strings.Contains(i.Path.Value, "uuid") }) {
			t.Errorf("%s makes ids", path)
		}
	}
}

// beyond says what a piece of source does that is not a door's; empty where
// nothing.
func beyond(n ast.Node, banned map[string]bool) string {
	switch n := n.(type) {
	case *ast.CompositeLit:
		if s, ok := n.Type.(*ast.SelectorExpr); ok && slices.Contains(made, selected(s, "tracker")) {
			return "makes a tracker." + s.Sel.Name + ": that is a desk's"
		}
	case *ast.SelectorExpr:
		for _, room := range []string{"tracker", "schedule"} {
			name := room + "." + selected(n, room)
			if banned[name] && nameable[name] == "" {
				return "names " + name + ": whoever decides about it belongs elsewhere"
			}
		}
		if recording := slices.Contains([]string{"Record", "Keep"}, n.Sel.Name); recording && named(n.X) == "db" {
			return "records past the desk"
		}
	}
	return ""
}

// named is the last name of an expression such as b.db; empty for others.
func named(x ast.Expr) string {
	switch x := x.(type) {
	case *ast.Ident:
		return x.Name
	case *ast.SelectorExpr:
		return x.Sel.Name
	}
	return ""
}

func TestTheDoorStaysSmall(t *testing.T) {
	lines := map[bool]int{}
	for path := range doorFiles(t) {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		lines[strings.HasPrefix(filepath.ToSlash(path), "internal/screen/")] += bytes.Count(text, []byte("\n"))
	}
	if lines[false] > mostLines || lines[true] > mostScreen {
		t.Errorf("cmd/soaktag has %d lines without tests, at most %d, and internal/screen %d, at most %d: look for rules and sentences",
			lines[false], mostLines, lines[true], mostScreen)
	}
}

// A doorFile is one source file of the door.
type doorFile struct {
	tree *ast.File
	set  *token.FileSet
}

func (f doorFile) at(n ast.Node) token.Position { return f.set.Position(n.Pos()) }

// doorFiles parses every file of cmd/soaktag but tests and the example study.
func doorFiles(t *testing.T) map[string]doorFile {
	t.Helper()
	files := map[string]doorFile{}
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && d.Name() == "demo":
			return fs.SkipDir
		case d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go"):
			return nil
		}
		set := token.NewFileSet()
		tree, err := parser.ParseFile(set, path, nil, 0)
		files[path] = doorFile{tree, set}
		return err
	})
	if err != nil || len(files) == 0 {
		t.Fatalf("%d files read: %v", len(files), err)
	}
	return files
}

// selected is the name that s picks from a package; empty where it picks none.
func selected(s *ast.SelectorExpr, room string) string {
	if x, ok := s.X.(*ast.Ident); ok && x.Name == room {
		return s.Sel.Name
	}
	return ""
}

// constantsOf lists the constants of the types that only rules name.
func constantsOf(t *testing.T) map[string]bool {
	t.Helper()
	found := map[string]bool{}
	for room, types := range decided {
		files, err := filepath.Glob(filepath.Join(roomFolder(room), "*.go"))
		if err != nil {
			t.Fatal(err)
		}
		for _, path := range files {
			tree, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
			if err != nil {
				t.Fatal(err)
			}
			for _, name := range constantsIn(tree, types) {
				found[room+"."+name] = true
			}
		}
	}
	if !found["tracker.Staged"] || !found["schedule.LiftOut"] || !found["tracker.Separated"] {
		t.Fatal("the constants of kinds, stages and endings were not found")
	}
	return found
}

func roomFolder(room string) string { return filepath.Join("..", "..", room) }

// constantsIn lists the constants of a file that are of one of the types.
func constantsIn(tree *ast.File, types []string) (names []string) {
	for _, d := range tree.Decls {
		block, ok := d.(*ast.GenDecl)
		if !ok || block.Tok != token.CONST {
			continue
		}
		for _, spec := range block.Specs {
			value := spec.(*ast.ValueSpec)
			if of, ok := value.Type.(*ast.Ident); ok && slices.Contains(types, of.Name) {
				for _, name := range value.Names {
					names = append(names, name.Name)
				}
			}
		}
	}
	return names
}
