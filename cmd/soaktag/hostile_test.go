package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
)

// spite is text that would forge a line, name the terminal's window, and turn what
// follows round, if it came to a screen as it is.
const spite = " x\n#99  FORGED\r\x1b]0;own\a\u202e\u2066\u009b2J"

// spitefulEntries and spitefulAsks are every command, with spite wherever somebody may
// write something; ~ stands for it.
const spitefulEntries = `
check plan.toml
check plan.toml --full
check "none~.toml"
begin plan.toml --specimens "none~.csv"
begin plan.toml --specimens specimens.csv --by "ann~"
labels --stock "a4 3x9 63.5x29.6" --cards --out labels.pdf
labels --stock "roll~" --out roll.pdf
labels --stock "a4 3x9 63.5x29.6" --trial --out trial.pdf
log trial --stage immersion --note "~"
log 1 2 3 4 --stage glue-up --at "2026-05-02 09:00" --by "ann~" --note "~" --reason "because~"
log 1 2 --stage "clamp removal" --at "2026-05-02 10:00" --note "~"
log 3 --stage found --at "2026-05-02 12:00" --note "~"
log 4 --stage lost --at "2026-05-02 13:00" --note "~"
log "bench~" --stage cut
log 1 --stage "no such~"
log --stage clock --device "camera~" --shown "2026-05-02 10:00"
log 5 --stage glue-up --at "2026-05-02 09:00" --device "camera~"
measure 1 bond_length="39 mm" --note "~"
measure 1 "length~"="39 mm"
break 1 --reading "9 MPa" --ended separated --at "2026-05-03 09:00" --note "~" --reason "~"
break dummy --reading "9 MPa" --ended separated --at "2026-05-03 08:00" --note "~"
break 2 --reading "900~" --ended "sep~"
faces 1/1 --wood-failure 80 --mode "SF~" --note "~"
faces 1/2 --photo "none~.jpg"
amend correct last note="~" --reason "~"
amend relabel 6 --was "x~" --reason "~"
amend relabel 6/1 --reason "~"
amend void last --reason "~"
amend add --of 2 --reason "~"
amend add --adhesive "CAS~" --treatment dry --reason "~"
amend move 8 --bath "B9~" --reason "~"
amend move 8 --bath B2 --reason "~"
amend plan "none~.toml" --reason "~"
amend exchange 4 5 --from "2026-05-01 09:00" --reason "~"
accept 1 --reason "~"
accept --rule "no such~" --reason "~"
import "none~.csv"
import rows.csv
read "none~.jpg"
`

const spitefulAsks = `
status
due
due --all
next
history 1
history 2
history 3
history 4
history "name~"
history dummy
labels --trial
drift
results
results --full
results --pool "A,B~"
calendar --out due.ics
worksheet break --out break.pdf
worksheet "no~" --out no.pdf
report --out report.html
report --out "none~/report.html"
export "out"
backup "copy.soaktag"
restore "none~.soaktag" --study "new.soaktag"
restore out --study again.soaktag
verify
verify "none~"
station --phones
station --phones --revoke "phone~"
outline "none~/plan.toml"
clock "~"
demo loft
status --study "none~.soaktag"
status --as-of "then~"
`

