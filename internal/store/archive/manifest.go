package archive

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"time"
)

// ErrDamaged marks a backup that is not as it was made, or none at all.
var ErrDamaged = errors.New("not a whole backup")

const format = "rinsewright backup 1"

// About is the first entry of a backup.
type About struct {
	Format   string    `json:"format"`
	Made     time.Time `json:"made"`
	Program  string    `json:"program"`  // version that made it
	Data     int64     `json:"data"`     // version of the tables
	Database string    `json:"database"` // it came from
	How      string    `json:"how"`      // to bring it back
	LeftOut  string    `json:"left_out"`
}

// Manifest is what is in a backup.
type Manifest struct {
	About   About   `json:"about"`
	Tables  []Table `json:"tables"`
	Photos  int     `json:"photos"`
	Bytes   int64   `json:"photo_bytes"`
	Missing []Lost  `json:"missing"` // photos that were not there, or not as they were kept
	Content string  `json:"content_sha256"`
}

// Table is a table of a backup: its rows, and the hash of its lines.
type Table struct {
	Name   string `json:"name"`
	Rows   int64  `json:"rows"`
	SHA256 string `json:"sha256"`
}

// Lost is a photo that the data names and the folder does not give.
type Lost struct {
	Name string `json:"name"`
	Why  string `json:"why"`
}

// Rows is how many rows all tables have.
func (m Manifest) Rows() (n int64) {
	for _, t := range m.Tables {
		n += t.Rows
	}
	return n
}

// content is the hash of everything that was kept, wherever it is kept.
func content(tables []Table, photos []string) string {
	h := sha256.New()
	slices.SortFunc(tables, func(a, b Table) int { return cmp.Compare(a.Name, b.Name) })
	for _, t := range tables {
		fmt.Fprintf(h, "table %s %d %s\n", t.Name, t.Rows, t.SHA256)
	}
	slices.Sort(photos)
	for _, p := range photos {
		fmt.Fprintf(h, "photo %s\n", p)
	}
	return hex.EncodeToString(h.Sum(nil))
}
