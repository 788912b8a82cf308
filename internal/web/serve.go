package web

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"os"
	"path/filepath"
	"strings"
	"time"

	"rinsewright/internal/store"
	"rinsewright/internal/store/archive"
	"rinsewright/internal/web/engine"
)

// Serving says where to serve from.
type Serving struct {
	Data     string // folder of the data, and of the photos beside any database
	Database string // address of a PostgreSQL database instead of a file in Data
	Listen   string // host:port
	Version  string
	Examples []string
	Example  func(name string) ([]byte, error)
	Base     string         // path under which a proxy shows the pages
	Proxies  []netip.Prefix // see Options
	Phones   bool           // vouch for this machine, so that phones keep pages
	Cert     string         // file of a certificate of one's own instead
	Key      string         // file of its key
	For      string         // name for which an authority is asked to vouch instead
	From     string         // address of that authority's directory
	Backups  string         // folder of the backups; backups in Data when empty
	Locks    archive.Locks
	Nights   bool      // back up and drill every night
	Say      io.Writer // where the lines for a person go
	Log      io.Writer // where the log goes, as JSON
	Ready    func(address string)
	Engine   func(context.Context) (engine.Files, error)  // see Options
	Ask      func(context.Context, Asked) (Answer, error) // see Options
}

// Serve opens the data and answers until ctx ends, then lets the requests
// under way finish.
func Serve(ctx context.Context, s Serving) error {
	address, err := s.database()
	if err != nil {
		return err
	}
	folder, err := store.OpenFolder(filepath.Join(s.Data, archive.PhotosName))
	if err != nil {
		return err
	}
	kept, err := store.Open(ctx, address, store.Options{Upgrading: s.upgrading(folder)})
	if err != nil {
		return errors.Join(err, folder.Close())
	}
	err = s.serve(ctx, kept, folder)
	return errors.Join(err, kept.Close(), folder.Close())
}

// database makes the folder of the data and returns the store's address.
func (s *Serving) database() (string, error) {
	if err := os.MkdirAll(s.Data, 0o700); err != nil {
		return "", fmt.Errorf("make the folder of the data: %w", err)
	}
	if s.Database != "" {
		return s.Database, nil
	}
	return filepath.Join(s.Data, dataFile), nil
}

const dataFile = archive.DataFile

func (s *Serving) backups() string {
	if s.Backups != "" {
		return s.Backups
	}
	return filepath.Join(s.Data, "backups")
}

// upgrading backs up what an older program wrote before it is changed.
func (s *Serving) upgrading(photos *store.Folder) func(context.Context, *store.Store, int64, int64) error {
	return func(ctx context.Context, old *store.Store, from, to int64) error {
		if err := os.MkdirAll(s.backups(), 0o700); err != nil {
			return fmt.Errorf("make the folder of the backups: %w", err)
		}
		path := filepath.Join(s.backups(), fmt.Sprintf("before-version-%d-%s%s", to, time.Now().UTC().Format("20060102-150405"), archive.Ends(s.Locks)))
		if _, err := archive.Save(ctx, path, archive.Source{Store: old, Photos: photos, Program: s.Version, Made: time.Now()}, s.Locks); err != nil {
			return err
		}
		_, err := fmt.Fprintf(s.Say, "Data       of version %d is brought to version %d; what it was is in %s\n", from, to, path)
		return err
	}
}

func (s *Serving) serve(ctx context.Context, kept *store.Store, photos *store.Folder) error {
	people, err := kept.People(ctx)
	if err != nil {
		return err
	}
	setup := ""
	if len(people) == 0 {
		setup = strings.ToLower(rand.Text())
		if s.Listen, err = loopback(s.Listen); err != nil {
			return err
		}
	}
	log := slog.New(slog.NewJSONHandler(s.Log, nil))
	o := Options{Store: kept, Photos: photos, Backups: s.backups(), Locks: s.Locks, Version: s.Version, Log: log, Setup: setup, Examples: s.Examples, Example: s.Example, Engine: s.Engine, Ask: s.Ask, Base: s.Base, Proxies: s.Proxies, Public: s.For != ""}
	doors, err := s.open(&o, setup != "")
	if err != nil {
		return err
	}
	server, err := New(o)
	if err != nil {
		return errors.Join(err, doors.close())
	}
	defer server.Close()
	if s.Nights && setup == "" {
		defer server.nightly(ctx)()
	}
	if err := s.greet(doors, o, setup); err != nil {
		return errors.Join(err, doors.close())
	}
	if s.Ready != nil {
		s.Ready(doors.work.Addr().String())
	}
	if doors.trust == nil {
		return answer(ctx, log, entry{doors.work, server})
	}
	return answer(ctx, log, entry{doors.work, server}, entry{doors.trust, server.trustDoor()})
}

