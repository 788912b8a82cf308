package sitefile

import (
	"errors"
	"strings"
	"testing"

	"rinsewright/quantity"
)

// fill writes cells under the heads of the empty sheet.
func fill(cells map[string]string) string {
	heads := strings.Split(strings.TrimSpace(LogSheet()), ",")
	row := make([]string, len(heads))
	for i, h := range heads {
		row[i] = cells[h]
	}
	return LogSheet() + strings.Join(row, ",") + "\n"
}

// Invented: a visit to a marina.
func TestAFilledLogSheetIsAVisit(t *testing.T) {
	sheet := fill(map[string]string{
		"date": "2026-07-04", "at": "09:30", "by": "ab", "minutes running": "20", "feed_temperature C": "14", "permeate_strength ppm NaCl": "9",
		"gun_strength ppm NaCl": "1.5 uS/cm", "permeate_meter gal": "12850", "polished_strength ppm NaCl": "-", "changed": "lead resin; sediment filter", "words": "swapped both",
	})
	if !IsLogSheet(sheet) {
		t.Fatal("a log sheet is not known by its heads")
	}
	visits, err := ReadLogSheet("log.csv", sheet, quantity.Locale{})
	if err != nil {
		t.Fatal(err)
	}
	if len(visits) != 1 {
		t.Fatalf("%d visits, want 1", len(visits))
	}
	v := visits[0]
	if v.Date != "2026-07-04" || v.At != "09:30" || v.By != "ab" || v.Words != "swapped both" || len(v.Changed) != 2 || v.Changed[1] != "sediment filter" {
		t.Errorf("visit reads %+v", v)
	}
	var lines []string
	for _, r := range v.Read {
		lines = append(lines, r.String())
	}
	want := "feed_temperature = 14 C, after 20 min|permeate_strength = 9 ppm NaCl, after 20 min|gun_strength = 1.5 uS/cm, after 20 min|permeate_meter = 12850 gal"
	if got := strings.Join(lines, "|"); got != want {
		t.Errorf("readings are %s, want %s", got, want)
	}
}

func TestTheEmptyLogSheetHasNoVisits(t *testing.T) {
	visits, err := ReadLogSheet("log.csv", LogSheet()+",,,\n", quantity.Locale{})
	if err != nil || len(visits) != 0 {
		t.Errorf("%d visits and error %v, want none", len(visits), err)
	}
}

func TestMistakesInALogSheetSayWhere(t *testing.T) {
	for _, row := range []struct {
		cells map[string]string
		want  string
	}{
		{map[string]string{"date": "2026-07-04", "permeate_strength ppm NaCl": "nine"}, `log.csv:2: read permeate_strength: "nine"`},
		{map[string]string{"by": "ab"}, "log.csv:2: read a row without a date"},
	} {
		_, err := ReadLogSheet("log.csv", fill(row.cells), quantity.Locale{})
		var problems Problems
		if !errors.As(err, &problems) || !strings.Contains(err.Error(), row.want) {
			t.Errorf("error %v, want %q", err, row.want)
		}
	}
}

func TestALaboratorysTableIsNoLog(t *testing.T) {
	for _, head := range []string{"", "sample,date,Ca mg/L\n", "date,pH,words\n"} {
		if IsLogSheet(head) {
			t.Errorf("%q is taken for a log sheet", head)
		}
	}
}

func FuzzReadLogSheet(f *testing.F) {
	f.Add(LogSheet() + "2026-07-04,09:30,ab,20,14\n")
	f.Add("date,minutes running,words,gun_strength 3 ppm\n2026-07-04,-1,,NaN\n")
	f.Add("\ufeffdate\n\"")
	f.Fuzz(func(t *testing.T, text string) {
		visits, err := ReadLogSheet("log.csv", text, quantity.Locale{})
		if err == nil {
			for _, v := range visits {
				_ = v.Gauged()
			}
		}
	})
}
