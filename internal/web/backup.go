package web

import (
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"rinsewright/internal/store"
)

// mostBackups is how many are kept beside the data; the oldest go.
const mostBackups = 10

// When a backup wants to be made.
const (
	backupDue   = 7 * 24 * time.Hour
	backupToday = 30 * 24 * time.Hour
)

type backupView struct {
	State, Says string
	Postgres    bool
	Made        bool
	Folder      string
	Files       []backupFile
}

type backupFile struct{ Name, When, Size string }

// backupState says how old the last backup is.
func (v *visit) backupState() (state, says string, err error) {
	last, err := v.store.LastBackup(v.r.Context())
	if err != nil {
		return "", "", err
	}
	age := v.options.Now().Sub(last)
	switch {
	case last.IsZero():
		return "today", "There is no backup yet.", nil
	case age > backupToday:
		state = "today"
	case age > backupDue:
		state = "due"
	default:
		state = "fine"
	}
	return state, "The last backup is from " + last.Format("2 January 2006, 15:04") + " UTC, " + daysAgo(age) + ".", nil
}

func daysAgo(age time.Duration) string {
	switch days := int(age / (24 * time.Hour)); days {
	case 0:
		return "within a day"
	case 1:
		return "a day ago"
	default:
		return fmt.Sprintf("%d days ago", days)
	}
}

func (v *visit) backups() error {
	state, says, err := v.backupState()
	if err != nil {
		return err
	}
	page := backupView{State: state, Says: says, Postgres: v.store.InPostgres(), Made: v.r.URL.Query().Has("made"), Folder: v.options.Backups}
	if page.Files, err = v.backupFiles(); err != nil {
		return err
	}
	return v.show(http.StatusOK, "backup.html", "Backup", "settings", page)
}

// backupFiles are those beside the data, the latest first.
func (v *visit) backupFiles() (files []backupFile, err error) {
	if v.options.Backups == "" {
		return nil, nil
	}
	entries, err := os.ReadDir(v.options.Backups)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	for _, e := range entries {
		about, err := e.Info()
		if err != nil || !strings.HasSuffix(e.Name(), ".sqlite") {
			continue
		}
		files = append(files, backupFile{e.Name(), about.ModTime().UTC().Format("2 January 2006, 15:04"), fmt.Sprintf("%.1f MB", float64(about.Size())/1e6)})
	}
	slices.SortFunc(files, func(a, b backupFile) int { return strings.Compare(b.Name, a.Name) })
	return files, err
}

// backUp makes a backup beside the data, or takes an owner's word that
// PostgreSQL was backed up.
func (v *visit) backUp() error {
	if v.store.InPostgres() {
		if err := v.store.BackedUp(v.r.Context(), v.person()); err != nil {
			return err
		}
		return v.redirect("/backup?made")
	}
	if v.options.Backups == "" {
		return refuse(http.StatusConflict, "This program was started without a folder for backups.", "rinsewright serve --data DIR has one.")
	}
	if err := os.MkdirAll(v.options.Backups, 0o700); err != nil {
		return err
	}
	name := "rinsewright-" + v.options.Now().UTC().Format("20060102-150405") + ".sqlite"
	if err := v.store.Backup(v.r.Context(), v.person(), filepath.Join(v.options.Backups, name)); err != nil {
		return err
	}
	files, err := v.backupFiles()
	if err != nil {
		return err
	}
	for _, old := range files[min(len(files), mostBackups):] {
		if err := os.Remove(filepath.Join(v.options.Backups, old.Name)); err != nil {
			return err
		}
	}
	return v.redirect("/backup?made")
}

// backupDownload hands out one of the backups, named as the page lists it.
func (v *visit) backupDownload() error {
	files, err := v.backupFiles()
	if err != nil {
		return err
	}
	name := v.r.PathValue("name")
	if !slices.ContainsFunc(files, func(f backupFile) bool { return f.Name == name }) {
		return store.ErrNone
	}
	v.w.Header().Set("Content-Type", "application/vnd.sqlite3")
	v.w.Header().Set("Content-Disposition", `attachment; filename="`+name+`"`)
	v.w.Header().Set("Cache-Control", "no-store")
	if err := http.NewResponseController(v.w).SetWriteDeadline(v.options.Now().Add(time.Hour)); err != nil { // a slow line takes long
		return err
	}
	http.ServeFile(v.w, v.r, filepath.Join(v.options.Backups, name))
	return nil
}