// entry is where somebody knocks, and who answers.
type entry struct {
	at      net.Listener
	handler http.Handler
}

// patient waits for whoever is slow, and not for ever: who sends a byte a second
// is hung up on before the head of the request is there.
func patient(handler http.Handler, log *slog.Logger) *http.Server {
	return &http.Server{
		Handler: handler, ReadHeaderTimeout: 10 * time.Second, ReadTimeout: 30 * time.Second, WriteTimeout: time.Minute, IdleTimeout: 2 * time.Minute,
		MaxHeaderBytes: 32 << 10, ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
}

// answer serves until ctx ends, then lets what is under way finish.
func answer(ctx context.Context, log *slog.Logger, doors ...entry) error {
	ended := make(chan error, len(doors))
	var servers []*http.Server
	for _, d := range doors {
		h := patient(d.handler, log)
		servers = append(servers, h)
		go func() { ended <- h.Serve(d.at) }()
	}
	var err error
	waiting := len(doors)
	select {
	case broken := <-ended:
		waiting--
		err = fmt.Errorf("serve: %w", broken)
	case <-ctx.Done():
		log.Info("stopping, what is under way is finished first")
	}
	grace, stop := context.WithTimeout(context.Background(), 20*time.Second)
	defer stop()
	for _, h := range servers {
		err = errors.Join(err, h.Shutdown(grace))
	}
	for range waiting {
		if served := <-ended; !errors.Is(served, http.ErrServerClosed) {
			err = errors.Join(err, served)
		}
	}
	log.Info("stopped")
	return err
}

// loopback keeps a server without an account to its own machine.
func loopback(listen string) (string, error) {
	host, port, err := net.SplitHostPort(listen)
	if err != nil {
		return "", fmt.Errorf("listen at %s: %w", listen, err)
	}
	if host == "localhost" || loopbackIP(host) {
		return listen, nil
	}
	return net.JoinHostPort("127.0.0.1", port), nil
}

// greet tells a person what they need to know at the start.
func (s *Serving) greet(d doors, o Options, setup string) error {
	var b strings.Builder
	at := reachable(d.work.Addr())
	fmt.Fprintf(&b, "Listening  %s://%s\n", d.scheme, at)
	if d.trust != nil {
		fmt.Fprintf(&b, "Phones     open the page Phones (%s://%s/phones); the certificate is at http://%s\n", d.scheme, at, reachable(d.trust.Addr()))
		fmt.Fprintf(&b, "           Its print is %s\n", o.authority.print())
	}
	if s.Phones && setup != "" {
		fmt.Fprintln(&b, "Phones     come later: make the first account, stop, and start again with --phones")
	}
	if s.For != "" && setup != "" {
		fmt.Fprintf(&b, "Name       %s comes later: make the first account, stop, and start again\n", s.For)
	}
	if s.Database != "" {
		fmt.Fprintf(&b, "Data       in PostgreSQL, photos in %s\n", s.Data)
	} else {
		fmt.Fprintf(&b, "Data       %s\n", s.Data)
	}
	if s.Nights {
		fmt.Fprintf(&b, "Backup     every night into %s, and tried out; copy that folder to another machine\n", s.backups())
	} else {
		fmt.Fprintf(&b, "Backup     press Back up now on the page Backup (%s://%s/backup), and copy %s to another machine\n", d.scheme, at, s.backups())
	}
	if setup != "" {
		fmt.Fprintf(&b, "Setup      http://%s/setup?token=%s\n", at, setup)
		fmt.Fprintln(&b, "           Open it to make the first account. Until there is one, only this machine is listened to.")
	}
	fmt.Fprintln(&b, "Stop       Ctrl-C; what is under way is finished first")
	_, err := io.WriteString(s.Say, b.String())
	return err
}
