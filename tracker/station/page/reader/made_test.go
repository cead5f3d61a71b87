package reader

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
)

// makeAnew is what go generate says.
var makeAnew = flag.Bool("make", false, "make the module anew")

// source is the package that the module is built of.
const source = "soaktag/labels/photo/inpage"

// A part is a package that the module is built of, as go list says.
type part struct {
	Dir, ImportPath     string
	GoFiles, EmbedFiles []string
	Standard            bool
	Module              *struct{ Path, Version string }
}

// The module that is kept is that of the source as it is: packages of ours by the
// hash of their files, others by their version. Where something changed that the
// reader does not use, the module comes out the same and stays. With -make it is
// made anew.
func TestMadeOfThisSource(t *testing.T) {
	now := sources(t)
	if *makeAnew {
		remake(t, now)
		return
	}
	kept := map[string]string{}
	for line := range strings.Lines(string(read(t, "made/sources.txt"))) {
		name, sum, _ := strings.Cut(strings.TrimSpace(line), " ")
		kept[name] = sum
	}
	delete(kept, "go")
	var changed []string
	for name := range union(kept, now) {
		if kept[name] != now[name] {
			changed = append(changed, name)
		}
	}
	if slices.Sort(changed); len(changed) > 0 && !bytes.Equal(build(t), unpacked(t)) {
		t.Errorf("the reader in the page is older than %s: go generate ./tracker/station/page/reader", strings.Join(changed, ", "))
	}
}

// The same Go makes the same module wherever it runs, so that nobody has to believe
// the one that is kept. Without SOAKTAG_CI nothing is built.
func TestMadeAgainIsTheSame(t *testing.T) {
	if version := madeBy(t); !inFull() || runtime.Version() != version {
		t.Skipf("made by %s, here is %s; SOAKTAG_CI=1 builds it", version, runtime.Version())
	}
	if !bytes.Equal(build(t), unpacked(t)) {
		t.Error("built here the module comes out otherwise: go generate ./tracker/station/page/reader")
	}
}

// What is sent once over a slow network stays under two megabytes.
func TestModuleIsSmall(t *testing.T) {
	if n := len(Module()); n >= 2_000_000 {
		t.Errorf("%d bytes", n)
	}
}

// madeBy is the version of Go that made the module.
func madeBy(t *testing.T) string {
	t.Helper()
	first, _, _ := strings.Cut(string(read(t, "made/sources.txt")), "\n")
	return strings.TrimPrefix(first, "go ")
}

func union(a, b map[string]string) map[string]string {
	all := maps.Clone(a)
	maps.Copy(all, b)
	return all
}

// sources maps each package of ours to its hash, and each module of others to its
// version.
func sources(t *testing.T) map[string]string {
	t.Helper()
	all := map[string]string{}
	list := json.NewDecoder(bytes.NewReader(tool(t, "list", "-deps", "-json=Dir,ImportPath,GoFiles,EmbedFiles,Standard,Module", source)))
	for {
		var p part
		if err := list.Decode(&p); errors.Is(err, io.EOF) {
			return all
		} else if err != nil {
			t.Fatal(err)
		}
		switch {
		case p.Standard:
		case p.Module != nil && p.Module.Version != "":
			all[p.Module.Path] = p.Module.Version
		default:
			all[p.ImportPath] = p.sum(t)
		}
	}
}

// sum is that of the files' names and lines, however lines end.
func (p part) sum(t *testing.T) string {
	t.Helper()
	sum := sha256.New()
	for _, name := range slices.Concat(p.GoFiles, p.EmbedFiles) {
		text := bytes.ReplaceAll(read(t, filepath.Join(p.Dir, name)), []byte("\r\n"), []byte("\n"))
		fmt.Fprintf(sum, "%s %d\n%s", name, len(text), text)
	}
	return fmt.Sprintf("%x", sum.Sum(nil)[:16])
}

// tool runs go for the browser.
func tool(t *testing.T, args ...string) []byte {
	t.Helper()
	path, err := exec.LookPath("go")
	if err != nil {
		t.Skip("no go command to ask")
	}
	var stderr bytes.Buffer
	run := exec.Command(path, args...)
	run.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "GOFLAGS=", "GOWASM=")
	run.Stderr = &stderr
	out, err := run.Output()
	if err != nil {
		t.Fatalf("go %s: %v\n%s", strings.Join(args, " "), err, stderr.Bytes())
	}
	return out
}

func read(t testing.TB, path string) []byte {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// build builds the module: the same bytes wherever the same Go builds it.
func build(t *testing.T) []byte {
	t.Helper()
	path := filepath.Join(t.TempDir(), "reader.wasm")
	tool(t, "build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w -buildid=", "-o", path, source)
	return read(t, path)
}

// unpacked is the module that is kept.
func unpacked(t *testing.T) []byte {
	t.Helper()
	r, err := gzip.NewReader(bytes.NewReader(Module()))
	if err != nil {
		t.Fatal(err)
	}
	content, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return content
}

func remake(t *testing.T, now map[string]string) {
	var packed bytes.Buffer
	w, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.Write(build(t)); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	lines := []string{"go " + runtime.Version()}
	for _, name := range slices.Sorted(maps.Keys(now)) {
		lines = append(lines, name+" "+now[name])
	}
	root := strings.TrimSpace(string(tool(t, "env", "GOROOT")))
	for name, content := range map[string][]byte{
		"reader.wasm.gz": packed.Bytes(),
		"wasm_exec.js":   read(t, filepath.Join(root, "lib", "wasm", "wasm_exec.js")),
		"LICENSE":        read(t, filepath.Join(root, "LICENSE")),
		"sources.txt":    []byte(strings.Join(lines, "\n") + "\n"),
	} {
		if err := os.WriteFile(filepath.Join("made", name), content, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
