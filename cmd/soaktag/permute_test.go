package main

import (
	"slices"
	"strings"
	"testing"

	"github.com/urfave/cli/v2"
)

// words are commands with every sort of flag, for the permuter alone.
func words() []*cli.Command {
	log := &cli.Command{Name: "log", Flags: []cli.Flag{
		&cli.StringFlag{Name: "at"}, &cli.StringSliceFlag{Name: "wood", Aliases: []string{"w"}},
		&cli.BoolFlag{Name: "json"}, &cli.IntFlag{Name: "half"},
	}}
	plan := &cli.Command{Name: "plan", Flags: []cli.Flag{&cli.StringFlag{Name: "reason"}}}
	return []*cli.Command{log, {Name: "amend", Subcommands: []*cli.Command{plan, {Name: "void"}}}}
}

func TestPermute(t *testing.T) {
	for _, test := range []struct{ name, in, want string }{
		{"flags first", "log --at now A", "log --at now -- A"},
		{"flags last", "log A B --at now --json", "log --at now --json -- A B"},
		{"flags between", "log A --json B --at now C", "log --json --at now -- A B C"},
		{"flag before the command", "--at now log A", "log --at now -- A"},
		{"equals", "log A --at=now", "log --at=now -- A"},
		{"negative time", "log A --at -2h30m", "log --at -2h30m -- A"},
		{"negative argument", "log -5 A", "log -- -5 A"},
		{"lone hyphen", "log - --json", "log --json -- -"},
		{"one hyphen", "log A -at now", "log -at now -- A"},
		{"alias", "log A -w 80", "log -w 80 -- A"},
		{"end of flags", "log --json -- --at A", "log --json -- --at A"},
		{"bool takes nothing", "log --json A", "log --json -- A"},
		{"subcommand", "amend plan P.toml --reason late", "amend plan --reason late -- P.toml"},
		{"flag inside the words", "amend --reason late plan P.toml", "amend plan --reason late -- P.toml"},
		{"argument named as a command", "log amend", "log -- amend"},
		{"help", "log --help", "log --help"},
		{"help beside arguments", "log A --help --at now", "log --help --at now"},
		{"short help", "log A -h", "log -h"},
		{"unknown flag", "log A --nope", "log --nope -- A"},
		{"no words", "--version", "--version"},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, err := permute(words(), strings.Fields(test.in))
			if err != nil || strings.Join(got, " ") != test.want {
				t.Errorf("permute(%s) = %q, %v; want %s", test.in, got, err, test.want)
			}
		})
	}
}

func TestPermuteRefuses(t *testing.T) {
	for _, test := range []struct{ in, want string }{
		{"log A --at", "--at needs a value"},
		{"log --at --json A", "--at needs a value"},
		{"lgo A", `unknown command "lgo"; see soaktag --help`},
		{"amend viod X", `unknown command "viod"; see soaktag amend --help`},
	} {
		_, err := permute(words(), strings.Fields(test.in))
		if err == nil || err.Error() != test.want || !isRefusal(err) {
			t.Errorf("permute(%s): %v, want %s", test.in, err, test.want)
		}
	}
}

func TestNearestWord(t *testing.T) {
	known := []string{"due", "drift", "labels", "log", "status"}
	for in, want := range map[string]string{
		"deu": "due", "label": "labels", "stat": "status", "lgo": "log", "zebra": "", "x": "", "dirft": "drift",
	} {
		if got := nearestWord(in, known); got != want {
			t.Errorf("nearestWord(%q) = %q, want %q", in, got, want)
		}
	}
}

// Whatever is typed, no word is lost and none is made up but "--".
func FuzzPermute(f *testing.F) {
	f.Add("log A --at -2h30m --json")
	f.Add("amend plan -- --x")
	f.Fuzz(func(t *testing.T, line string) {
		in := strings.Fields(line)
		got, err := permute(words(), in)
		if err != nil {
			return
		}
		sorted := func(words []string) []string {
			words = slices.DeleteFunc(slices.Clone(words), func(w string) bool { return w == "--" })
			slices.Sort(words)
			return words
		}
		if !slices.Equal(sorted(in), sorted(got)) {
			t.Errorf("permute(%q) = %q", in, got)
		}
	})
}
