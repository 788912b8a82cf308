package cli

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"

	"rinsewright/study"
)

// leastRanks is how many causes of a case are printed at least, and leastShare
// down to which probability more are.
const (
	leastRanks = 5
	leastShare = 0.001
)

// faultFolder answers calc faults DIR: a folder of cases in, ranked causes out.
func (c CalcCommand) faultFolder(desk Desk) error {
	if c.File == "" {
		return bad(errors.New("calc faults: no folder given"), "rinsewright calc faults DIR, with cases.csv and readings.csv in it")
	}
	folder, err := readFaultFolder(c.File)
	if err != nil {
		return bad(fmt.Errorf("calc faults: %w", err), "a folder with cases.csv and readings.csv, and if there are any baseline.csv and words.csv")
	}
	if c.NoWords {
		folder.Words = nil
	}
	ids, cases, err := folder.FaultCases()
	if err != nil {
		return bad(fmt.Errorf("calc faults: %w", err), "")
	}
	out := csv.NewWriter(desk.Out)
	_ = out.Write([]string{"case_id", "rank", "cause", "probability"}) // told by Error below
	failed := 0
	for i := range cases {
		if err := desk.Context.Err(); err != nil {
			return fmt.Errorf("calc faults: stopped: %w", err)
		}
		ranked, err := study.RankCauses(cases[i])
		if err != nil {
			failed++
			fmt.Fprintf(desk.Err, "calc faults: case %s: %v; ranked by words and weights alone\n", ids[i], err)
		}
		for rank, s := range ranked {
			if rank >= leastRanks && s.Probability < leastShare {
				break
			}
			_ = out.Write([]string{ids[i], strconv.Itoa(rank + 1), strconv.Itoa(s.Cause.Number), strconv.FormatFloat(s.Probability, 'f', 6, 64)})
		}
	}
	out.Flush()
	if err := out.Error(); err != nil {
		return fmt.Errorf("calc faults: write: %w", err)
	}
	if len(cases) > 0 && failed == len(cases) {
		return bad(errors.New("calc faults: no case could be computed"), "the lines above say why")
	}
	return nil
}

// readFaultFolder reads the tables of a folder; baseline and words may be missing.
func readFaultFolder(dir string) (f study.FaultFolder, err error) {
	for _, table := range []struct {
		name string
		into *[]study.FaultRow
		may  bool // be missing
	}{
		{"cases.csv", &f.Cases, false},
		{"readings.csv", &f.Readings, false},
		{"baseline.csv", &f.Baseline, true},
		{"words.csv", &f.Words, true},
	} {
		rows, err := readFaultRows(filepath.Join(dir, table.name))
		if err != nil && !(table.may && errors.Is(err, fs.ErrNotExist)) {
			return f, err
		}
		*table.into = rows
	}
	return f, nil
}

func readFaultRows(path string) ([]study.FaultRow, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	reader, err := newCSVReader(bufio.NewReader(file))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", filepath.Base(path), err)
	}
	var rows []study.FaultRow
	for {
		record, err := reader.next()
		if err == io.EOF {
			return rows, nil
		}
		if err == nil {
			err = record.problem
		}
		if err != nil {
			return nil, fmt.Errorf("%s: row %d: %w", filepath.Base(path), len(rows)+2, err)
		}
		rows = append(rows, record.fields)
	}
}
