package site

import (
	"strings"
	"testing"
)

// What was signed on glass is read back as it was written, and nothing else is
// taken for it.
func TestStrokesAreReadAsTheyAreWritten(t *testing.T) {
	for _, line := range []string{"0,0", "1000,300", "120,40 131,44 150,60"} {
		s, err := ParseStroke(line)
		if err != nil || s.String() != line {
			t.Errorf("%q is read as %q, error %v", line, s.String(), err)
		}
	}
	for _, line := range []string{"", "1", "1,2,3", "-1,2", "1001,2", "1,301", "1.5,2", "a,b", strings.Repeat("1,1 ", 401)} {
		if s, err := ParseStroke(line); err == nil {
			t.Errorf("%.20q is taken for the stroke %v", line, s)
		}
	}
}

func TestAPhotographOfARecordHasItsDigest(t *testing.T) {
	digest := strings.Repeat("0f", 32)
	p, err := ParsePictured(digest + " gauge at  the feed end")
	if err != nil || p.Digest != digest || p.Shows != "gauge at the feed end" || p.String() != digest+" gauge at the feed end" {
		t.Errorf("read %+v, error %v", p, err)
	}
	for _, line := range []string{"", digest[1:], strings.ToUpper(digest), digest + "0", digest + " " + strings.Repeat("x", 501)} {
		if _, err := ParsePictured(line); err == nil {
			t.Errorf("%.20q is taken for a photograph", line)
		}
	}
}

// A stroke or a photograph that changes breaks the seal; a record without them
// keeps the seal it always had.
func TestSealHoldsSignatureAndPhotographs(t *testing.T) {
	c := Commissioning{Date: "2026-06-13", Signed: "O. Owner"}
	plain := c.Mark()
	c.Drawn = []Stroke{{{1, 2}, {3, 4}}}
	drawn := c.Mark()
	c.Drawn[0][1].Y++
	if moved := c.Mark(); drawn == plain || moved == drawn {
		t.Error("a stroke can be changed under the seal")
	}
	c.Drawn, c.Photos = nil, []Pictured{{strings.Repeat("0f", 32), "gauge"}}
	if c.Mark() == plain {
		t.Error("a photograph can be changed under the seal")
	}
}
