package reader

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// photos holds the test photographs of labels/photo.
const photos = "../../../../labels/photo/testdata/photos"

// inFull reports whether everything must hold, as before a change counts.
func inFull() bool { return os.Getenv("SOAKTAG_CI") == "1" }

// The page knows of the station only this much.
const stage = `<!doctype html><title>reader</title><script>
"use strict";
let learn, workers = 0;
globalThis.Worker = class extends Worker {
  constructor(url) { super(url); workers++; }
};
const asked = []; // of the station
const State = { on: f => { learn = f; } };
const atStation = async () => { asked.push("/read"); return { found: [], width: 1, height: 1, by: "station" }; };
const become = name => new Promise(done => Reader.on(s => s.name === name && done(s.says)));
%s
</script>`

// policy is that of the station's pages.
const policy = "default-src 'self'; script-src 'self' 'unsafe-inline' 'wasm-unsafe-eval'; worker-src 'self' blob:; img-src 'self' blob: data:"

// serve offers the page, the reader and the test photographs on this machine.
func serve(t testing.TB, more map[string][]byte) *httptest.Server {
	t.Helper()
	client, err := os.ReadFile("client.js")
	if err != nil {
		t.Fatal(err)
	}
	mux := http.NewServeMux()
	give := func(path, kind, coding string, content []byte) {
		mux.HandleFunc("GET "+path, func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Security-Policy", policy)
			w.Header().Set("Content-Type", kind)
			w.Header().Set("Content-Length", strconv.Itoa(len(content)))
			if coding != "" {
				w.Header().Set("Content-Encoding", coding)
			}
			w.Write(content)
		})
	}
	give("/{$}", "text/html; charset=utf-8", "", fmt.Appendf(nil, stage, client))
	give("/reader.js", "text/javascript; charset=utf-8", "", Worker())
	give("/reader.wasm", "application/wasm", "gzip", Module())
	for path, content := range more {
		give(path, "application/octet-stream", "", content)
	}
	mux.Handle("GET /photos/", http.StripPrefix("/photos/", http.FileServer(http.Dir(photos))))
	server := httptest.NewServer(mux)
	t.Cleanup(server.Close)
	return server
}

// A tab shows the page.
type tab struct {
	testing.TB
	ctx context.Context
}

// open shows the page in a browser that nobody sees, under a name that is not
// localhost: plain http, as at the tub, is no secure context.
func open(t testing.TB, server *httptest.Server, flags ...chromedp.ExecAllocatorOption) *tab {
	t.Helper()
	path, err := exec.LookPath("chromium")
	switch {
	case err != nil && inFull():
		t.Fatal("no browser: apt-get install chromium")
	case err != nil:
		t.Skip("no browser: apt-get install chromium")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("host-resolver-rules", "MAP lab.test 127.0.0.1, MAP * ~NOTFOUND"))
	options = append(options, flags...)
	limited, stop := context.WithTimeout(context.Background(), 10*time.Minute)
	allocator, free := chromedp.NewExecAllocator(limited, options...)
	t.Cleanup(func() { free(); stop() })
	ctx, end := chromedp.NewContext(allocator)
	t.Cleanup(end)
	address := strings.Replace(server.URL, "127.0.0.1", "lab.test", 1)
	if err := chromedp.Do(ctx, chromedp.Navigate(address)); err != nil {
		t.Fatal(err)
	}
	return &tab{t, ctx}
}

// eval has the page compute a value, and waits for it.
func eval[T any](b *tab, script string, args ...any) T {
	b.Helper()
	await := func(p *runtime.EvaluateParams) { yes := true; p.AwaitPromise = &yes }
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](fmt.Sprintf(script, args...), await))
	if err != nil {
		b.Fatalf("%.80s: %v", script, err)
	}
	return v
}

// learn tells the page which codes there are, and waits until the reader is ready.
func (b *tab) learn() {
	b.Helper()
	b.learnAnd("ready")
}

// learnAnd waits until the reader is in a state, and returns what it says there.
func (b *tab) learnAnd(state string) string {
	b.Helper()
	text, err := os.ReadFile(filepath.Join(photos, "codes.txt"))
	if err != nil {
		b.Fatal(err)
	}
	return eval[string](b, `learn({ specimens: %q.trim().split("\n").map(code => ({ code })), cards: [".YES", ".BATHB1"] }), become(%q)`, text, state)
}
