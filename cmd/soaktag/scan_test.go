package main

import (
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"soaktag/labels"
)

// A bench is a study in a folder of its own and a clock that the test moves.
type bench struct {
	t     *testing.T
	study string
	at    time.Time
}

func newBench(t *testing.T) *bench {
	b := &bench{t, filepath.Join(t.TempDir(), "s.soaktag"), time.Date(2026, 2, 21, 9, 0, 0, 0, time.UTC)}
	if status, _, stderr := b.run("", "begin", "demo/oar-loft.toml"); status != exitDone {
		t.Fatalf("begin: status %d: %s", status, stderr)
	}
	return b
}

func (b *bench) run(stdin string, args ...string) (status int, stdout, stderr string) {
	var out, errs bytes.Buffer
	args = append(append([]string{"soaktag"}, args...), "--study", b.study)
	status = run(args, strings.NewReader(stdin), &out, &errs, func() time.Time { return b.at })
	return status, out.String(), errs.String()
}

// streamLines is a stream of scans of which every tenth is garbage of one kind
// or another. bad holds the numbers of the garbage lines.
func streamLines(n int) (stream string, good int, bad map[int]bool) {
	dice := rand.New(rand.NewPCG(1, 2))
	junk := []string{"HBR-017-K", "\x00\x01\x02\xff\xfe", "%%% jammed %%%", "HBR017J1 25:99", "777", strings.Repeat("9", 9000),
		".NOSUCHCARD", "bath Z9", "HBR017J1HBR018K2", "'; drop table events; --"}
	var b strings.Builder
	bad = map[int]bool{}
	for i := 1; i <= n; i++ {
		if i%10 == 0 {
			bad[i] = true
			b.WriteString(junk[dice.IntN(len(junk))] + "\n")
			continue
		}
		good++
		code := labels.New("HBR", 1+dice.IntN(48)).String()
		b.WriteString(code + "\r\n")
	}
	return b.String(), good, bad
}

// reportedLines are the numbers of the lines that a scan warned of.
func reportedLines(t *testing.T, stderr string) map[int]bool {
	lines := map[int]bool{}
	for text := range strings.Lines(stderr) {
		_, rest, ok := strings.Cut(text, "warning: line ")
		if !ok {
			continue
		}
		number, _, _ := strings.Cut(rest, ":")
		line, err := strconv.Atoi(number)
		if err != nil {
			t.Fatalf("no line number in %q", text)
		}
		lines[line] = true
	}
	return lines
}

// Every good line of a long stream is recorded and every bad one is reported
// by its number (common practice, no published source).
func TestScanStream(t *testing.T) {
	t.Parallel() // most of its time is spent waiting for the disk
	n := atLength(10_000, 500)
	b := newBench(t)
	stream, good, bad := streamLines(n)
	status, stdout, stderr := b.run(stream, "scan", "--stage", "glue-up")
	if status != exitAttention {
		t.Errorf("status %d, want 3", status)
	}
	if got := strings.Count(stdout, "recorded  HBR-"); got != good {
		t.Errorf("%d scans recorded, want %d", got, good)
	}
	reported := reportedLines(t, stderr)
	for line := 1; line <= n; line++ {
		if reported[line] != bad[line] {
			t.Fatalf("line %d: reported as bad: %v, want %v", line, reported[line], bad[line])
		}
	}
	if want := fmt.Sprintf("%d scans recorded, %d lines not recorded", good, len(bad)); !strings.Contains(stderr, want) {
		t.Errorf("no %q at the end: %s", want, stderr[max(0, len(stderr)-300):])
	}
}

// A slowReader gives one line at a time and moves the clock before each.
type slowReader struct {
	b     *bench
	step  time.Duration
	lines []string
}

func (r *slowReader) Read(p []byte) (int, error) {
	if len(r.lines) == 0 {
		return 0, io.EOF
	}
	r.b.at = r.b.at.Add(r.step)
	n := copy(p, r.lines[0]+"\n")
	r.lines = r.lines[1:]
	return n, nil
}

func (b *bench) scanSlowly(step time.Duration, lines ...string) (status int, stdout, stderr string) {
	var out, errs bytes.Buffer
	args := []string{"soaktag", "scan", "--stage", "glue-up", "--study", b.study}
	status = run(args, &slowReader{b, step, lines}, &out, &errs, func() time.Time { return b.at })
	return status, out.String(), errs.String()
}

// A stage is in force for 15 min after its last scan, inclusive: a bath full of
// specimens may take longer than that, a card forgotten yesterday must not
// name the stage of today's scans (common practice, no published source).
func TestStageExpires(t *testing.T) {
	b := newBench(t)
	status, stdout, stderr := b.scanSlowly(15*time.Minute, "HBR-017-J", "HBR-016-L", "HBR-018-H")
	if got := strings.Count(stdout, "  glue-up  "); got != 3 || status != exitDone {
		t.Errorf("%d of 3 scans a quarter of an hour apart under the stage, status %d: %s", got, status, stderr)
	}
	status, stdout, stderr = b.scanSlowly(15*time.Minute+time.Second, "HBR-019-F", "HBR-020-T")
	if strings.Contains(stdout, "glue-up") || status != exitAttention {
		t.Errorf("status %d, recorded under an expired stage: %s", status, stdout)
	}
	if !strings.Contains(stderr, "line 1: glue-up is no longer in force") {
		t.Errorf("the end of the stage is not said: %s", stderr)
	}
}

// Whatever comes in on a line, the program ends with status 0 or 3 and does not
// fail.
func FuzzScanLine(f *testing.F) {
	for _, line := range []string{"HBR-017-J", "HBR017J1HBR018H2", ".YES", "bath b2 18:10", "17 -2h30m", "\xff", ".", "who ", ".WHO", "HBR-017-J ..", "undo 5"} {
		f.Add(line)
	}
	f.Fuzz(func(t *testing.T, line string) {
		b := newBench(t)
		if status, _, stderr := b.run(line, "scan"); status != exitDone && status != exitAttention {
			t.Errorf("%q: status %d: %s", line, status, stderr)
		}
	})
}

// A long line is taken whole, or nothing of it is recorded: a code or a time that
// stands far behind is never cut off unseen.
func TestLongLine(t *testing.T) {
	every := ""
	for serial := 1; serial <= 48; serial++ {
		every += labels.New("HBR", serial).String()
	}
	far := strings.Repeat(" ", 4087)
	for _, test := range []struct {
		line string
		says []string
	}{
		{"HBR-017-J" + far + "HBR-018-H", []string{"recorded  HBR-017-J", "recorded  HBR-018-H"}},
		{"HBR-017-J" + far + "08:10", []string{"2026-02-21 08:10"}},
		{strings.Repeat(every, 9), []string{"432 scans recorded"}},
		{"HBR-017-J" + strings.Repeat(" ", 1<<16) + "HBR-018-H", []string{"a line of more than 65536 bytes, of which nothing was recorded", "0 scans recorded, 1 line not recorded"}},
		{"HBR-017-J" + strings.Repeat(" ", 1<<16) + "\nHBR-018-H", []string{"line 1: \"HBR-017-J ", "recorded  HBR-018-H", "1 scan recorded, 1 line not recorded"}},
	} {
		b := newBench(t)
		_, stdout, stderr := b.run(test.line+"\n", "scan", "--stage", "glue-up")
		for _, want := range test.says {
			if !strings.Contains(stdout+stderr, want) {
				t.Errorf("%.20s..., %d bytes: no %q in %.300s %.300s", test.line, len(test.line), want, stdout, stderr)
			}
		}
	}
}
