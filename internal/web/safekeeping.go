package web

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"rinsewright/internal/store"
	"rinsewright/internal/store/archive"
)

// mostBackups is how many are kept beside the data; the oldest go.
const mostBackups = 10

// backupName begins the name of each backup; the time follows.
const backupName = "rinsewright-"

// safekeeping makes backups in a folder and tries them out, one at a time.
type safekeeping struct {
	options *Options
	busy    sync.Mutex
}

type backupFile struct{ Name, When, Size string }

func (s *safekeeping) source() archive.Source {
	return archive.Source{Store: s.options.Store, Photos: s.options.Photos, Program: s.options.Version, Made: s.options.Now()}
}

// make makes a backup and returns its path.
func (s *safekeeping) make(ctx context.Context, by string) (path string, err error) {
	s.busy.Lock()
	defer s.busy.Unlock()
	if path, _, err = archive.SaveIn(ctx, s.options.Backups, backupName, by, s.source(), s.options.Locks); err != nil {
		return "", err
	}
	return path, s.thin()
}

// thin keeps the newest backups only, and clears what a drill that was killed
// left behind.
func (s *safekeeping) thin() error {
	files, err := s.files()
	if err != nil {
		return err
	}
	left, err := filepath.Glob(filepath.Join(s.options.Backups, archive.DrillName+"*"))
	for _, dir := range left {
		if about, e := os.Stat(dir); e == nil && s.options.Now().Sub(about.ModTime()) > 24*time.Hour {
			err = errors.Join(err, os.RemoveAll(dir))
		}
	}
	for _, old := range files[min(len(files), mostBackups):] {
		err = errors.Join(err, os.Remove(filepath.Join(s.options.Backups, old.Name)))
	}
	return err
}

// files are the backups in the folder, the latest first.
func (s *safekeeping) files() (files []backupFile, err error) {
	if s.options.Backups == "" {
		return nil, nil
	}
	entries, err := os.ReadDir(s.options.Backups)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	for _, e := range entries {
		about, err := e.Info()
		if err != nil || !about.Mode().IsRegular() || !strings.HasPrefix(e.Name(), backupName) || strings.HasSuffix(e.Name(), archive.Half) {
			continue
		}
		files = append(files, backupFile{e.Name(), about.ModTime().UTC().Format("2 January 2006, 15:04"), fmt.Sprintf("%.1f MB", float64(about.Size())/1e6)})
	}
	slices.SortFunc(files, func(a, b backupFile) int { return strings.Compare(b.Name, a.Name) })
	return files, err
}

// drill restores the newest backup into an empty place and compares. One that
// only others can open is left alone: a new one is written for the drill.
func (s *safekeeping) drill(ctx context.Context, by string) error {
	s.busy.Lock()
	defer s.busy.Unlock()
	files, err := s.files()
	if err != nil {
		return err
	}
	if len(files) == 0 || !strings.HasSuffix(files[0].Name, archive.Plain) {
		_, err = archive.DrillSource(ctx, s.source(), s.options.Backups)
	} else {
		_, err = archive.DrillFile(ctx, filepath.Join(s.options.Backups, files[0].Name), nil, s.options.Backups)
	}
	if err != nil {
		return err
	}
	return s.options.Store.Drilled(ctx, by)
}

// nightHour is when the day's backup is made: the shop sleeps.
const nightHour = 3

// lastNight is when the last night's backup was to be made.
func lastNight(now time.Time) time.Time {
	at := time.Date(now.Year(), now.Month(), now.Day(), nightHour, 0, 0, 0, now.Location())
	if at.After(now) {
		at = at.AddDate(0, 0, -1)
	}
	return at
}

// nightly begins to look after the nights; what it returns ends that.
func (s *Server) nightly(ctx context.Context) (stop func()) {
	ctx, end := context.WithCancel(ctx)
	look := time.NewTicker(10 * time.Minute)
	var done sync.WaitGroup
	done.Go(func() { s.safe.eachNight(ctx, look.C) })
	return func() {
		end()
		look.Stop()
		done.Wait()
	}
}

// eachNight makes a backup every night and tries it out, also later when the
// machine was off at that hour, until ctx ends.
func (s *safekeeping) eachNight(ctx context.Context, look <-chan time.Time) {
	for {
		if err := s.night(ctx); err != nil && ctx.Err() == nil {
			s.options.Log.Error("the night's backup", "error", err.Error())
		}
		select {
		case <-ctx.Done():
			return
		case <-look:
		}
	}
}

// longestNight is how long a backup and its drill may take, until another
// program takes the one at work for lost.
const longestNight = 2 * time.Hour

// worker is this program among those on the database: its folder of backups.
func (s *safekeeping) worker() string {
	host, err := os.Hostname()
	if err != nil {
		host = "unknown"
	}
	return fmt.Sprintf("%s %d %s", host, os.Getpid(), s.options.Backups)
}

// night makes the last night's backup and its drill where they are not made.
func (s *safekeeping) night(ctx context.Context) error {
	due := lastNight(s.options.Now())
	made, err := s.options.Store.LastBackup(ctx)
	if err != nil {
		return err
	}
	drilled, err := s.options.Store.LastDrill(ctx)
	if err != nil || !made.Before(due) && !drilled.Before(due) {
		return err
	}
	// Of several programs on one database one does the night's work.
	mine, err := s.options.Store.Claim(ctx, s.worker(), store.Claim{Kind: "night", About: due.Format(time.DateOnly)}, longestNight)
	if err != nil || !mine {
		return err
	}
	if made.Before(due) {
		path, err := s.make(ctx, "")
		if err != nil {
			return err
		}
		s.options.Log.Info("backed up", "to", path)
	}
	if !drilled.Before(due) {
		return nil
	}
	if err := s.drill(ctx, ""); err != nil {
		return err
	}
	s.options.Log.Info("the backup was restored into an empty place and is the same")
	return nil
}
