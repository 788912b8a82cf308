package sitefile

import (
	"bytes"
	"testing"

	"rinsewright/quantity"
	"rinsewright/water"
)

// An ion that was looked for and not found is no amount.
func TestBelowDetectionStaysABoundInTheFile(t *testing.T) {
	first, err := Read("site.toml", []byte(head+"\n[[sample]]\nplace = \"raw\"\nstrength = \"290 ppm\"\nmanganese = \"<0.02 mg/L\"\niron = \"0.3 mg/L\"\n"))
	if err != nil {
		t.Fatal(err)
	}
	s := first.Samples[0]
	if s.Ions[water.Manganese].Known || s.Below[water.Manganese] != quantity.MilligramsPerLitre(0.02) || !s.Ions[water.Iron].Known {
		t.Errorf("read %+v and bounds %v", s.Ions, s.Below)
	}
	written := Write(first, quantity.Locale{})
	if !bytes.Contains(written, []byte(`manganese = "<0.02 mg/L"`)) {
		t.Errorf("written as:\n%s", written)
	}
	if err := Set(first, "sample.manganese", "0.05 mg/L", quantity.Locale{}); err != nil {
		t.Fatal(err)
	}
	if _, still := first.Samples[0].Below[water.Manganese]; still {
		t.Error("a reading leaves the bound standing")
	}
}
