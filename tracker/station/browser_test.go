package station

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// inFull reports whether everything must hold, as before a change counts:
// SOAKTAG_CI=1, which .ci/run sets.
func inFull() bool { return os.Getenv("SOAKTAG_CI") == "1" }

// browse starts a browser that nobody sees, with nothing from an earlier run, and
// ends it with the test. It reaches this machine and no other. Without a browser the
// test is skipped, or fails where all must be there.
func browse(t *testing.T, flags ...chromedp.ExecAllocatorOption) context.Context {
	t.Helper()
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(chromium(t)), chromedp.NoSandbox, chromedp.DisableGPU)
	for _, flag := range []string{"disable-quic", "disable-component-update", "no-pings", "hide-scrollbars"} {
		options = append(options, chromedp.Flag(flag, true))
	}
	options = append(options, chromedp.Flag("host-resolver-rules", "MAP * ~NOTFOUND , EXCLUDE 127.0.0.1 , EXCLUDE localhost"))
	limited, stop := context.WithTimeout(context.Background(), 5*time.Minute)
	allocator, free := chromedp.NewExecAllocator(limited, append(options, flags...)...)
	t.Cleanup(func() { free(); stop() })
	ctx, end := chromedp.NewContext(allocator)
	t.Cleanup(end)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("the browser does not start: %v", err)
	}
	return ctx
}

func chromium(t *testing.T) string {
	t.Helper()
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	if inFull() {
		t.Fatal("no browser: apt-get install chromium")
	}
	t.Skip("no browser (chromium): apt-get install chromium")
	return ""
}

// A tab is one page in a browser, and what it complained of.
type tab struct {
	*testing.T
	ctx context.Context
	end context.CancelFunc

	heard sync.Mutex
	said  []string
}

// open opens an address in a new tab: beside the others of the browser, or, with
// chromedp.WithNewBrowserContext, in a window that shares nothing with them.
func open(t *testing.T, browser context.Context, url string, options ...chromedp.ContextOption) *tab {
	t.Helper()
	ctx, end := chromedp.NewContext(browser, options...)
	t.Cleanup(end)
	b := &tab{T: t, ctx: ctx, end: end}
	if err := chromedp.Listen(ctx, b.hear); err != nil {
		t.Fatal(err)
	}
	b.do(chromedp.Navigate(url))
	return b
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	limited, stop := context.WithTimeout(b.ctx, 40*time.Second)
	defer stop()
	if err := chromedp.Do(limited, steps...); err != nil {
		b.Fatal(err)
	}
}

// eval has the page compute a value, or wait for a promise of one.
func eval[T any](b *tab, script string) T {
	b.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	if err != nil {
		b.Fatalf("%.200s: %v", script, err)
	}
	return v
}

// run has the page do something.
func (b *tab) run(script string) {
	b.Helper()
	eval[bool](b, "(async () => {"+script+"; return true})()")
}

// until waits for an expression to be true. It asks again and again, since nobody
// knows how long a busy machine takes; what was seen last is told when it never is.
func (b *tab) until(what, expression string) {
	b.Helper()
	const patience = 30 * time.Second
	for end := time.Now().Add(patience); ; time.Sleep(30 * time.Millisecond) {
		got, err := chromedp.Run(b.ctx, chromedp.Evaluate[bool]("(async () => !!("+expression+"))()", chromedp.EvalAwaitPromise))
		if err == nil && got {
			return
		}
		if time.Now().After(end) {
			text, _ := chromedp.Run(b.ctx, chromedp.Evaluate[string]("document.body.innerText"))
			b.Fatalf("waited %v for %s: %s (%v)\n%s\nthe page shows: %s", patience, what, expression, err, strings.Join(b.complaints(), "\n"), text)
		}
	}
}

// hear keeps what a page should not do.
func (b *tab) hear(event any) {
	b.heard.Lock()
	defer b.heard.Unlock()
	switch e := event.(type) {
	case *runtime.EventExceptionThrown:
		text := e.ExceptionDetails.Text
		if e.ExceptionDetails.Exception != nil {
			text += " " + e.ExceptionDetails.Exception.Description
		}
		b.said = append(b.said, "exception: "+text)
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeWarning {
			b.said = append(b.said, fmt.Sprintf("console %s: %s", e.Type, printed(e.Args)))
		}
	}
}

func printed(args []*runtime.RemoteObject) string {
	var words []string
	for _, a := range args {
		words = append(words, string(a.Value)+a.Description)
	}
	return strings.Join(words, " ")
}

// complaints are the exceptions and errors of the page until now.
func (b *tab) complaints() []string {
	b.heard.Lock()
	defer b.heard.Unlock()
	return append([]string(nil), b.said...)
}

// scripts are files of the page's script, one after the other.
func scripts(t *testing.T, names ...string) string {
	t.Helper()
	var all strings.Builder
	for _, name := range names {
		text, err := os.ReadFile(filepath.FromSlash(name))
		if err != nil {
			t.Fatal(err)
		}
		all.Write(text)
		all.WriteByte('\n')
	}
	return all.String()
}
