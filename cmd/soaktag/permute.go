package main

import (
	"os"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/labels"
	"soaktag/tracker/wording"
)

// permute moves flags before arguments, because the library stops reading
// flags at the first argument: without this, "break CODE --at ..." would drop
// --at in silence. It returns command words, flags, "--" and the arguments.
//
// A word is a flag when it starts with "-" but is neither "-" alone nor "-"
// and a digit, so that "--at -2h30m" keeps its value. After "--" nothing is a
// flag. Unknown commands and flags without their value are usage errors.
func permute(commands []*cli.Command, args []string) ([]string, error) {
	p := permuter{commands: commands}
	for len(args) > 0 {
		word := args[0]
		args = args[1:]
		switch {
		case word == "--":
			p.rest = append(p.rest, args...)
			args = nil
		case isFlag(word):
			taken, err := p.flag(word, args)
			if err != nil {
				return nil, err
			}
			args = args[taken:]
		case p.leaf:
			p.rest = append(p.rest, word)
		default:
			if err := p.command(word); err != nil {
				return nil, err
			}
		}
	}
	return p.joined(), nil
}

// A permuter holds what permute has sorted so far.
type permuter struct {
	commands           []*cli.Command // what the next command word may be
	current            *cli.Command
	leaf               bool // no command word can follow
	words, flags, rest []string
}

// command takes the next command word.
func (p *permuter) command(word string) error {
	i := slices.IndexFunc(p.commands, func(c *cli.Command) bool { return c.HasName(word) })
	if i < 0 {
		return unknownCommand(p.words, word, p.commands)
	}
	p.current = p.commands[i]
	p.words = append(p.words, word)
	p.commands = p.current.Subcommands
	p.leaf = len(p.commands) == 0
	return nil
}

// flag takes a flag and, where it has one in the next word, its value. It
// returns how many words the value took.
func (p *permuter) flag(word string, following []string) (int, error) {
	p.flags = append(p.flags, word)
	name := strings.TrimLeft(word, "-")
	if strings.Contains(name, "=") || !p.takesValue(name) {
		return 0, nil
	}
	if len(following) == 0 {
		return 0, usageError("%s needs a value", word)
	}
	if isFlag(following[0]) {
		return 0, dashed(usageError("%s needs a value", word), following[0])
	}
	p.flags = append(p.flags, following[0])
	return 1, nil
}

// takesValue looks name up in the command at hand, or in every command that
// may still follow when the flag stands before its command.
func (p *permuter) takesValue(name string) bool {
	if p.leaf {
		return takesValue([]*cli.Command{p.current}, name)
	}
	return takesValue(p.commands, name)
}

func takesValue(commands []*cli.Command, name string) bool {
	for _, c := range commands {
		for _, f := range c.Flags {
			doc, ok := f.(cli.DocGenerationFlag)
			if ok && doc.TakesValue() && slices.Contains(f.Names(), name) {
				return true
			}
		}
		if takesValue(c.Subcommands, name) {
			return true
		}
	}
	return false
}

func (p *permuter) joined() []string {
	out := slices.Concat(p.words, p.flags)
	asksHelp := slices.Contains(p.flags, "--help") || slices.Contains(p.flags, "-h")
	if len(p.rest) > 0 && !asksHelp { // the library would look for help on the argument
		out = append(append(out, "--"), p.rest...)
	}
	return out
}

func isFlag(word string) bool {
	return len(word) > 1 && word[0] == '-' && (word[1] < '0' || word[1] > '9')
}

// dashed is err with the way to name a file that was taken for a flag.
func dashed(err error, word string) error {
	if _, none := os.Lstat(word); none != nil {
		return err
	}
	return withHint(err, "a name that begins with - is written %s", wording.ShellWord(word))
}

// helpAsFlag turns "help due" into "due --help".
func helpAsFlag(args []string) []string {
	if args[0] != "help" {
		return args
	}
	return append(slices.Clone(args[1:]), "--help")
}

func unknownCommand(words []string, word string, known []*cli.Command) error {
	prefix := strings.Join(append([]string{"soaktag"}, words...), " ")
	err := usageError("unknown command %q; see %s --help", word, prefix)
	if near := nearestWord(word, commandNames(known)); near != "" {
		return withHint(err, "did you mean %s %s?", prefix, near)
	}
	return err
}

func commandNames(commands []*cli.Command) []string {
	names := make([]string, len(commands))
	for i, c := range commands {
		names[i] = c.Name
	}
	return names
}

// nearestWord returns the known word that word is most likely a slip for: at
// most two letters off, or begun and not ended. It returns "" when none is near.
func nearestWord(word string, known []string) string {
	best, distance := "", 3
	for _, k := range known {
		d := labels.Distance(word, k)
		if len(word) > 1 && strings.HasPrefix(k, word) {
			d = min(d, 1)
		}
		if d < distance && d < len(k) {
			best, distance = k, d
		}
	}
	return best
}
