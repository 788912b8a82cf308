//go:build !js

package scene

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// HashPlace is a text that stands for the document's hash: where it is drawn,
// the SHA-256 of the document is printed. The hash is that of the whole file
// with this text in its place, so whoever has the file can check it.
const HashPlace = "0000000000000000000000000000000000000000000000000000000000000000"

// hashPrinted is a hash as the file holds it: its digits in UTF-16, in a stream
// that is not compressed.
var hashPrinted = regexp.MustCompile(`\((?:\x00[0-9a-f]){64}\)`)

// Hashed tells the hash that a PDF prints on itself, empty when it prints none,
// and whether it is that of the file: it is not when anything was changed.
func Hashed(pdf []byte) (printed string, holds bool) {
	blank := bytes.Clone(pdf)
	for _, at := range hashPrinted.FindAllIndex(blank, -1) {
		digits := wide(blank[at[0]+1 : at[1]-1])
		if printed != "" && digits.String() != printed {
			return printed, false
		}
		printed = digits.String()
		digits.set(HashPlace)
	}
	sum := sha256.Sum256(blank)
	return printed, printed == hex.EncodeToString(sum[:])
}

// wide are letters of sixteen bits in a file.
type wide []byte

func (w wide) String() string {
	var b strings.Builder
	for i := 1; i < len(w); i += 2 {
		b.WriteByte(w[i])
	}
	return b.String()
}

func (w wide) set(digits string) {
	for i := range digits {
		w[2*i+1] = digits[i]
	}
}

// file is a PDF taken apart: what the printing library wrote, object by object.
// The library neither prints a hash nor tags what it prints; both are added
// here, and page contents are compressed.
type file struct {
	head       []byte
	objects    [][]byte // from 1: what stands between "obj" and "endobj"
	root, info int
	press      *zlib.Writer // used again for each page: a new one takes most of a megabyte
}

// apart takes a file of the printing library apart. It has one plain table of
// places at its end.
func apart(pdf []byte) (*file, error) {
	odd := fmt.Errorf("the printing library wrote a file of another form")
	at := bytes.LastIndex(pdf, []byte("\nxref\n"))
	tail := bytes.LastIndex(pdf, []byte("trailer\n"))
	if at < 0 || tail < at {
		return nil, odd
	}
	f := &file{objects: [][]byte{nil}}
	entries := bytes.Split(bytes.TrimSpace(pdf[at+len("\nxref\n"):tail]), []byte("\n"))
	for i, e := range entries {
		if i < 2 { // how many, and the first, which is none
			continue
		}
		place, err := strconv.Atoi(string(e[:min(10, len(e))]))
		if err != nil || place > at {
			return nil, odd
		}
		if f.head == nil || place < len(f.head) {
			f.head = pdf[:place]
		}
		body, ok := bytes.CutPrefix(pdf[place:at+1], fmt.Appendf(nil, "%d 0 obj\n", i-1))
		if !ok {
			return nil, odd
		}
		end := endOf(body)
		if end < 0 {
			return nil, odd
		}
		f.objects = append(f.objects, body[:end])
	}
	_, err := fmt.Sscanf(string(pdf[tail:]), "trailer\n<<\n/Size %d\n/Root %d 0 R\n/Info %d 0 R", new(int), &f.root, &f.info)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", odd, err)
	}
	return f, nil
}

// endOf finds where an object ends; a stream is stepped over by its length,
// since anything may stand in it.
func endOf(body []byte) int {
	from := 0
	if at := bytes.Index(body, []byte("stream\n")); at >= 0 && at < bytes.Index(body, []byte("endobj")) {
		length := lengthForm.FindSubmatch(body[:at])
		if length == nil {
			return -1
		}
		n, err := strconv.Atoi(string(length[1]))
		if from = at + len("stream\n") + n; err != nil || from > len(body) {
			return -1
		}
	}
	end := bytes.Index(body[from:], []byte("endobj\n"))
	if end < 0 {
		return -1
	}
	return from + end
}

var lengthForm = regexp.MustCompile(`/Length (\d+)`)

// add gives an object its number.
func (f *file) add(body []byte) int {
	f.objects = append(f.objects, body)
	return len(f.objects) - 1
}

// contents compresses what stands on a page. A hash stays as it is, so that the
// file can be checked without a PDF reader.
func (f *file) contents(object int) {
	body := f.objects[object]
	start, end := bytes.Index(body, []byte("stream\n")), bytes.LastIndex(body, []byte("\nendstream"))
	if start < 0 || end < start {
		return
	}
	text := body[start+len("stream\n") : end]
	place := hashPrinted.FindIndex(text)
	if place == nil {
		f.objects[object] = f.pressed(text)
		return
	}
	from := bytes.LastIndexByte(text[:place[0]], '\n') + 1
	to := place[1] + bytes.IndexByte(text[place[1]:], '\n') + 1
	parts := []int{f.add(f.pressed(text[:from])), f.add(stream("", text[from:to])), f.add(f.pressed(text[to:]))}
	f.objects[object] = fmt.Appendf(nil, "[%d 0 R %d 0 R %d 0 R]\n", parts[0], parts[1], parts[2])
}

// pressed is a stream made small.
func (f *file) pressed(text []byte) []byte {
	var b bytes.Buffer
	if f.press == nil {
		f.press = zlib.NewWriter(&b)
	} else {
		f.press.Reset(&b)
	}
	_, _ = f.press.Write(text) // memory takes everything
	_ = f.press.Close()
	return stream("/Filter /FlateDecode ", b.Bytes())
}

func stream(how string, text []byte) []byte {
	out := fmt.Appendf(make([]byte, 0, len(text)+96), "<<%s/Length %d>>\nstream\n", how, len(text))
	out = append(out, text...)
	return append(out, "\nendstream\n"...)
}

// whole puts the file together again and prints its hash.
func (f *file) whole() []byte {
	size := len(f.head) + 1024
	for _, o := range f.objects {
		size += len(o) + 48
	}
	out := append(make([]byte, 0, size), f.head...)
	places := make([]int, len(f.objects))
	for i, o := range f.objects[1:] {
		places[i+1] = len(out)
		out = fmt.Appendf(out, "%d 0 obj\n", i+1)
		out = append(out, o...)
		out = append(out, "endobj\n"...)
	}
	table := len(out)
	out = fmt.Appendf(out, "xref\n0 %d\n0000000000 65535 f \n", len(f.objects))
	for _, at := range places[1:] {
		out = fmt.Appendf(out, "%010d 00000 n \n", at)
	}
	out = fmt.Appendf(out, "trailer\n<<\n/Size %d\n/Root %d 0 R\n/Info %d 0 R\n>>\nstartxref\n%d\n%%%%EOF\n", len(f.objects), f.root, f.info, table)
	if all := hashPrinted.FindAllIndex(out, -1); len(all) > 0 {
		sum := sha256.Sum256(out)
		for _, at := range all {
			wide(out[at[0]+1 : at[1]-1]).set(hex.EncodeToString(sum[:]))
		}
	}
	return out
}
