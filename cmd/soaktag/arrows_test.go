package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// arrows says which packages of ours each package may import. A new arrow, or
// a new package, edits this table on purpose. The store must never know what
// numbers mean, so strength and stat stay out of its line.
var arrows = map[string]string{
	"labels":                 "",
	"labels/qr":              "",
	"labels/sheet":           "labels labels/qr",
	"labels/sheet/sheettest": "",
	"labels/photo":           "labels labels/photo/imagefile labels/qr",
	"labels/photo/inpage":    "labels/photo",
	"labels/photo/imagefile": "", // a leaf of its own: the record and the report ask what a file is without the weight of the reader

	"schedule":         "",
	"schedule/ical":    "schedule",
	"schedule/arrange": "schedule",

	"tracker/quantity":  "",
	"tracker/stat":      "",
	"tracker/wholefile": "",
	"tracker":           "labels labels/photo/imagefile schedule tracker/quantity",
	"tracker/plan":      "labels schedule tracker tracker/quantity",
	"tracker/design":    "labels schedule schedule/arrange tracker tracker/quantity tracker/stat",
	"tracker/store":     "labels schedule tracker tracker/quantity",
	"tracker/strength":  "labels schedule tracker tracker/quantity tracker/stat",
	"tracker/learnt":    "schedule tracker tracker/design tracker/quantity tracker/stat tracker/strength",
	"tracker/report":    "labels labels/photo/imagefile schedule tracker tracker/quantity tracker/stat tracker/strength tracker/wording",
	"tracker/tables":    "labels schedule schedule/ical tracker tracker/design tracker/learnt tracker/plan tracker/quantity tracker/stat tracker/strength tracker/wholefile tracker/wording",
	"tracker/intake":    "labels labels/photo schedule tracker tracker/design tracker/plan tracker/quantity tracker/store tracker/strength",
	"tracker/wording":   "labels schedule tracker tracker/design tracker/intake tracker/learnt tracker/quantity tracker/stat tracker/strength",
	"tracker/worksheet": "labels labels/sheet schedule tracker tracker/design tracker/intake tracker/quantity tracker/wording",
	"tracker/station":   "labels labels/photo labels/qr labels/sheet schedule schedule/ical tracker tracker/intake tracker/report tracker/station/page tracker/station/page/reader tracker/store tracker/strength tracker/tables tracker/wholefile tracker/wording tracker/worksheet",

	"tracker/station/page":        "tracker/station/page/reader",
	"tracker/station/page/reader": "", // what the browser runs is in it as bytes

	"cmd/soaktag":                 anything,
	"cmd/soaktag/internal/screen": "",
	"cmd/soaktag/demo":            "schedule tracker/quantity tracker/stat tracker/strength tracker/tables tracker/wording",
}

const anything = "anything"

// homes says where each module that is not ours may be imported, outside
// tests: one place each, so that it can be replaced there. The reader of
// symbols has two: what is printed is read back before it is printed.
var homes = map[string]string{
	"github.com/skip2/go-qrcode":      "labels/qr",
	"github.com/makiuchi-d/gozxing":   "labels/qr labels/photo",
	"github.com/jung-kurt/gofpdf":     "labels/sheet tracker/worksheet",
	"golang.org/x/image":              "labels/sheet labels/photo",
	"github.com/arran4/golang-ical":   "schedule/ical",
	"github.com/pelletier/go-toml/v2": "tracker/plan",
	"modernc.org/sqlite":              "tracker/store",
	"gonum.org/v1/gonum":              "tracker/stat",
	"github.com/urfave/cli/v2":        "cmd/soaktag",
	"github.com/google/uuid":          "tracker/intake",
	"github.com/mattn/go-isatty":      "cmd/soaktag",
}

// mainOnly are the calls that read the clock or end the process. They belong
// to main.go, which hands the clock on.
var mainOnly = []string{"time.Now", "time.Since", "time.Until", "os.Exit", "log.Fatal", "log.Fatalf", "log.Fatalln"}

// A listed is what go list says of one of our packages.
type listed struct {
	Dir, ImportPath                  string
	GoFiles, IgnoredGoFiles, Imports []string
}

// name is the package's folder, "tracker/store".
func (p listed) name() string { return strings.TrimPrefix(p.ImportPath, "soaktag/") }

