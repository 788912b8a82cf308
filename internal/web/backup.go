package web

import (
	"errors"
	"fmt"
	"net/http"
	"path/filepath"
	"slices"
	"time"

	"rinsewright/internal/store"
)

// When a backup or a drill wants somebody's eye. Both are made every night, so
// that two days without one mean that something is wrong.
const (
	backupDue   = 2 * 24 * time.Hour
	backupToday = 14 * 24 * time.Hour
	drillDue    = 14 * 24 * time.Hour
)

type backupView struct {
	State, Says           string
	DrillState, DrillSays string
	Lacks                 int
	Postgres              bool
	Made, Drilled         bool
	Folder, Database      string
	Locked                bool
	Files                 []backupFile
}

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
	return state, v.sayf("The last backup is from %s UTC, %s.", v.speaker().Clock(last), v.say(daysAgo(age))), nil
}

// drillState says when a backup was last brought back and compared.
func (v *visit) drillState() (state, says string, err error) {
	last, err := v.store.LastDrill(v.r.Context())
	if err != nil || last.IsZero() {
		return "due", "No backup has been tried out yet.", err
	}
	age := v.options.Now().Sub(last)
	state = "fine"
	if age > drillDue {
		state = "due"
	}
	return state, v.sayf("A backup was last restored into an empty place, and found to be the same, on %s UTC, %s.", v.speaker().Clock(last), v.say(daysAgo(age))), nil
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
	asked := v.r.URL.Query()
	page := backupView{Postgres: v.store.InPostgres(), Made: asked.Has("made"), Drilled: asked.Has("drilled"), Folder: v.options.Backups, Locked: len(v.options.Locks) > 0}
	var err error
	if page.State, page.Says, err = v.backupState(); err != nil {
		return err
	}
	if page.DrillState, page.DrillSays, err = v.drillState(); err != nil {
		return err
	}
	if page.Lacks, err = v.store.BackupLacks(v.r.Context()); err != nil {
		return err
	}
	if page.Files, err = v.safe.files(); err != nil {
		return err
	}
	return v.show(http.StatusOK, "backup.html", "Backup", "settings", page)
}

// mayBackUp refuses where there is no folder, and lets a long work take long.
func (v *visit) mayBackUp() error {
	if v.options.Backups == "" {
		return refuse(http.StatusConflict, "This program was started without a folder for backups.", "rinsewright serve --data DIR has one.")
	}
	return v.takesLong()
}

// takesLong lets an answer come late: a great deal is copied, or the line is
// slow. What cannot be told a limit has none.
func (v *visit) takesLong() error {
	err := http.NewResponseController(v.w).SetWriteDeadline(time.Now().Add(time.Hour))
	if errors.Is(err, http.ErrNotSupported) {
		return nil
	}
	return err
}

func (v *visit) backUp() error {
	if err := v.mayBackUp(); err != nil {
		return err
	}
	if _, err := v.safe.make(v.r.Context(), v.person()); err != nil {
		return err
	}
	return v.redirect("/backup?made")
}

// drill tries the newest backup out.
func (v *visit) drill() error {
	if err := v.mayBackUp(); err != nil {
		return err
	}
	if err := v.safe.drill(v.r.Context(), v.person()); err != nil {
		return err
	}
	return v.redirect("/backup?drilled")
}

// backupDownload hands out one of the backups, named as the page lists it.
func (v *visit) backupDownload() error {
	files, err := v.safe.files()
	if err != nil {
		return err
	}
	name := v.r.PathValue("name")
	if !slices.ContainsFunc(files, func(f backupFile) bool { return f.Name == name }) {
		return store.ErrNone
	}
	v.w.Header().Set("Content-Type", "application/octet-stream")
	v.w.Header().Set("Content-Disposition", `attachment; filename="`+name+`"`)
	v.w.Header().Set("Cache-Control", "no-store")
	if err := v.takesLong(); err != nil {
		return err
	}
	http.ServeFile(v.w, v.r, filepath.Join(v.options.Backups, name))
	return nil
}
