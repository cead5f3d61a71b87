package store

import (
	"encoding/binary"
	"errors"
	"io"
	"io/fs"
	"os"
	"slices"

	"soaktag/tracker"
)

// What is left of a damaged file is not asked of the database, which reads a page only
// when the way to it is whole. Each row of ours is known by itself: its record header has
// a shape of its own, and what it holds is vouched for by a hash. So every byte of every
// page is tried as the beginning of one, in the file and in the journal.
// Source: https://www.sqlite.org/fileformat2.html, sections 1.5 and 1.6 (b-tree leaf
// cells and overflow pages), 2.1 (record format) and 4.1 (the write-ahead log).

const (
	usualPage   = 4096
	walHeader   = 32
	frameHeader = 24
)

// A carver finds rows in the pages of a file and of its journal.
type carver struct {
	files  []*os.File
	size   int64               // of a page
	frames map[uint32][]int64  // by page: where the journal holds it, newest last
	pages  int64               // of the file itself, the last perhaps in part
	rows   map[int64][]row     // by place in the log: what says that it stands there
	ends   []link              // what says where the log ends
	photos map[string]overflow // by SHA-256
}

// carve reads all that is left of the study at path. The error is that of a file that
// cannot be opened.
func carve(path string) (*carver, error) {
	c := &carver{rows: map[int64][]row{}, photos: map[string]overflow{}}
	for _, name := range []string{path, path + "-wal"} {
		f, err := os.Open(name)
		if errors.Is(err, fs.ErrNotExist) && name != path {
			continue
		}
		if err != nil {
			return nil, errors.Join(err, c.close())
		}
		c.files = append(c.files, f)
	}
	for _, size := range c.sizes() {
		c.all(size)
	}
	return c, nil
}

func (c *carver) close() (err error) {
	for _, f := range c.files {
		err = errors.Join(err, f.Close())
	}
	return err
}

// sizes are the sizes that a page may have: the usual one, and what the header says.
func (c *carver) sizes() []int64 {
	sizes, header := []int64{usualPage}, make([]byte, 18)
	c.files[0].ReadAt(header, 0) // where it cannot be read it says nothing
	said := int64(binary.BigEndian.Uint16(header[16:]))
	if said == 1 {
		said = 65536
	}
	if said >= 512 && said&(said-1) == 0 && said != usualPage {
		sizes = append(sizes, said)
	}
	return sizes
}

// all tries every page of one size.
func (c *carver) all(size int64) {
	c.size, c.frames = size, map[uint32][]int64{}
	info, err := c.files[0].Stat()
	if err != nil {
		return
	}
	c.pages = (info.Size() + size - 1) / size
	at := c.journal()
	for n := range c.pages {
		c.page(c.files[0], n*size)
	}
	for _, offset := range at {
		c.page(c.files[1], offset)
	}
}

// journal lists where the pages in the journal begin, up to the last that was
// committed; those of an older journal under the same name are left out.
func (c *carver) journal() (at []int64) {
	if len(c.files) < 2 {
		return nil
	}
	var salt, head []byte
	for offset := int64(walHeader); ; offset += frameHeader + c.size {
		head = make([]byte, frameHeader)
		if n, _ := c.files[1].ReadAt(head, offset); n < frameHeader {
			break
		}
		if salt == nil {
			salt = head[8:16]
		}
		if slices.Equal(salt, head[8:16]) {
			page := binary.BigEndian.Uint32(head)
			c.frames[page] = append(c.frames[page], offset+frameHeader)
		}
		at = append(at, offset+frameHeader)
	}
	return at
}

// page tries every byte of a page. One that cannot be read is passed over.
func (c *carver) page(f *os.File, offset int64) {
	page := make([]byte, c.size)
	n, err := f.ReadAt(page, offset)
	if err != nil && err != io.EOF {
		return
	}
	page = page[:n]
	for at := range page {
		if cell, ok := c.cell(page[at:]); ok {
			c.take(cell)
		}
	}
}

// A cell is a row before its columns are put together.
type cell struct {
	rowid   int64
	types   []uint64
	header  int // bytes of the record's header
	payload overflow
}

// An overflow is a run of bytes, the rest of which may lie in other pages.
type overflow struct {
	local []byte
	next  uint32 // the first of those pages
	size  int64
}

// mostPayload is more than any row of ours has.
const mostPayload = tracker.MaxPhoto + 1024

// cell reads a cell of one of our tables; false where there is none.
func (c *carver) cell(b []byte) (x cell, ok bool) {
	size, n := varint(b)
	rowid, m := varint(b[n:])
	if n == 0 || m == 0 || size < 4 || size > mostPayload {
		return x, false
	}
	b, x.rowid = b[n+m:], int64(rowid)
	local := c.local(int64(size))
	spilled := local < int64(size)
	if int64(len(b)) < local || spilled && int64(len(b)) < local+4 {
		return x, false
	}
	x.payload = overflow{local: b[:local], size: int64(size)}
	if spilled {
		x.payload.next = binary.BigEndian.Uint32(b[local:])
	}
	x.types, x.header = columnTypes(b[:local])
	return x, x.ours()
}

