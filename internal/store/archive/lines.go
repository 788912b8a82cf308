package archive

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"unicode/utf8"

	"rinsewright/internal/store"
)

// mostChunk bounds the lines that are held at once. One row may be longer.
const mostChunk = 4 << 20

// mostEntry bounds an entry that is read: a chunk and the longest row.
const mostEntry = 64 << 20

// columnsLine is the line that begins each chunk of a table.
func columnsLine(t store.Table) ([]byte, error) {
	line, err := json.Marshal(t.Names())
	return append(line, '\n'), err
}

// appendRow writes a row as a line.
func appendRow(b []byte, t store.Table, values []any) (_ []byte, err error) {
	for i, v := range values {
		b = append(b, map[bool]byte{true: '[', false: ','}[i == 0])
		if b, err = appendValue(b, v); err != nil {
			return nil, fmt.Errorf("table %s, column %s: %w", t.Name, t.Columns[i].Name, err)
		}
	}
	return append(b, ']', '\n'), nil
}

func appendValue(b []byte, v any) ([]byte, error) {
	switch v := v.(type) {
	case string:
		return appendText(b, v)
	case []byte:
		return appendText(b, string(v))
	case int64:
		return strconv.AppendInt(b, v, 10), nil
	case float64:
		return strconv.AppendFloat(b, v, 'g', -1, 64), nil
	}
	return nil, fmt.Errorf("a value of kind %T cannot be kept", v)
}

func appendText(b []byte, s string) ([]byte, error) {
	if !utf8.ValidString(s) {
		return nil, fmt.Errorf("%.60q: %w", s, store.ErrText)
	}
	var line bytes.Buffer
	e := json.NewEncoder(&line)
	e.SetEscapeHTML(false)
	err := e.Encode(s)
	return append(b, bytes.TrimSuffix(line.Bytes(), []byte{'\n'})...), err
}

// rowOf reads a line as the values that the table's columns hold.
func rowOf(t store.Table, line []byte) ([]any, error) {
	d := json.NewDecoder(bytes.NewReader(line))
	d.UseNumber()
	var read []any
	if err := d.Decode(&read); err != nil {
		return nil, fmt.Errorf("a row of table %s: %w: %w", t.Name, err, ErrDamaged)
	}
	if len(read) != len(t.Columns) {
		return nil, fmt.Errorf("a row of table %s has %d values instead of %d: %w", t.Name, len(read), len(t.Columns), ErrDamaged)
	}
	for i, c := range t.Columns {
		v, err := valueOf(c.Kind, read[i])
		if err != nil {
			return nil, fmt.Errorf("table %s, column %s: %w: %w", t.Name, c.Name, err, ErrDamaged)
		}
		read[i] = v
	}
	return read, nil
}

func valueOf(kind store.Kind, read any) (any, error) {
	text, isText := read.(string)
	number, isNumber := read.(json.Number)
	switch {
	case kind == store.Text && isText:
		return text, nil
	case kind == store.Whole && isNumber:
		return strconv.ParseInt(number.String(), 10, 64)
	case kind == store.Number && isNumber:
		return strconv.ParseFloat(number.String(), 64)
	}
	return nil, fmt.Errorf("%.60v is no %s", read, kind)
}
