//go:build js && wasm

// Command inpage is the reader of photographs for a page of the browser: built
// for WebAssembly it reads labels where they are photographed, with the network
// gone. It offers one function to the worker that runs it:
//
//	readLabels(pixels, width, height, list, quick) -> text of JSON
//
// pixels are bytes, row by row: red, green, blue and opacity of each pixel, or
// its grey alone. list is the text of photo.ParseList; where it is null, the one
// given last stays. quick is photo.Options.Quick. The answer is an answer, in
// answer.go. One call at a time.
package main

import (
	"errors"
	"fmt"
	"image"
	"runtime/debug"
	"syscall/js"

	"soaktag/labels/photo"
)

// limit is how much memory, in bytes, is taken before the collector does its
// utmost: a telephone gives a page little more.
const limit = 256 << 20

func main() {
	debug.SetMemoryLimit(limit)
	var d desk
	js.Global().Set("readLabels", js.FuncOf(func(_ js.Value, args []js.Value) any { return d.call(args) }))
	select {}
}

// A desk keeps between calls what the next one needs again.
type desk struct {
	list   *photo.List
	pixels []byte
}

// call never fails for what a picture shows: a fault of the reader is an error
// like any other, and the page asks the station.
func (d *desk) call(args []js.Value) (text string) {
	defer func() {
		if p := recover(); p != nil {
			text = textOf(answer{Error: fmt.Sprintf("the reader stumbled: %v", p)})
		}
	}()
	found, err := d.read(args)
	if err != nil {
		return textOf(answer{Error: err.Error()})
	}
	return textOf(answer{Found: sightsOf(found)})
}

func (d *desk) read(args []js.Value) ([]photo.Found, error) {
	if len(args) != 5 {
		return nil, errors.New("readLabels wants pixels, width, height, list, quick")
	}
	if err := d.learn(args[3]); err != nil {
		return nil, err
	}
	img, err := d.picture(args[0], args[1].Int(), args[2].Int())
	if err != nil {
		return nil, err
	}
	return photo.Read(img, d.list, photo.Options{Quick: args[4].Truthy()}), nil
}

// learn takes a list; what is no text leaves the list as it is.
func (d *desk) learn(text js.Value) error {
	if text.Type() != js.TypeString {
		return nil
	}
	list, err := photo.ParseList([]byte(text.String()))
	if err != nil {
		return err
	}
	d.list = list
	return nil
}

// picture copies the pixels out of the page's memory into that of the reader,
// where they stay until the next call.
func (d *desk) picture(pixels js.Value, width, height int) (image.Image, error) {
	n := pixels.Length()
	if width < 1 || height < 1 || n != width*height && n != 4*width*height {
		return nil, fmt.Errorf("%d bytes are no picture of %d x %d", n, width, height)
	}
	if cap(d.pixels) < n {
		d.pixels = make([]byte, n)
	}
	d.pixels = d.pixels[:n]
	js.CopyBytesToGo(d.pixels, pixels)
	if size := image.Rect(0, 0, width, height); n == width*height {
		return &image.Gray{Pix: d.pixels, Stride: width, Rect: size}, nil
	} else {
		return &image.RGBA{Pix: d.pixels, Stride: 4 * width, Rect: size}, nil
	}
}
