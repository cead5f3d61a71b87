//go:build !(js && wasm)

package main

import "fmt"

func main() {
	fmt.Println("This reads in the page of a browser. It is built with: go generate ./tracker/station/page/reader")
}
