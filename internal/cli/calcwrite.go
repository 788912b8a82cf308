package cli

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"io"
	"strconv"
	"strings"
)

// calcWriter writes rows in one format; end writes what closes them.
type calcWriter interface {
	row(record calcRecord, answer calcAnswer, problem string) error
	end() error
}

func newCalcWriter(out io.Writer, format calcFormat, d *calcDoor) calcWriter {
	if format == calcCSV {
		return newCSVWriter(out, d)
	}
	return &jsonWriter{out: bufio.NewWriter(out), door: d, array: format == calcArray}
}

// significant is how many digits a result is printed with: the contract asks
// for six, and two more keep differences of results.
const significant = 8

func formatNumber(x float64) string {
	if x == 0 {
		return "0" // never -0
	}
	return strconv.FormatFloat(x, 'g', significant, 64)
}

// valueText returns a result as a CSV field.
func valueText(v any) string {
	switch v := v.(type) {
	case float64:
		return formatNumber(v)
	case int:
		return strconv.Itoa(v)
	case bool:
		return strconv.FormatBool(v)
	case string:
		return v
	}
	return ""
}

type csvWriter struct {
	csv  *csv.Writer
	door *calcDoor
	line []string
	err  error // of the header
}

func newCSVWriter(out io.Writer, d *calcDoor) *csvWriter {
	w := &csvWriter{csv: csv.NewWriter(out), door: d}
	for _, c := range d.keys {
		w.line = append(w.line, c.name)
	}
	for _, c := range d.results {
		w.line = append(w.line, c.name)
	}
	w.line = append(w.line, "error")
	w.err = w.csv.Write(w.line)
	return w
}

func (w *csvWriter) row(record calcRecord, answer calcAnswer, problem string) error {
	if w.err != nil {
		return w.err
	}
	w.line = w.line[:0]
	for _, c := range w.door.keys {
		w.line = append(w.line, record.fields[c.name])
	}
	for i := range w.door.results {
		text := ""
		if i < len(answer) {
			text = valueText(answer[i])
		}
		w.line = append(w.line, text)
	}
	return w.csv.Write(append(w.line, problem))
}

func (w *csvWriter) end() error {
	w.csv.Flush()
	if w.err != nil {
		return w.err
	}
	return w.csv.Error()
}

type jsonWriter struct {
	out     *bufio.Writer
	door    *calcDoor
	array   bool
	rows    int
	scratch bytes.Buffer
}

func (w *jsonWriter) row(record calcRecord, answer calcAnswer, problem string) error {
	b := &w.scratch
	b.Reset()
	if w.array {
		b.WriteString(map[bool]string{true: "[\n", false: ",\n"}[w.rows == 0])
	}
	w.rows++
	b.WriteByte('{')
	for _, c := range w.door.keys {
		writeMember(b, c.name, keyValue(c, record))
	}
	for i, c := range w.door.results {
		var v any
		if i < len(answer) {
			v = answer[i]
		}
		writeMember(b, c.name, jsonValue(v))
	}
	writeMember(b, "error", jsonText(problem))
	b.WriteByte('}')
	if !w.array {
		b.WriteByte('\n')
	}
	_, err := w.out.Write(b.Bytes())
	return err
}

func writeMember(b *bytes.Buffer, name, value string) {
	if last := b.Bytes()[b.Len()-1]; last != '{' {
		b.WriteByte(',')
	}
	b.WriteString(jsonText(name))
	b.WriteByte(':')
	b.WriteString(value)
}

func (w *jsonWriter) end() error {
	if w.array && w.rows == 0 {
		_, _ = w.out.WriteString("[") // Flush returns its error
	}
	if w.array {
		_, _ = w.out.WriteString("\n]\n")
	}
	return w.out.Flush()
}

// jsonValue returns a result as JSON; digits are those of CSV.
func jsonValue(v any) string {
	switch v := v.(type) {
	case nil:
		return "null"
	case string:
		return jsonText(v)
	}
	return valueText(v)
}

// keyValue returns a key as JSON: as it was read; from CSV a number where the
// column is one and the text can stand as one unchanged, else text.
func keyValue(c calcColumn, record calcRecord) string {
	if raw := record.raw[c.name]; len(raw) > 0 && raw[0] != '{' && raw[0] != '[' {
		return string(raw)
	}
	text := record.fields[c.name]
	if text == "" {
		return "null"
	}
	if plain := strings.TrimSpace(text); !c.text && json.Valid([]byte(plain)) && strings.ContainsAny(plain[:1], "-0123456789") {
		return plain
	}
	return jsonText(text)
}

func jsonText(s string) string {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	_ = e.Encode(s) // a string always has a JSON form
	return strings.TrimSuffix(b.String(), "\n")
}
