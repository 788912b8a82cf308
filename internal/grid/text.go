package grid

import (
	"bytes"
	"encoding/csv"
	"strings"
)

// Text returns a table as comma-separated text: what already is text as it stands, a
// workbook's first sheet row for row, so that a line of the text is a row of the
// sheet. A row whose first cell begins with # stays a remark. The error wraps [ErrTable].
func Text(data []byte) ([]byte, error) {
	if !bytes.HasPrefix(data, []byte("PK")) {
		return data, nil
	}
	rows, err := Rows(data)
	if err != nil {
		return nil, err
	}
	wide := 0
	for _, row := range rows {
		if !remark(row) {
			wide = max(wide, len(row))
		}
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	for _, row := range rows {
		switch {
		case remark(row):
			w.Flush()
			b.WriteString(strings.ReplaceAll(row[0], "\n", " ") + "\n")
		case strings.Join(row, "") == "":
			w.Flush()
			b.WriteString("\n")
		default:
			cells := make([]string, wide)
			for i, cell := range row {
				cells[i] = strings.Join(strings.Fields(cell), " ") // one row, one line
			}
			_ = w.Write(cells) // a buffer takes everything
		}
	}
	w.Flush()
	return b.Bytes(), nil
}

func remark(row []string) bool { return len(row) > 0 && strings.HasPrefix(row[0], "#") }