// packages asks go list for every package of this module. Packages that do
// not compile are listed too (-e): that they fail is for others to say.
func packages(t *testing.T) []listed {
	t.Helper()
	var stderr bytes.Buffer
	list := exec.Command("go", "list", "-e", "-json=Dir,ImportPath,GoFiles,IgnoredGoFiles,Imports", "./...")
	list.Dir, list.Stderr = filepath.Join("..", ".."), &stderr
	out, err := list.Output()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, stderr.Bytes())
	}
	var all []listed
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatalf("go list: %v", err)
		}
		all = append(all, p)
	}
	if !slices.ContainsFunc(all, func(p listed) bool { return p.name() == "cmd/soaktag" }) {
		t.Fatalf("go list named %d packages, and not this one: nothing would be checked", len(all))
	}
	return all
}

func TestImportArrows(t *testing.T) {
	for _, p := range packages(t) {
		allowed, known := arrows[p.name()]
		if !known {
			t.Errorf("package %s is not in the table of import arrows", p.name())
			continue
		}
		for _, path := range p.Imports {
			to, ours := strings.CutPrefix(path, "soaktag/")
			if ours && allowed != anything && !slices.Contains(strings.Fields(allowed), to) {
				t.Errorf("%s imports %s; it may import %q", p.name(), to, allowed)
			}
		}
	}
}

func TestOneHome(t *testing.T) {
	for _, p := range packages(t) {
		for _, path := range p.Imports {
			first, _, _ := strings.Cut(path, "/")
			if !strings.Contains(first, ".") {
				continue // ours, or the standard library's
			}
			if home := homeOf(path); home == "" {
				t.Errorf("%s imports %s, which has no home in the table", p.name(), path)
			} else if !slices.Contains(strings.Fields(home), p.name()) {
				t.Errorf("%s imports %s, whose one home is %s", p.name(), path, home)
			}
		}
	}
}

func homeOf(path string) string {
	for module, home := range homes {
		if path == module || strings.HasPrefix(path, module+"/") {
			return home
		}
	}
	return ""
}

// TestCallsNobody: what knows the network is the station, which waits to be called, and
// in it nothing calls.
func TestCallsNobody(t *testing.T) {
	waits := 0
	for _, p := range packages(t) {
		if !slices.Contains(p.Imports, "net/http") && !slices.Contains(p.Imports, "net") {
			continue
		}
		if p.name() != "tracker/station" {
			t.Errorf("%s imports the network", p.name())
		}
		for _, file := range p.GoFiles {
			waits += len(uses(t, filepath.Join(p.Dir, file), []string{"net/http.Server"}))
			for _, call := range uses(t, filepath.Join(p.Dir, file), callsOut) {
				t.Errorf("%s/%s uses %s, which calls somebody", p.name(), file, call)
			}
		}
	}
	if waits == 0 {
		t.Error("no server is found: the search finds nothing")
	}
}

// callsOut is what reaches another machine.
var callsOut = strings.Fields("net/http.Get net/http.Head net/http.Post net/http.PostForm net/http.Client net/http.DefaultClient net/http.Transport net/http.DefaultTransport " +
	"net.Dial net.DialTimeout net.DialTCP net.DialUDP net.DialIP net.Dialer net.LookupHost net.LookupIP net.LookupAddr net.Resolver net.DefaultResolver crypto/tls.Dial crypto/tls.Dialer")

func TestClockAndExitInMainOnly(t *testing.T) {
	seen := 0
	for _, p := range packages(t) {
		for _, file := range slices.Concat(p.GoFiles, p.IgnoredGoFiles) {
			if strings.HasSuffix(file, "_test.go") {
				continue
			}
			for _, call := range uses(t, filepath.Join(p.Dir, file), mainOnly) {
				if p.name() == "cmd/soaktag" && file == "main.go" {
					seen++
					continue
				}
				t.Errorf("%s/%s uses %s, which belongs to cmd/soaktag/main.go", p.name(), file, call)
			}
		}
	}
	if seen == 0 {
		t.Error("main.go uses none of them: the search finds nothing")
	}
}

// uses lists what a file uses of some names, under whatever name it imports their
// package.
func uses(t *testing.T, path string, wanted []string) []string {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
	if err != nil {
		t.Errorf("%v", err)
		return nil
	}
	names := importNames(file)
	var found []string
	ast.Inspect(file, func(n ast.Node) bool {
		sel, ok := n.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		if x, ok := sel.X.(*ast.Ident); ok && slices.Contains(wanted, names[x.Name]+"."+sel.Sel.Name) {
			found = append(found, names[x.Name]+"."+sel.Sel.Name)
		}
		return true
	})
	return found
}

func importNames(file *ast.File) map[string]string {
	names := map[string]string{}
	for _, spec := range file.Imports {
		imported, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			continue
		}
		names[path.Base(imported)] = imported
		if spec.Name != nil {
			names[spec.Name.Name] = imported
		}
	}
	return names
}
