// Package grid reads the rows of a table that somebody else made: CSV, or the
// first sheet of a workbook. It is bounded before it is read, runs no formula (what
// a workbook last showed is taken), and never guesses what a cell means.
package grid

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"

	"github.com/xuri/excelize/v2"
)

// Bounds of a table: beyond them it is imported in parts.
const (
	MostBytes   = 8 << 20
	MostRows    = 20000
	MostColumns = 400
	MostCells   = 400_000

	mostUnpacked = 64 << 20
	mostEntry    = 32 << 20
	mostEntries  = 1000
)

// ErrTable marks what cannot be read as a table, or is too large for one.
var ErrTable = errors.New("not a table that can be read")

// Rows returns the rows of a table, its header first. Rows may differ in length.
// The error wraps [ErrTable].
func Rows(data []byte) ([][]string, error) {
	if len(data) > MostBytes {
		return nil, fmt.Errorf("%w: larger than %d MB", ErrTable, MostBytes>>20)
	}
	read := separated
	if bytes.HasPrefix(data, []byte("PK")) {
		read = workbook
	}
	rows, err := read(data)
	if err != nil {
		return nil, err
	}
	if len(rows) < 2 {
		return nil, fmt.Errorf("%w: no rows under a header", ErrTable)
	}
	return rows, nil
}

// separated reads CSV with commas, semicolons or tabs, whichever the header has
// most of.
func separated(data []byte) (rows [][]string, err error) {
	if bytes.IndexByte(data, 0) >= 0 {
		return nil, fmt.Errorf("%w: it is UTF-16 or no text; save it as CSV in UTF-8", ErrTable)
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	head, _, _ := bytes.Cut(data, []byte("\n"))
	comma, most := ',', 0
	for _, mark := range ",;\t" {
		if n := bytes.Count(head, []byte(string(mark))); n > most {
			comma, most = mark, n
		}
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma, r.FieldsPerRecord, r.TrimLeadingSpace, r.LazyQuotes = comma, -1, true, true
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			return rows, nil
		}
		if err != nil {
			return nil, fmt.Errorf("%w: %w", ErrTable, err)
		}
		if rows, err = grown(rows, row); err != nil {
			return nil, err
		}
	}
}

func grown(rows [][]string, row []string) ([][]string, error) {
	if len(rows) >= MostRows || len(row) > MostColumns || len(rows)*len(row) > MostCells {
		return nil, fmt.Errorf("%w: more than %d rows, %d columns or %d cells", ErrTable, MostRows, MostColumns, MostCells)
	}
	return append(rows, row), nil
}

// unpacks looks whether a workbook is as small as it must be once it is
// unpacked, by unpacking it: what its own headers say of that may be a lie.
func unpacks(data []byte) error {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return fmt.Errorf("%w: %w", ErrTable, err)
	}
	if len(z.File) > mostEntries {
		return fmt.Errorf("%w: a workbook of more than %d parts", ErrTable, mostEntries)
	}
	left := int64(mostUnpacked)
	for _, part := range z.File {
		r, err := part.Open()
		if err != nil {
			return fmt.Errorf("%w: %w", ErrTable, err)
		}
		n, err := io.Copy(io.Discard, io.LimitReader(r, min(left, mostEntry)+1))
		if left -= n; n > mostEntry || left < 0 {
			return fmt.Errorf("%w: it unpacks to more than %d MB", ErrTable, mostUnpacked>>20)
		}
		if err = errors.Join(err, r.Close()); err != nil {
			return fmt.Errorf("%w: %w", ErrTable, err)
		}
	}
	return nil
}

// workbook reads the first sheet as it was last shown, days as 2026-06-13 where
// the sheet has its plain format for days. A file made to break the reader is an
// error like any other.
func workbook(data []byte) (rows [][]string, err error) {
	defer func() {
		if broken := recover(); broken != nil {
			rows, err = nil, fmt.Errorf("%w: a broken workbook", ErrTable)
		}
	}()
	if err := unpacks(data); err != nil {
		return nil, err
	}
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{
		UnzipSizeLimit: mostUnpacked, UnzipXMLSizeLimit: mostUnpacked / 4, ShortDatePattern: "yyyy-mm-dd",
	})
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrTable, err)
	}
	defer func() {
		if closed := f.Close(); closed != nil && err == nil {
			rows, err = nil, fmt.Errorf("%w: %w", ErrTable, closed)
		}
	}()
	sheets := f.GetSheetList()
	if len(sheets) == 0 {
		return nil, fmt.Errorf("%w: no sheet", ErrTable)
	}
	in, err := f.Rows(sheets[0])
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrTable, err)
	}
	for in.Next() {
		row, err := in.Columns()
		if err != nil {
			return nil, fmt.Errorf("%w: %w", ErrTable, err)
		}
		if rows, err = grown(rows, row); err != nil {
			return nil, err
		}
	}
	return rows, in.Error()
}