// TestNothingStoredSteersTheTerminal: whatever a plan, a table, an entry or the name of
// a file says, every command shows in one line, and as letters. Clocks show a symbol.
func TestNothingStoredSteersTheTerminal(t *testing.T) {
	oarLoft, err := filepath.Abs("demo/oar-loft.toml")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	write := func(name, text string) {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write("plan.toml", spitefulPlan(t, oarLoft, write))
	write("specimens.csv", spitefulSpecimens())
	write("rows.csv", "specimen,stage,at,note,by\n6,glue-up,2026-05-02 09:00,\""+spite+"\",\""+spite+"\"\n\"z"+spite+"\",cut,2026-05-02,,\n")
	t.Setenv("SOAKTAG_STUDY", "plan.soaktag")
	came := 0
	for _, lines := range []string{spitefulEntries, spitefulAsks} {
		for line := range strings.Lines(strings.TrimSpace(lines)) {
			line = strings.TrimSpace(line)
			args := shellWords(line)
			for i := range args {
				args[i] = strings.ReplaceAll(args[i], "~", spite)
			}
			got := answer("2026-05-04T10:00:00Z", "", args)
			plainly(t, line, got)
			came += min(1, strings.Count(got, "FORGED"))
			if slices.Contains([]string{"status", "due", "next", "history", "drift", "results", "verify", "check", "read"}, args[0]) {
				plainly(t, line+" --json", answer("2026-05-04T10:00:00Z", "", append(args, "--json")))
			}
		}
	}
	if came < 40 {
		t.Errorf("only %d commands show spite at all", came)
	}
	plainly(t, "scan", answer("2026-05-04T10:00:00Z", "6"+spite+"\n.WHO"+spite+"\n7\n", []string{"scan", "--stage", "cut", "--note", spite, "--by", spite}))
	plainly(t, "scan --json", answer("2026-05-04T10:00:00Z", "6"+spite+"\n", []string{"scan", "--stage", "cut", "--json"}))
}

// TestEveryCommandIsShownSpite, so that a new one is.
func TestEveryCommandIsShownSpite(t *testing.T) {
	for _, c := range (&session{}).commands() {
		if !strings.Contains(spitefulEntries+spitefulAsks, "\n"+c.Name+" ") && !strings.Contains(spitefulAsks, "\n"+c.Name+"\n") && c.Name != "scan" {
			t.Errorf("%s is never shown spite: add a line to spitefulAsks", c.Name)
		}
	}
}

func plainly(t *testing.T, typed, shown string) {
	t.Helper()
	for line := range strings.Lines(shown) {
		steers := strings.ContainsFunc(strings.TrimSuffix(line, "\n"), func(c rune) bool {
			return unicode.IsControl(c) || unicode.Is(unicode.Bidi_Control, c)
		})
		if steers || strings.HasPrefix(strings.TrimPrefix(line, "soaktag: error: "), "#99  FORGED") {
			t.Errorf("%s shows %q", typed, line)
		}
	}
}

// spitefulPlan is the plan of the example study with spite in every text that may hold
// it: where check refuses that, the text stays.
func spitefulPlan(t *testing.T, path string, write func(name, text string)) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	plan := strings.Replace(string(text), "[study]", "[study]\nby = \"ann\"", 1)
	value := regexp.MustCompile(`= "[^"]*"`)
	spoiled := 0
	for i := len(value.FindAllStringIndex(plan, -1)) - 1; i >= 0; i-- {
		at := value.FindAllStringIndex(plan, -1)[i]
		with := plan[:at[1]-1] + strings.ReplaceAll(fmt.Sprintf("%+q", spite), `\a`, `\u0007`)[1:]
		with = strings.ReplaceAll(with, `\x1b`, `\u001b`) + plan[at[1]:]
		write("tried.toml", with)
		if got := answer("2026-05-01T10:00:00Z", "", []string{"check", "tried.toml"}); !strings.Contains(got, "soaktag: error:") {
			plan, spoiled = with, spoiled+1
		}
	}
	if spoiled < 10 {
		t.Errorf("only %d texts of the plan hold spite", spoiled)
	}
	return plan
}

// spitefulSpecimens are eight of them, with names that spite, on a board whose name
// has left of it what a plan keeps.
func spitefulSpecimens() string {
	board := "A " + strings.Join(strings.FieldsFunc(spite, func(c rune) bool { return c == ' ' || unicode.IsControl(c) }), " ")
	text := "name,adhesive,treatment,board\n"
	for i := range 8 {
		text += fmt.Sprintf("\"name %d%s\",%s,%s,%s\n", i, spite, []string{"CAS", "EPX"}[i%2], []string{"dry", "soaked"}[i/4], board)
	}
	return text
}
