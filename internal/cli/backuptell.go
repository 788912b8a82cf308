package cli

import (
	"fmt"
	"io"
	"strings"
	"time"

	"rinsewright/internal/store/archive"
)

// archived is a backup and what was done with it.
type archived struct {
	besides   string // what more serve is to be told
	Path, To  string
	Encrypted bool
	Manifest  archive.Manifest
}

type archivedJSON struct {
	Schema    string          `json:"schema,omitempty"`
	Path      string          `json:"path,omitempty"`
	To        string          `json:"to,omitempty"`
	Made      time.Time       `json:"made"`
	Program   string          `json:"program"`
	Data      int64           `json:"data_version"`
	Database  string          `json:"database"`
	Encrypted bool            `json:"encrypted"`
	Tables    []archive.Table `json:"tables"`
	Photos    int             `json:"photos"`
	Missing   []archive.Lost  `json:"missing"`
	Content   string          `json:"content_sha256"`
}

// show says what became of a backup, or why nothing did.
func (a archived) show(desk Desk, verb string, asJSON bool, err error) error {
	schema := "rinsewright." + verb + "/1"
	if err != nil {
		return refuseAs(schema, asJSON, desk, err)
	}
	if asJSON {
		err = printJSON(desk.Out, a.object(schema))
	} else {
		_, err = io.WriteString(desk.Out, a.text(verb))
	}
	if err == nil && verb == "backup" && len(a.Manifest.Missing) > 0 {
		return &said{code: ExitNo}
	}
	return err
}

func (a archived) object(schema string) archivedJSON {
	m := a.Manifest
	return archivedJSON{
		Schema: schema, Path: a.Path, To: a.To, Made: m.About.Made, Program: m.About.Program, Data: m.About.Data, Database: m.About.Database,
		Encrypted: a.Encrypted, Tables: m.Tables, Photos: m.Photos, Missing: m.Missing, Content: m.Content,
	}
}

// did begins what is said after each verb.
var did = map[string]string{
	"backup":  "Backed up. Nobody has opened it yet: try rinsewright drill.",
	"verify":  "Whole: every byte is as it was written.",
	"restore": "Restored, and the same to the last letter.",
	"move":    "Moved: what arrived was read back and has the same content. The old place is as it was.",
	"drill":   "Restored into an empty place, the same to the last letter, and cleared again.",
}

func (a archived) text(verb string) string {
	var b strings.Builder
	m := a.Manifest
	fmt.Fprintln(&b, did[verb])
	line := func(name, says string) { fmt.Fprintf(&b, "  %-10s %s\n", name, says) }
	if verb == "move" {
		line("From", a.Path)
	} else if a.Path != "" {
		line("File", a.Path+map[bool]string{true: ", encrypted"}[a.Encrypted])
	}
	if a.To != "" {
		line("To", a.To)
	}
	line("Made", m.About.Made.Format("2 January 2006, 15:04")+" UTC from "+m.About.Database+" by version "+m.About.Program)
	line("Holds", fmt.Sprintf("%d rows of %d tables, %d photos of %.1f MB", m.Rows(), len(m.Tables), m.Photos, float64(m.Bytes)/1e6))
	line("Content", m.Content)
	for _, lost := range m.Missing {
		line("Missing", "photo "+lost.Name[:12]+": "+lost.Why)
	}
	if verb == "restore" || verb == "move" {
		for _, l := range wrapped("", "Left out: "+m.About.LeftOut+". People sign in again.", 80) {
			fmt.Fprintln(&b, l)
		}
		fmt.Fprintf(&b, "Start it: rinsewright serve --data %s%s\n", a.To, a.besides)
	}
	return b.String()
}
