package disk

import (
	"fmt"
	"sync"
	"unsafe"

	"modernc.org/libc"
	sqlite3 "modernc.org/sqlite/lib"
)

// SQLite is asked to open its files through a table of functions that is a copy
// of its own, with those replaced that change a file. The functions stand at
// the top level, since SQLite keeps their addresses; what they belong to is
// found by the address they are called with.

var known = struct {
	sync.Mutex
	disks map[uintptr]*Disk    // by their table
	files map[uintptr]openFile // by SQLite's handle
	wraps map[uintptr]uintptr  // our table of a file's functions by SQLite's own
}{disks: map[uintptr]*Disk{}, files: map[uintptr]openFile{}, wraps: map[uintptr]uintptr{}}

type openFile struct {
	disk *Disk
	path string
	own  uintptr // SQLite's table of its functions
}

// address is where a function at the top level stands.
func address(f any) uintptr {
	type pair [2]uintptr
	return (*pair)(unsafe.Pointer(&f))[1]
}

// at reads a function from its address.
func at[F any](p uintptr) F { return *(*F)(unsafe.Pointer(&struct{ uintptr }{p})) }

// memory makes room that the collector leaves alone, of zeros.
func memory[T any](tls *libc.TLS) (uintptr, *T) {
	p := libc.Xcalloc(tls, 1, libc.Tsize_t(unsafe.Sizeof(*new(T))))
	return p, pointer[T](p)
}

func pointer[T any](p uintptr) *T { return *(**T)(unsafe.Pointer(&p)) }

type (
	opens     = func(*libc.TLS, uintptr, uintptr, uintptr, int32, uintptr) int32
	deletes   = func(*libc.TLS, uintptr, uintptr, int32) int32
	closes    = func(*libc.TLS, uintptr) int32
	writes    = func(*libc.TLS, uintptr, uintptr, int32, int64) int32
	truncates = func(*libc.TLS, uintptr, int64) int32
	syncs     = func(*libc.TLS, uintptr, int32) int32
)

var made int

// ordinary is SQLite's own table.
func ordinary() *sqlite3.Tsqlite3_vfs {
	tls := libc.NewTLS()
	defer tls.Close()
	return pointer[sqlite3.Tsqlite3_vfs](sqlite3.Xsqlite3_vfs_find(tls, 0))
}

func (d *Disk) register() error {
	known.Lock()
	defer known.Unlock()
	made++
	d.name = fmt.Sprintf("disk%d", made)
	tls := libc.NewTLS()
	defer tls.Close()
	name, err := libc.CString(d.name)
	if err != nil {
		return err
	}
	p, table := memory[sqlite3.Tsqlite3_vfs](tls)
	*table = *ordinary()
	table.FpNext, table.FzName = 0, name
	table.FxOpen, table.FxDelete = address(opens(open)), address(deletes(remove))
	if rc := sqlite3.Xsqlite3_vfs_register(tls, p, 0); rc != 0 {
		return fmt.Errorf("SQLite does not take the disk: %d", rc)
	}
	known.disks[p] = d
	return nil
}

func of(vfs uintptr) *Disk {
	known.Lock()
	defer known.Unlock()
	return known.disks[vfs]
}

func fileOf(p uintptr) openFile {
	known.Lock()
	defer known.Unlock()
	return known.files[p]
}

func open(tls *libc.TLS, vfs, name, file uintptr, flags int32, out uintptr) int32 {
	d := of(vfs)
	path := libc.GoString(name)
	d.mu.Lock()
	failure := d.may(Open, path, 0)
	d.mu.Unlock()
	if failure != None {
		return int32(CannotRun)
	}
	rc := at[opens](ordinary().FxOpen)(tls, vfs, name, file, flags, out)
	if rc != 0 || name == 0 {
		return rc
	}
	head := pointer[sqlite3.Tsqlite3_file](file)
	known.Lock()
	defer known.Unlock()
	known.files[file] = openFile{d, path, head.FpMethods}
	if known.wraps[head.FpMethods] == 0 {
		p, table := memory[sqlite3.Tsqlite3_io_methods](tls)
		*table = *pointer[sqlite3.Tsqlite3_io_methods](head.FpMethods)
		table.FxClose, table.FxWrite = address(closes(shut)), address(writes(write))
		table.FxTruncate, table.FxSync = address(truncates(truncate)), address(syncs(flush))
		known.wraps[head.FpMethods] = p
	}
	head.FpMethods = known.wraps[head.FpMethods]
	return rc
}

func own(f openFile) *sqlite3.Tsqlite3_io_methods {
	return pointer[sqlite3.Tsqlite3_io_methods](f.own)
}

func shut(tls *libc.TLS, file uintptr) int32 {
	f := fileOf(file)
	known.Lock()
	delete(known.files, file)
	known.Unlock()
	pointer[sqlite3.Tsqlite3_file](file).FpMethods = f.own
	return at[closes](own(f).FxClose)(tls, file)
}

func write(tls *libc.TLS, file, data uintptr, long int32, off int64) int32 {
	f := fileOf(file)
	f.disk.mu.Lock()
	defer f.disk.mu.Unlock()
	if failure := f.disk.may(Write, f.path, off+int64(long)); failure != None {
		return int32(failure)
	}
	rc := at[writes](own(f).FxWrite)(tls, file, data, long, off)
	if rc == 0 {
		f.disk.did(step{kind: Write, file: f.path, off: off, data: append([]byte{}, unsafe.Slice(pointer[byte](data), long)...)})
	}
	return rc
}

func truncate(tls *libc.TLS, file uintptr, size int64) int32 {
	f := fileOf(file)
	f.disk.mu.Lock()
	defer f.disk.mu.Unlock()
	if failure := f.disk.may(Truncate, f.path, size); failure != None {
		return int32(failure)
	}
	rc := at[truncates](own(f).FxTruncate)(tls, file, size)
	if rc == 0 {
		f.disk.did(step{kind: Truncate, file: f.path, size: size})
	}
	return rc
}

func flush(tls *libc.TLS, file uintptr, flags int32) int32 {
	f := fileOf(file)
	f.disk.mu.Lock()
	defer f.disk.mu.Unlock()
	switch f.disk.may(Sync, f.path, 0) {
	case None:
	case Deaf:
		return 0
	default:
		f.disk.did(step{kind: broken, file: f.path})
		return int32(SyncBad)
	}
	rc := at[syncs](own(f).FxSync)(tls, file, flags)
	if rc == 0 {
		f.disk.did(step{kind: Sync, file: f.path})
	}
	return rc
}

func remove(tls *libc.TLS, vfs, name uintptr, sure int32) int32 {
	d := of(vfs)
	path := libc.GoString(name)
	d.mu.Lock()
	defer d.mu.Unlock()
	if failure := d.may(Remove, path, 0); failure != None {
		return int32(failure)
	}
	rc := at[deletes](ordinary().FxDelete)(tls, vfs, name, sure)
	if rc == 0 {
		d.did(step{kind: Remove, file: path, kept: sure != 0})
	}
	return rc
}
