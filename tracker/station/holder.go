package station

import (
	"bytes"
	"encoding/hex"
	"fmt"
	"net/netip"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// holder names the program that listens where somebody else wants to, "node (process
// 1234)"; empty where that cannot be known. It looks where Linux tells it: the socket
// in /proc/net/tcp, and whose open file that is; of other people's programs it sees
// nothing. Source: proc_pid_net(5) and proc_pid_fd(5).
func holder(at netip.AddrPort) string {
	for _, table := range []string{"/proc/net/tcp", "/proc/net/tcp6"} {
		text, err := os.ReadFile(table)
		if err != nil {
			continue
		}
		if inode := listening(text, at); inode != "" {
			return owner("/proc", inode)
		}
	}
	return ""
}

// listening is the inode of the socket that listens at an address, or at all of them,
// in a table as /proc/net/tcp has it; empty for none.
func listening(table []byte, at netip.AddrPort) string {
	const listen = "0A"
	for line := range bytes.Lines(table) {
		cells := strings.Fields(string(line))
		if len(cells) < 10 || cells[3] != listen {
			continue
		}
		ip, port, _ := strings.Cut(cells[1], ":")
		number, err := strconv.ParseUint(port, 16, 16)
		if err == nil && uint16(number) == at.Port() && covers(ip, at.Addr()) {
			return cells[9]
		}
	}
	return ""
}

// covers reports whether an address of the table, in words of four bytes turned
// round, is this one or stands for all.
func covers(text string, ip netip.Addr) bool {
	if strings.Trim(text, "0") == "" {
		return true
	}
	raw, err := hex.DecodeString(text)
	if err != nil || len(raw)%4 != 0 {
		return false
	}
	for word := range slices.Chunk(raw, 4) {
		slices.Reverse(word)
	}
	own, ok := netip.AddrFromSlice(raw)
	return ok && own.Unmap() == ip.Unmap()
}

// owner names the program that has a socket open.
func owner(proc, inode string) string {
	links, err := filepath.Glob(filepath.Join(proc, "[0-9]*", "fd", "*"))
	if err != nil {
		return ""
	}
	for _, link := range links {
		if to, err := os.Readlink(link); err == nil && to == "socket:["+inode+"]" {
			process := filepath.Base(filepath.Dir(filepath.Dir(link)))
			name, err := os.ReadFile(filepath.Join(proc, process, "comm"))
			if err != nil {
				return "process " + process
			}
			return fmt.Sprintf("%s (process %s)", strings.TrimSpace(string(name)), process)
		}
	}
	return ""
}
