package cli

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// calcRecord is one row as it was read: every field's text by column name. A
// row that cannot be read says so in problem and the rows after it are read.
type calcRecord struct {
	fields  map[string]string
	raw     map[string]json.RawMessage // the same as JSON, where JSON was read
	problem error
}

// calcReader gives records until io.EOF; another error ends the input.
type calcReader interface {
	next() (calcRecord, error)
}

// calcFormat is how rows are written down.
type calcFormat string

const (
	calcCSV   calcFormat = "csv"
	calcArray calcFormat = "json"         // [{…},{…}]
	calcLines calcFormat = "json objects" // one object, or several after one another
)

// openRows tells the format by the first byte that is not blank.
func openRows(in io.Reader) (calcReader, calcFormat, error) {
	b := bufio.NewReaderSize(in, 1<<16)
	if head, _ := b.Peek(3); bytes.Equal(head, []byte("\uFEFF")) { // some spreadsheets begin so
		_, _ = b.Discard(3)
	}
	for {
		c, err := b.ReadByte()
		if err == io.EOF {
			return nil, "", errors.New("no rows: wanted CSV with a header, or JSON objects")
		}
		if err != nil {
			return nil, "", fmt.Errorf("read rows: %w", err)
		}
		if c == ' ' || c == '\t' || c == '\r' || c == '\n' {
			continue
		}
		_ = b.UnreadByte() // the byte was just read
		switch c {
		case '[':
			r, err := newArrayReader(b)
			return r, calcArray, err
		case '{':
			return objectReader{json.NewDecoder(b)}, calcLines, nil
		}
		r, err := newCSVReader(b)
		return r, calcCSV, err
	}
}

type csvReader struct {
	csv    *csv.Reader
	header []string
}

func newCSVReader(in io.Reader) (*csvReader, error) {
	r := csv.NewReader(in)
	r.FieldsPerRecord = -1 // counted per row, so that one bad row is one row's error
	header, err := r.Read()
	if err != nil {
		return nil, fmt.Errorf("read header: %w", err)
	}
	if len(header) == 1 && strings.ContainsAny(header[0], ";\t") {
		return nil, fmt.Errorf("read header: read %q, wanted names parted by commas", shortened(header[0]))
	}
	seen := map[string]bool{}
	for i, name := range header {
		name = strings.TrimSpace(name)
		if name != "" && seen[name] {
			return nil, fmt.Errorf("read header: two columns are named %q, wanted each name once", name)
		}
		if !utf8.ValidString(name) {
			return nil, fmt.Errorf("read header: column %d is not text in UTF-8", i+1)
		}
		header[i], seen[name] = name, true
	}
	return &csvReader{r, header}, nil
}

func (r *csvReader) next() (calcRecord, error) {
	fields, err := r.csv.Read()
	var bad *csv.ParseError
	if errors.As(err, &bad) {
		return calcRecord{problem: fmt.Errorf("line %d: %w", bad.StartLine, bad.Err)}, nil
	}
	if err == io.EOF {
		return calcRecord{}, io.EOF
	}
	if err != nil {
		return calcRecord{}, fmt.Errorf("read rows: %w", err)
	}
	record := calcRecord{fields: make(map[string]string, len(fields))}
	for i, name := range r.header {
		if i < len(fields) && name != "" {
			record.fields[name] = strings.ToValidUTF8(fields[i], "\uFFFD")
		}
	}
	if len(fields) != len(r.header) {
		record.problem = fmt.Errorf("read %d fields, wanted %d as in the header", len(fields), len(r.header))
	}
	return record, nil
}

// arrayReader reads [{…},{…}].
type arrayReader struct{ objectReader }

func newArrayReader(in io.Reader) (arrayReader, error) {
	d := json.NewDecoder(in)
	if _, err := d.Token(); err != nil {
		return arrayReader{}, fmt.Errorf("read JSON: %w", err)
	}
	return arrayReader{objectReader{d}}, nil
}

func (r arrayReader) next() (calcRecord, error) {
	if r.decoder.More() {
		return r.objectReader.next()
	}
	if _, err := r.decoder.Token(); err != nil {
		return calcRecord{}, fmt.Errorf("read JSON: %w", whole(err))
	}
	if _, err := r.decoder.Token(); err != io.EOF {
		return calcRecord{}, errors.New("read JSON: wanted nothing after the closing ]")
	}
	return calcRecord{}, io.EOF
}

// whole turns an end in the middle into one that is not taken for the end.
func whole(err error) error {
	if err == io.EOF {
		return io.ErrUnexpectedEOF
	}
	return err
}

// objectReader reads objects one after another.
type objectReader struct{ decoder *json.Decoder }

func (r objectReader) next() (calcRecord, error) {
	var raw json.RawMessage
	err := r.decoder.Decode(&raw)
	if err == io.EOF {
		return calcRecord{}, io.EOF
	}
	if err != nil {
		return calcRecord{}, fmt.Errorf("read JSON: %w", err)
	}
	var values map[string]json.RawMessage
	if err := json.Unmarshal(raw, &values); err != nil || values == nil {
		return calcRecord{problem: fmt.Errorf("read %s, wanted a JSON object", shortened(string(raw)))}, nil
	}
	record := calcRecord{fields: make(map[string]string, len(values)), raw: values}
	for name, value := range values {
		text, err := plainText(value)
		if err != nil && record.problem == nil {
			record.problem = fmt.Errorf("%s: %w", name, err)
		}
		record.fields[strings.TrimSpace(name)] = text
	}
	return record, nil
}

// plainText returns a JSON value as a CSV field would hold it.
func plainText(value json.RawMessage) (string, error) {
	switch value[0] {
	case '"':
		var s string
		err := json.Unmarshal(value, &s)
		return s, err
	case '{', '[':
		return "", fmt.Errorf("read %s, wanted a number or text", shortened(string(value)))
	case 'n':
		return "", nil
	}
	return string(value), nil
}

// shortened keeps a message to one line of bearable length.
func shortened(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	if r := []rune(text); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return text
}
