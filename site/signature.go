package site

import (
	"fmt"
	"strconv"
	"strings"
)

// Stroke is one stroke of a signature on glass, on a board [BoardWide] by
// [BoardHigh].
type Stroke []BoardPoint

// BoardPoint is a place on the board of a signature, counted from its upper
// left corner.
type BoardPoint struct{ X, Y int }

// The board that a signature is drawn on, and how much of it a record keeps.
const (
	BoardWide   = 1000
	BoardHigh   = 300
	MostStrokes = 60  // of a signature
	mostPoints  = 400 // of a stroke
)

// ParseStroke reads one stroke,
//
//	120,40 131,44 150,60
//
// places right and down, a stroke a line. The error is a [Problem].
func ParseStroke(line string) (Stroke, error) {
	bad := Problem{Read: strconv.Quote(line[:min(len(line), 40)]), Wanted: fmt.Sprintf("at most %d places on a board of %d by %d", mostPoints, BoardWide, BoardHigh), Example: `"120,40 131,44 150,60"`}
	places := strings.Fields(line)
	if len(places) == 0 || len(places) > mostPoints {
		return nil, bad
	}
	var s Stroke
	for _, place := range places {
		right, down, ok := strings.Cut(place, ",")
		x, err1 := strconv.ParseUint(right, 10, 16)
		y, err2 := strconv.ParseUint(down, 10, 16)
		if !ok || err1 != nil || err2 != nil || x > BoardWide || y > BoardHigh {
			return nil, bad
		}
		s = append(s, BoardPoint{int(x), int(y)})
	}
	return s, nil
}

// String writes the line that [ParseStroke] reads.
func (s Stroke) String() string {
	places := make([]string, len(s))
	for i, p := range s {
		places[i] = fmt.Sprintf("%d,%d", p.X, p.Y)
	}
	return strings.Join(places, " ")
}

// Pictured is a photograph that belongs to a record. Its digest is known as soon
// as it is taken, long before it reaches the office.
type Pictured struct {
	Digest string // SHA-256 of the file as the phone has it, in hexadecimal
	Shows  string
}

// ParsePictured reads one photograph of a record, its digest and what it shows.
// The error is a [Problem].
func ParsePictured(line string) (Pictured, error) {
	digest, shows, _ := strings.Cut(strings.TrimSpace(line), " ")
	shows = strings.Join(strings.Fields(shows), " ")
	if len(digest) != 64 || strings.Trim(digest, "0123456789abcdef") != "" || len(shows) > 500 {
		return Pictured{}, Problem{Read: strconv.Quote(line[:min(len(line), 40)]), Wanted: "the 64 digits of a photograph's SHA-256, and what it shows", Example: `"0123…cdef gauge at the feed end"`}
	}
	return Pictured{digest, shows}, nil
}

// String writes the line that [ParsePictured] reads.
func (p Pictured) String() string { return strings.TrimSpace(p.Digest + " " + p.Shows) }
