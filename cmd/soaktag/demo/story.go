package demo

import "path/filepath"

// An Act is one command line of the story, typed at its moment.
type Act struct {
	About string // said before it; empty to go on without a word
	At    string // the story's clock, in UTC
	Args  []string
	Most  int // lines of the answer that are shown; 0 for the usual number
}

// Story is the story of README.md, told in the folder dir. The clock of an act
// is UTC: London is at UTC until 29 March 2026.
func Story(dir string) []Act {
	in := func(name string) string { return filepath.Join(dir, name) }
	study := []string{"--study", Study(dir)}
	with := func(args ...string) []string { return append(args, study...) }
	acts := []Act{
		{About: "Before the first cut: does the plan hold, and what will go wrong?", At: "2026-02-20T18:00:00Z", Most: 60,
			Args: []string{"check", in("oar-loft.toml")}},
		{About: "Deal the specimens, print labels and a worksheet.", At: "2026-02-20T18:05:00Z",
			Args: with("begin", in("oar-loft.toml"), "--specimens", in("specimens.csv"))},
		{At: "2026-02-20T18:10:00Z", Args: with("labels", "--stock", "a4 3x9 63.5x29.6", "--out", in("labels.pdf"))},
		{At: "2026-02-20T18:15:00Z", Args: with("worksheet", "glue-up", "--out", in("worksheet-glue-up.pdf"))},
		{About: "Seven weeks later the phones hand over what they recorded.", At: "2026-04-10T19:00:00Z",
			Args: with("import", in("events.csv"))},
		{About: "Two labels had been swapped, and one was lost in the bath.", At: "2026-04-10T19:05:00Z",
			Args: with("amend", "exchange", "PVA-S2", "PVA-D2", "--from", "2026-02-21 16:30", "--until", "2026-03-10 09:30",
				"--reason", "board mark and pencil mark agree")},
		{At: "2026-04-10T19:06:00Z", Args: with("amend", "relabel", "UF-S1/1", "--at", "2026-03-17 10:11",
			"--reason", "lost in the bath; known by the label on half 2")},
	}
	acts = append(acts, looksIn(with)...)
	return append(acts,
		Act{About: "What held?", At: "2026-04-11T12:00:00Z", Args: with("results"), Most: 80},
		Act{About: "A page to read and print, and one for a projector.", At: "2026-04-11T12:02:00Z", Args: with("report", "--out", in("report.html"))},
		Act{At: "2026-04-11T12:03:00Z", Args: with("report", "--slide", "--out", in("slide.html"))},
		Act{About: "Tables for others, a copy to keep, and a check of the whole file.", At: "2026-04-11T12:05:00Z",
			Args: with("export", in("export"))},
		Act{At: "2026-04-11T12:06:00Z", Args: with("backup", in("backup.soaktag"))},
		Act{At: "2026-04-11T12:07:00Z", Args: with("verify")})
}

// looksIn asks on four days of the story what is due and how the study stands,
// and once how much has drifted: the tables of one day say it for all.
func looksIn(with func(...string) []string) []Act {
	moments := []struct{ about, at, second string }{
		{"Looking in while everything cures.", "2026-03-01 12:00", "status"},
		{"On the day of the lift-out.", "2026-03-17 12:00", "drift"},
		{"A week later: one bath has been forgotten.", "2026-03-24 12:00", "status"},
		{"At the end.", "2026-04-11 12:00", "status"},
	}
	var acts []Act
	for _, m := range moments {
		for i, command := range []string{"due", m.second} {
			a := Act{At: "2026-04-11T12:00:00Z", Args: with(command, "--as-of", m.at), Most: 40}
			if i == 0 {
				a.About = m.about
			}
			acts = append(acts, a)
		}
	}
	return acts
}
