package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
	"strings"

	"rinsewright/internal/paper"
	"rinsewright/internal/paper/layout"
	"rinsewright/internal/sitefile"
)

// folder is where papers go, with the register of those that were issued.
type folder struct {
	dir      string
	register paper.Register
	issued   bool
}

const registerName = "papers.json"

// openFolder makes a folder if need be, and holds what was issued in it to its
// sums.
func openFolder(dir string) (*folder, error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, bad(fmt.Errorf("make folder: %w", err), "")
	}
	text, err := os.ReadFile(filepath.Join(dir, registerName))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, bad(fmt.Errorf("read register: %w", err), "")
	}
	r, err := paper.ReadRegister(text)
	if err != nil {
		return nil, bad(err, "bring "+registerName+" back from the backup: it keeps what was issued")
	}
	err = r.Verify(func(file string) ([]byte, error) { return os.ReadFile(filepath.Join(dir, filepath.Base(file))) })
	if err != nil {
		return nil, bad(err, "bring it back from the backup, or take another folder: what was issued stays as it is")
	}
	return &folder{dir: dir, register: r}, nil
}

// save keeps the register, if anything was issued.
func (d *folder) save() error {
	if !d.issued {
		return nil
	}
	text, err := d.register.Text()
	if err != nil {
		return bad(err, "")
	}
	if err := writeWhole(filepath.Join(d.dir, registerName), text); err != nil {
		return bad(err, "")
	}
	d.issued = false
	return nil
}

// write sets one paper and writes it, as a draft or as the next revision.
func (c PapersCommand) write(desk Desk, d *folder, k paper.Kind, r paper.Record, j paper.Job) error {
	name := k.Name
	if j.Language != "en" {
		name += "-" + j.Language
	}
	j.Revisions = d.register[name]
	made, err := k.Make(r, j)
	if errors.Is(err, paper.ErrNothing) {
		_, err = fmt.Fprintf(desk.Out, "%-22s nothing to put on it\n", name)
		return err
	}
	if err != nil {
		return bad(err, "")
	}
	file := name + ".pdf"
	if c.Issue != "" && k.Revised() {
		if !d.register.Differs(name, made.Facts) {
			_, err := fmt.Fprintf(desk.Out, "%-22s says what revision %s says\n", name, j.Revisions[len(j.Revisions)-1].Letter)
			return err
		}
		letter := d.register.Next(name)
		file = name + "-" + letter + ".pdf"
		j.Issue = &paper.Revision{Letter: letter, Date: j.Date.Format("2006-01-02"), By: c.By, Checked: c.Checked, Approved: c.Approved, Change: c.Issue, Input: j.Hash, File: file, Facts: made.Facts}
		if made, err = k.Make(r, j); err != nil {
			return bad(err, "")
		}
	}
	var b bytes.Buffer
	if err := made.Document.PDF(&b); err != nil {
		return bad(err, "")
	}
	if err := d.put(name, file, b.Bytes(), j.Issue); err != nil {
		return err
	}
	if err := c.say(desk, file, len(made.Document.Sheets), "page"); err != nil {
		return err
	}
	return c.besides(desk, d, k, r, j)
}

// put writes a draft over the last one, and an issue only where none stands.
func (d *folder) put(name, file string, pdf []byte, issue *paper.Revision) error {
	at := filepath.Join(d.dir, file)
	if issue == nil {
		if err := writeWhole(at, pdf); err != nil {
			return bad(err, "")
		}
		return nil
	}
	if _, err := os.Lstat(at); err == nil {
		return bad(fmt.Errorf("%s stands there already and is not in %s", file, registerName), "move it away: an issued paper is never written over")
	}
	if err := writeWhole(at, pdf); err != nil {
		return bad(err, "")
	}
	d.register.Enter(name, *issue, pdf)
	d.issued = true
	return d.save()
}

// besides writes what goes with a paper: the parts list as a workbook, the log
// sheet as a table to fill in, the calendar with the service report.
func (c PapersCommand) besides(desk Desk, d *folder, k paper.Kind, r paper.Record, j paper.Job) error {
	switch k.Name {
	case "parts":
		grid, err := paper.PartsGrid(r, j)
		if err != nil {
			return bad(err, "")
		}
		book, err := grid.XLSX()
		if err != nil {
			return bad(err, "")
		}
		return c.beside(desk, d, "parts.xlsx", book, len(grid.Rows), "line")
	case "log-sheet":
		return c.beside(desk, d, "log.csv", []byte(sitefile.LogSheet()), 1, "head")
	case "service":
		calendar, err := paper.Calendar(r, j)
		if err != nil {
			return bad(err, "")
		}
		return c.beside(desk, d, "calendar.ics", calendar, bytes.Count(calendar, []byte("BEGIN:VEVENT")), "day")
	}
	return nil
}

func (c PapersCommand) beside(desk Desk, d *folder, file string, data []byte, n int, what string) error {
	if err := writeWhole(filepath.Join(d.dir, file), data); err != nil {
		return bad(err, "")
	}
	return c.say(desk, file, n, what)
}

const largestPhoto = 40 << 20 // bytes

// photos reads the folder of photographs, in the order of their names.
func (c PapersCommand) photos() (all []layout.Photo, err error) {
	if c.Photos == "" {
		return nil, nil
	}
	entries, err := os.ReadDir(c.Photos)
	if err != nil {
		return nil, bad(fmt.Errorf("read photographs: %w", err), "")
	}
	sort.Slice(entries, func(i, k int) bool { return entries[i].Name() < entries[k].Name() })
	for _, e := range entries {
		switch strings.ToLower(filepath.Ext(e.Name())) {
		case ".jpg", ".jpeg", ".png":
		default:
			continue
		}
		if info, err := e.Info(); err == nil && info.Size() > largestPhoto {
			return nil, bad(fmt.Errorf("%s is larger than 40 MB", e.Name()), "")
		}
		data, err := os.ReadFile(filepath.Join(c.Photos, e.Name()))
		if err != nil {
			return nil, bad(fmt.Errorf("read photographs: %w", err), "")
		}
		p, err := paper.Photograph(data, strings.TrimSuffix(e.Name(), filepath.Ext(e.Name())))
		if err != nil {
			return nil, bad(fmt.Errorf("%s: %w", e.Name(), err), "take it out of the folder")
		}
		all = append(all, p)
	}
	return all, nil
}