// local is how much of a payload lies in the cell itself.
func (c *carver) local(size int64) int64 {
	most, least := c.size-35, (c.size-12)*32/255-23
	if size <= most {
		return size
	}
	if k := least + (size-least)%(c.size-4); k <= most {
		return k
	}
	return least
}

// columnTypes reads the header of a record.
func columnTypes(b []byte) (types []uint64, header int) {
	size, n := varint(b)
	if n != 1 || size < 1 || size > 40 || int(size) > len(b) {
		return nil, 0
	}
	for rest := b[1:size]; len(rest) > 0; {
		t, n := varint(rest)
		if n == 0 {
			return nil, 0
		}
		types, rest = append(types, t), rest[n:]
	}
	return types, int(size)
}

// varint reads an integer as SQLite writes it; 0 bytes where there is none.
func varint(b []byte) (v uint64, n int) {
	for i := range min(9, len(b)) {
		if i == 8 {
			return v<<8 | uint64(b[i]), 9
		}
		v = v<<7 | uint64(b[i]&0x7f)
		if b[i] < 0x80 {
			return v, i + 1
		}
	}
	return 0, 0
}

// The types of columns: no value, since it is the row's number; 32 bytes.
const (
	typeNull = 0
	typeHash = 12 + 2*32
)

func isText(t uint64) bool  { return t >= 13 && t%2 == 1 }
func isBytes(t uint64) bool { return t >= 12 && t%2 == 0 }

// columnSize is how many bytes a column has.
func columnSize(t uint64) int64 {
	switch {
	case t >= 12:
		return int64(t-12) / 2
	case t <= 6:
		return [...]int64{0, 1, 2, 3, 4, 6, 8}[t]
	}
	return 0
}

// ours reports whether a cell has the shape of an event, of a photograph or of the row
// that says where the log ends.
func (x cell) ours() bool {
	total := int64(x.header)
	for _, t := range x.types {
		if t > 2*mostPayload {
			return false
		}
		total += columnSize(t)
	}
	return total == x.payload.size && (x.isEvent() || x.isPhoto() || x.isEnd())
}

func (x cell) isEvent() bool {
	t := x.types
	return len(t) == 4 && t[0] == typeNull && isText(t[1]) && isBytes(t[2]) && t[3] == typeHash
}

func (x cell) isPhoto() bool {
	return len(x.types) == 2 && x.types[0] == typeHash && isBytes(x.types[1])
}

func (x cell) isEnd() bool {
	return len(x.types) == 3 && x.types[0] == typeNull && x.types[1] <= 9 && x.types[2] == typeHash && x.rowid == 1
}

// take keeps what a cell holds, if all of it is there.
func (c *carver) take(x cell) {
	for _, newest := range []bool{true, false} {
		all, ok := c.whole(x.payload, newest)
		if ok && c.keep(x, all[x.header:]) {
			return
		}
	}
}

// keep takes the columns of a row; false where they are not what they say they are.
func (c *carver) keep(x cell, all []byte) bool {
	var columns [][]byte
	for _, t := range x.types {
		n := columnSize(t)
		columns, all = append(columns, all[:n]), all[n:]
	}
	switch {
	case x.isEvent():
		return c.event(row{x.rowid, string(columns[1]), slices.Clone(columns[2]), slices.Clone(columns[3])})
	case x.isPhoto():
		sum := tracker.PhotoSum(columns[1])
		if raw, _ := sumOf(sum); !slices.Equal(raw, columns[0]) {
			return false
		}
		p := x.payload
		p.local = slices.Clone(p.local)
		c.photos[sum] = p
		return true
	}
	count := int64(0)
	for _, b := range columns[1] {
		count = count<<8 | int64(b)
	}
	c.ends = append(c.ends, link{max(count, int64(x.types[1]/9)), hash(columns[2])})
	return true
}

func (c *carver) event(r row) bool {
	if _, err := Decode(r.body); err != nil {
		return false
	}
	same := func(o row) bool { return slices.Equal(o.body, r.body) && slices.Equal(o.hash, r.hash) }
	if !slices.ContainsFunc(c.rows[r.seq], same) {
		c.rows[r.seq] = append(c.rows[r.seq], r)
	}
	return true
}

// whole puts a payload together, from the newest pages of the journal or from the file.
func (c *carver) whole(p overflow, newest bool) ([]byte, bool) {
	all := make([]byte, 0, min(p.size, mostPayload))
	all = append(all, p.local...)
	for next := p.next; int64(len(all)) < p.size; {
		page := c.numbered(next, newest)
		if len(page) < 4 || next == 0 {
			return nil, false
		}
		next = binary.BigEndian.Uint32(page)
		all = append(all, page[4:min(int64(len(page)), 4+p.size-int64(len(all)))]...)
		if int64(len(page)) < c.size && int64(len(all)) < p.size {
			return nil, false
		}
	}
	return all, true
}

// numbered reads a page by its number; none where it cannot be read.
func (c *carver) numbered(n uint32, newest bool) []byte {
	f, offset := c.files[0], (int64(n)-1)*c.size
	if at := c.frames[n]; newest && len(at) > 0 {
		f, offset = c.files[1], at[len(at)-1]
	}
	page := make([]byte, c.size)
	read, _ := f.ReadAt(page, max(0, offset))
	return page[:read]
}
