// Package page is what a phone is sent: one page with its style inside, and one
// script. They are plain files, joined here and nowhere else; there is no build step.
package page

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"regexp"
	"strings"

	"soaktag/tracker/station/page/reader"
)

//go:embed page.html style.css shown.css *.js
var files embed.FS

// scripts are the files of the script in the order in which they are joined: each
// needs only what stands before it, until the last one begins.
var scripts = []string{
	"clock.js", "keep.js", "queue.js", "send.js", // what is kept on the phone, and sent
	"fetch.js", // the reader of photographs, once the page is in use
	"dom.js", "check.js", "sense.js", "who.js", "stage.js", "answers.js", "photo.js",
	"press.js", "measure.js", "ways.js", "places.js", "phone.js", "start.js",
}

// HTML is the page, and its style's hash as a content security policy names it.
func HTML() (html []byte, styleHash string) {
	style := bare("style.css")
	sum := sha256.Sum256(style)
	html = bytes.Replace(bare("page.html"), []byte("{style}"), style, 1)
	return html, "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

// Shown is the style of the station's pages, which come into this one.
func Shown() []byte { return bare("shown.css") }

// Script is the page's script: all files in one function, so that they share their
// names with each other and with nobody else. Comments and indents stay here: they
// are for whoever reads the files, and a third of what would be sent.
func Script() []byte {
	var b bytes.Buffer
	b.WriteString("(() => {\n\"use strict\";\n")
	for _, name := range scripts {
		b.Write(bare(name))
	}
	b.WriteString("})();\n")
	return b.Bytes()
}

// Later is what the page imports as a module once it is in use: the reader of photographs,
// and the live camera, which is nothing without it. It is handed the names of the page's
// script that it needs.
func Later() []byte {
	return []byte("export default ({$, State, Sense, Ways, atStation}) => {\n" + reader.Client() + string(bare("camera.js")) + "Camera.start();\nreturn Reader;\n};\n")
}

// remark is a comment behind code. Without a quotation mark up to the end of the line
// it stands in no text.
var remark = regexp.MustCompile("\\s+// [^\"'`]*$")

// bare is a file without indents and comments.
func bare(name string) []byte {
	var b bytes.Buffer
	for line := range strings.Lines(string(file(name))) {
		code := strings.TrimSpace(line)
		comment := strings.HasPrefix(code, "//") || strings.HasPrefix(code, "/*") && strings.HasSuffix(code, "*/")
		if code != "" && !comment {
			b.WriteString(remark.ReplaceAllString(code, "") + "\n")
		}
	}
	return b.Bytes()
}

// file is one of the embedded files, which are always there.
func file(name string) []byte {
	content, err := files.ReadFile(name)
	if err != nil {
		panic(err) // the list names what is not embedded: every test of the package says so
	}
	return content
}
