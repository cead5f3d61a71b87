package store

import (
	"encoding/binary"
	"io"
	"os"
)

// IsBackup reports whether the file at path is a backup copy made by Backup,
// judged by the first bytes of its header alone: ours, and without the
// write-ahead log that a study to work on has. It is false for what cannot be
// read.
// Source: https://www.sqlite.org/fileformat.html section 1.3, the file format
// write version at byte 18 and the application id at byte 68.
func IsBackup(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	var header [72]byte
	if _, err := io.ReadFull(f, header[:]); err != nil {
		return false
	}
	const rollback = 1
	return binary.BigEndian.Uint32(header[68:]) == applicationID && header[18] == rollback
}
