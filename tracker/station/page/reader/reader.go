// Package reader is labels/photo made ready for a page of the browser, where
// photographs are read with the network gone: the WebAssembly module that
// labels/photo/inpage is built to, the script of the worker that runs it, and that of
// the page, which asks the worker.
// All are kept in the repository, so that a fresh clone needs Go alone.
package reader

import (
	"crypto/sha256"
	_ "embed"
	"fmt"
)

// The module, Go's own script that runs it and the licence of both are made by
// go generate; the test of that name says when they are older than their source.
//
//go:generate go test -count=1 -run ^TestMadeOfThisSource$ . -args -make

//go:embed made/reader.wasm.gz
var module []byte

//go:embed made/wasm_exec.js
var runner string

//go:embed made/LICENSE
var licence string

//go:embed worker.js
var worker string

//go:embed client.js
var client string

// Module is the WebAssembly module, compressed with gzip.
func Module() []byte { return module }

// Worker is the script of the worker that runs the module: a classic script.
func Worker() []byte {
	return []byte("/*\n" + licence + "*/\n" + runner + worker)
}

// Client is the script of the page's side: Reader, made of the page's State and of
// atStation, which has the station read.
func Client() string { return client }

// Tag is an entity tag (RFC 9110, 8.8.3) for what Module or Worker returned.
func Tag(content []byte) string {
	return fmt.Sprintf(`"%x"`, sha256.Sum256(content))
}
