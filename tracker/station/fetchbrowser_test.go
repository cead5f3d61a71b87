package station

import (
	"testing"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// TestReaderComesAfterThePage uses the page while its reader cannot be fetched: the
// station reads meanwhile, and the phone itself as soon as the reader can come.
func TestReaderComesAfterThePage(t *testing.T) {
	h := &hand{open(t, browse(t), "about:blank"), newBench(t)}
	block := func(urls ...string) {
		var all network.SetBlockedURLsParams
		for _, url := range urls {
			all.URLPatterns = append(all.URLPatterns, &network.BlockPattern{URLPattern: url, Block: true})
		}
		if _, err := chromedp.Call(h.ctx, network.SetBlockedURLs, all); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := chromedp.Call(h.ctx, network.Enable, network.EnableParams{}); err != nil {
		t.Fatal(err)
	}
	block("*://*:*/later.js*")
	h.comes()
	h.stage("GLUE-UP")
	h.photographs("#file", tray(t, 1))
	h.told("good", "RECORDED")
	if eval[bool](h.tab, `document.querySelector("#readies").textContent !== ""`) {
		t.Error("the phone reads by itself without its reader")
	}
	block()
	h.photographs("#file", tray(t, 2))
	h.until("the reader", `document.querySelector("#readies").textContent.includes("itself")`)
}
