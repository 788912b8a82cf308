package web

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"slices"
	"strings"
	"time"

	"rinsewright/internal/sitefile"
	"rinsewright/internal/store"
)

// tableKind is a kind of table that is brought into a site.
type tableKind struct {
	verb
	file string // flag before the table, "" where it stands alone
	save string // flag that keeps it
	look string // flag that only looks
}

// The tables: an old log, and a laboratory's analysis.
var (
	oldLog = tableKind{verb: verb{name: "log", says: "Bring an old log in, CSV or a workbook: every row of a day is a visit. Without save it is only looked at. What cannot be read is told with its row and left out.", flags: []apiAsk{
		{"map", "string", "What a column is; as often as needed.", "TDS out=permeate_strength ppm NaCl"},
		{"days", "string", "How it writes a day: ymd, dmy or mdy.", "ymd"},
	}}, file: "--import=", save: "--save"}
	analysis = tableKind{verb: verb{name: "import", says: "Bring a laboratory's table in, CSV: each row a sample. Without save it is only looked at.", flags: []apiAsk{
		{"column", "string", "What a column means; as often as needed.", "Ca=calcium mg/L"},
		{"place", "string", "Where the water was taken.", "raw"},
		{"date", "string", "Day of samples that carry none.", "2026-06-13"},
		{"only", "string", "Take only this sample; as often as needed.", ""},
		{"decimal", "string", "point or comma.", "point"},
	}}, look: "--dry-run"}
)

var saveAsk = apiAsk{"save", "boolean", "Keep it; otherwise it is only looked at.", "false"}

// asks are what may be asked of a table.
func (k tableKind) asks() []apiAsk { return append(slices.Clone(k.flags), saveAsk) }

// apiImport looks at a table, or keeps it.
func (k tableKind) apiImport(v *visit) error {
	table, err := v.body()
	if err != nil {
		return err
	}
	q := v.r.URL.Query()
	save := q.Get("save") == "true"
	q.Del("save")
	v.r.URL.RawQuery = q.Encode()
	flags, err := v.flagsFor(k.verb)
	if err != nil {
		return err
	}
	answer, err := v.tabled(k, flags, AskedFile{"table.csv", table}, save)
	if err != nil {
		return err
	}
	return v.giveAnswer(answer)
}

func (v *visit) giveAnswer(answer Answer) error {
	if answer.Exit > 1 {
		return unansweredAPI(answer.JSON)
	}
	v.w.Header().Set("Content-Type", jsonKind)
	v.w.WriteHeader(http.StatusOK)
	_, err := v.w.Write(answer.JSON)
	return err
}

// tabled asks the command line about a table for the site of the address, and
// keeps the site file that it wrote.
func (v *visit) tabled(k tableKind, flags []string, table AskedFile, save bool) (Answer, error) {
	asked := Asked{Verb: k.name, Flags: flags, Table: &table, TableFlag: k.file}
	if flag := map[bool]string{true: k.save, false: k.look}[save]; flag != "" {
		asked.Flags = append(slices.Clone(flags), flag)
	}
	return v.rewritten(asked, save)
}

// apiUndo takes the last entry of the log back, or the whole last import.
func (v *visit) apiUndo() error {
	answer, err := v.undone()
	if err != nil {
		return err
	}
	return v.giveAnswer(answer)
}

func (v *visit) undone() (Answer, error) {
	return v.rewritten(Asked{Verb: "log", Flags: []string{"--undo"}}, true)
}

// rewritten asks the command line something that changes a site file, and keeps
// the change when it is wanted.
func (v *visit) rewritten(asked Asked, save bool) (answer Answer, err error) {
	if v.options.Ask == nil {
		return answer, refuseCoded("no-answer", http.StatusNotImplemented, "This program was started without the engine's answers.", "rinsewright serve has them.")
	}
	kept, err := v.store.Site(v.r.Context(), v.r.PathValue("id"))
	if err != nil {
		return answer, err
	}
	asked.Sites = []AskedFile{{"site.toml", kept.File}}
	ctx, stop := context.WithTimeout(v.r.Context(), 50*time.Second)
	defer stop()
	if answer, err = v.options.Ask(ctx, asked); err != nil || answer.Exit > 1 {
		return answer, asRefused(err)
	}
	if !save || answer.Site == "" || answer.Site == kept.File {
		return answer, nil
	}
	_, err = v.store.SaveSite(v.r.Context(), v.person(), kept.ID, kept.Rev, answer.Site)
	if errors.Is(err, store.ErrConflict) {
		return answer, refuseCoded("changed", http.StatusConflict, "Somebody saved this site meanwhile.", "Send it again.")
	}
	v.wake()
	return answer, err
}

// asRefused tells a question that could not be read from trouble of ours.
func asRefused(err error) error {
	var bad *BadQuestion
	if errors.As(err, &bad) {
		return refuse(http.StatusUnprocessableEntity, capital(strings.TrimSuffix(bad.Says, "."))+".", "Look at what each column is said to be.")
	}
	return err
}

// whatTable is what the command line found in a table.
type whatTable struct {
	Visits []struct {
		Date     string
		By       string
		Words    string
		Changed  []string
		Readings []string
	} `json:"visits"`
	Kept    int `json:"visits_kept"`
	Back    int `json:"visits_taken_back"`
	Columns []struct {
		Header string `json:"header"`
		Means  string `json:"means"`
	} `json:"columns"`
	Samples []struct {
		Name string
		Date string
		Ions map[string]float64 `json:"ions_mg_L"`
	} `json:"samples"`
	Problems []string           `json:"problems"`
	Errors   []sitefile.Problem `json:"errors"`
}

func (a Answer) found() (w whatTable, err error) {
	return w, json.Unmarshal(a.JSON, &w)
}
