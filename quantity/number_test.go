package quantity

import (
	"errors"
	"strings"
	"testing"
)

// Expected values are the meaning of the text itself.
func TestParseNumberReadsWhatPeopleWrite(t *testing.T) {
	point, comma := Locale{}, Locale{DecimalComma: true}
	for _, row := range []struct {
		text string
		loc  Locale
		want float64
	}{
		{"60", point, 60},
		{" 60 ", point, 60},
		{"+4.5", point, 4.5},
		{"-4.5", point, -4.5},
		{"−4.5", point, -4.5}, // a typographic minus
		{".5", point, 0.5},
		{"5.", point, 5},
		{"1,285", point, 1285},
		{"1,285.75", point, 1285.75},
		{"12,345,678", point, 12345678},
		{"1 285", point, 1285},
		{"1\u202f285", point, 1285},
		{"1\u00a0285,5", comma, 1285.5},
		{"1.285,5", comma, 1285.5},
		{"1.285", comma, 1285},
		{"3,8", comma, 3.8},
		{"1.2e-9", point, 1.2e-9},
		{"1,2E+3", comma, 1200},
		{"1/2", point, 0.5},
		{"1 1/2", point, 1.5},
		{"1-1/2", point, 1.5},
		{"-1 1/2", point, -1.5},
		{"1½", point, 1.5},
		{"1 ½", point, 1.5},
		{"¾", point, 0.75},
		{"3⁄4", point, 0.75},
		{"0", point, 0},
		{"007", point, 7},
	} {
		got, err := ParseNumber(row.text, row.loc)
		if err != nil || got != row.want {
			t.Errorf("%q (decimal comma %v) reads as %v, %v; want %v", row.text, row.loc.DecimalComma, got, err, row.want)
		}
	}
}

func TestParseNumberNeverGuesses(t *testing.T) {
	point, comma := Locale{}, Locale{DecimalComma: true}
	for _, row := range []struct {
		text string
		loc  Locale
	}{
		{"3,8", point},   // a decimal comma where the mark is a point
		{"0,285", point}, // no number's thousands start with 0
		{"1,28", point},
		{"1,2856", point},
		{"1285,000", point},
		{"1,285,00", point},
		{"1,,285", point},
		{",285", point},
		{"1,285 000", point},
		{"1 28", point},
		{"1  285", point},
		{"1 2 3", point},
		{"4.5", comma},
		{"0.285", comma},
		{"1.285.5", comma},
		{"1.2.3", point},
		{"1,2,3", comma},
		{"1.285,500", point},
		{"", point},
		{" ", point},
		{"-", point},
		{".", point},
		{"-.", point},
		{"+-5", point},
		{"--5", point},
		{"- 5", point},
		{"NaN", point},
		{"nan", point},
		{"Inf", point},
		{"-inf", point},
		{"infinity", point},
		{"0x1F", point},
		{"0x1p-2", point},
		{"1_000", point},
		{"0b1", point},
		{"1e", point},
		{"1e+", point},
		{"1e2.5", point},
		{"e5", point},
		{"1e400", point},
		{"-1e400", point},
		{strings.Repeat("9", 400), point},
		{strings.Repeat("9", 400) + "/3", point},
		{"1/0", point},
		{"0/0", point},
		{"1/2/3", point},
		{"1.5/2", point},
		{"1 5/2", point},
		{"1-", point},
		{"1--1/2", point},
		{"1-2", point},
		{"1/2e3", point},
		{"/2", point},
		{"1/", point},
		{"1,285/3", point},
		{"1 285 1/2", point},
		{"sixty", point},
		{"60 psi", point},
		{"٣", point},
		{"6０", point},
		{"5'", point},
	} {
		if got, err := ParseNumber(row.text, row.loc); !errors.Is(err, ErrNumber) || got != 0 {
			t.Errorf("%q (decimal comma %v) reads as %v, %v; want it refused", row.text, row.loc.DecimalComma, got, err)
		}
	}
}
