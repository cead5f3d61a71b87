package sheet

import (
	"io"
	"slices"
	"testing"
	"time"

	"github.com/skip2/go-qrcode"

	"soaktag/labels/qr"
)

// BenchmarkLabelsRatio prints 1,000 labels on A4 by turns with the library
// encoding their texts alone, on one goroutine. The target of ratio is 1.5.
// Printing reads every symbol back as well and uses two processors for it;
// unread-ratio leaves the reading back out and uses one.
func BenchmarkLabelsRatio(b *testing.B) {
	job := job1000(b)
	var ours, unread, bare []float64
	const turns = 5 // so that one long turn does not decide
	for b.Loop() {
		for range turns {
			ours = append(ours, seconds(b, func() error { return Write(io.Discard, job) }))
			bare = append(bare, seconds(b, func() error { return encodeBare(job.texts()) }))
			unread = append(unread, seconds(b, func() error { return writeUnread(job) }))
		}
	}
	b.ReportMetric(median(ours)*1e3, "ours-ms")
	b.ReportMetric(median(bare)*1e3, "bare-ms")
	b.ReportMetric(median(ours)/median(bare), "ratio")
	b.ReportMetric(median(unread)/median(bare), "unread-ratio")
}

// encodeBare is the library alone.
func encodeBare(texts []string) error {
	for _, text := range texts {
		code, err := qrcode.New(text, qrcode.Highest)
		if err != nil {
			return err
		}
		code.Bitmap()
	}
	return nil
}

// writeUnread prints without reading back.
func writeUnread(job Job) error {
	var symbols []symbol
	for _, text := range job.texts() {
		s, err := one(text, qr.Encode, func(qr.Symbol) error { return nil })
		if err != nil {
			return err
		}
		symbols = append(symbols, s)
	}
	return draw(io.Discard, job, symbols)
}

func seconds(b *testing.B, do func() error) float64 {
	b.Helper()
	from := time.Now()
	if err := do(); err != nil {
		b.Fatal(err)
	}
	return time.Since(from).Seconds()
}

func median(series []float64) float64 {
	slices.Sort(series)
	return series[len(series)/2]
}
