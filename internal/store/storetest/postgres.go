// Package storetest is the suite that every database of the store must pass,
// and the PostgreSQL server that the tests start for themselves.
package storetest

import (
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"sort"
	"strconv"
	"sync/atomic"
	"syscall"
	"testing"
	"time"
)

// Server is a PostgreSQL server of a test's own, in a temporary folder,
// reached by a socket in that folder only.
type Server struct {
	dir  string
	as   func(name string, args ...string) *exec.Cmd
	made atomic.Int64
	runs *exec.Cmd // nil while it does not
	log  *os.File
}

// StartPostgres starts a server, stopped when the test ends. PostgreSQL will
// not run as root, so as root it runs as the user that Debian's package makes.
func StartPostgres(t testing.TB) *Server {
	t.Helper()
	dir, err := os.MkdirTemp("", "pg")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := os.RemoveAll(dir); err != nil {
			t.Errorf("clear the server's folder: %v", err)
		}
	})
	s := &Server{dir: dir, as: ordinary(t, dir)}
	started := time.Now()
	initialise := s.as(program(t, "initdb"), "-D", s.data(), "-U", "postgres", "-A", "trust", "-E", "UTF8", "--locale=C.UTF-8", "--no-sync")
	if out, err := initialise.CombinedOutput(); err != nil {
		t.Fatalf("initdb: %v\n%s", err, out)
	}
	if s.log, err = os.Create(filepath.Join(dir, "log")); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		s.stop(t)
		_ = s.log.Close()
	})
	s.Start(t)
	t.Logf("PostgreSQL answers after %v", time.Since(started).Round(time.Millisecond))
	return s
}

func (s *Server) data() string { return filepath.Join(s.dir, "data") }

// Start starts the server again after [Server.Kill] and returns when it
// answers. What a killed one left running may hold it up.
func (s *Server) Start(t testing.TB) {
	t.Helper()
	var err error
	for range 100 {
		s.runs = s.as(program(t, "postgres"), "-D", s.data(), "-k", s.dir, "-c", "listen_addresses=", "-c", "max_connections=60", "-c", "wal_writer_delay=10s")
		s.runs.Stdout, s.runs.Stderr = s.log, s.log
		if err := s.runs.Start(); err != nil {
			t.Fatalf("start PostgreSQL: %v", err)
		}
		ended := make(chan error, 1)
		go func(c *exec.Cmd) { ended <- c.Wait() }(s.runs)
		if err = s.wait(ended); err == nil {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	said, _ := os.ReadFile(s.log.Name())
	t.Fatalf("PostgreSQL does not answer: %v\n%s", err, said)
}

// Kill ends the server as a power cut of its processes does: it has no time for
// anything.
func (s *Server) Kill(t testing.TB) {
	t.Helper()
	if err := s.runs.Process.Kill(); err != nil {
		t.Fatalf("kill PostgreSQL: %v", err)
	}
	s.runs = nil
}

func (s *Server) stop(t testing.TB) {
	if s.runs == nil {
		return
	}
	_ = s.runs.Process.Signal(syscall.SIGQUIT) // it may have gone already
	for range 200 {
		if s.runs.Process.Signal(syscall.Signal(0)) != nil {
			return
		}
		time.Sleep(20 * time.Millisecond)
	}
	t.Log("PostgreSQL does not end")
}

// ordinary returns a way to run a program as someone who is not root.
func ordinary(t testing.TB, dir string) func(name string, args ...string) *exec.Cmd {
	t.Helper()
	var as *syscall.Credential
	if os.Geteuid() == 0 {
		u, err := user.Lookup("postgres")
		if err != nil {
			t.Fatalf("PostgreSQL will not run as root: %v", err)
		}
		uid, err1 := strconv.ParseUint(u.Uid, 10, 32)
		gid, err2 := strconv.ParseUint(u.Gid, 10, 32)
		if err := errors.Join(err1, err2, os.Chown(dir, int(uid), int(gid))); err != nil {
			t.Fatal(err)
		}
		as = &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}
	}
	return func(name string, args ...string) *exec.Cmd {
		c := exec.Command(name, args...)
		c.Dir = dir
		c.SysProcAttr = &syscall.SysProcAttr{Credential: as}
		return c
	}
}

// program finds a program of PostgreSQL: Debian keeps them out of the way.
func program(t testing.TB, name string) string {
	t.Helper()
	found, err := filepath.Glob("/usr/lib/postgresql/*/bin/" + name)
	if err == nil && len(found) > 0 {
		sort.Strings(found)
		return found[len(found)-1]
	}
	path, err := exec.LookPath(name)
	if err != nil {
		t.Fatalf("PostgreSQL is needed, Debian's postgresql: %v", err)
	}
	return path
}

func (s *Server) address(database string) string {
	return "postgres:///" + database + "?" + url.Values{"host": {s.dir}, "user": {"postgres"}}.Encode()
}

// wait asks until the server answers, or has ended.
func (s *Server) wait(ended <-chan error) error {
	db, err := sql.Open("pgx", s.address("postgres"))
	if err != nil {
		return err
	}
	for range 200 {
		if err = db.Ping(); err == nil {
			break
		}
		select {
		case why := <-ended:
			return errors.Join(fmt.Errorf("it has ended: %w", why), db.Close())
		case <-time.After(50 * time.Millisecond):
		}
	}
	return errors.Join(err, db.Close())
}

// Database makes an empty database and returns its address.
func (s *Server) Database(t testing.TB) string {
	t.Helper()
	db, err := sql.Open("pgx", s.address("postgres"))
	if err != nil {
		t.Fatal(err)
	}
	name := fmt.Sprintf("store%d", s.made.Add(1))
	if _, err := db.Exec("CREATE DATABASE " + name); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	return s.address(name)
}
