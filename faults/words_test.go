package faults

import (
	"encoding/csv"
	"slices"
	"strings"
	"testing"
)

func weightOf(cause int, words ...string) float64 { return heard(words)[indexOf(cause)] }

// Every row of the table of sayings is about a cause or a complaint, and every cause
// has sayings in English and Spanish.
func TestSayingsAreAboutSomething(t *testing.T) {
	rows, err := csv.NewReader(strings.NewReader(sayings)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	about := map[string]int{}
	for i, row := range rows[1:] {
		if !slices.ContainsFunc(topicsOf(), func(x topic) bool { return x.key == row[0] }) {
			t.Errorf("line %d: %q is no topic", i+2, row[0])
		}
		about[row[0]]++
	}
	for _, x := range topicsOf() {
		if about[x.key] < 4 {
			t.Errorf("%s (%s) has %d sayings", x.key, x.name, about[x.key])
		}
	}
}

// Remarks that no saying has word for word are known by what they mean. Kind:
// invented, from the failure table's rows; none stands in the table of sayings.
func TestRemarksAreKnownByWhatTheyMean(t *testing.T) {
	known := 0
	rows := []struct {
		cause int
		says  string
	}{
		{1, "there is a whiff of bleach whenever he rinses"},
		{2, "the housings were half full of mud when we opened them in the storm week"},
		{3, "there is a crust of lime on everything behind the reject valve"},
		{8, "ever since it froze outside the tank fills at a crawl"},
		{9, "I think the cartridges in there are three years old"},
		{12, "almost nothing dribbles from the waste hose these days"},
		{14, "at midnight with everything shut I still hear it run to the drain"},
		{15, "the seals looked chewed up when they closed the vessel"},
		{16, "the town gets its water from another well this year"},
		{17, "it kicks in and out every couple of minutes"},
		{18, "his pen and mine are miles apart"},
		{20, "bottles die at half the gallons and the membrane still reads fine"},
		{24, "the resin came out of the bottle brown as rust"},
		{25, "you brought the new bottle Monday and it reads worse than the old one"},
		{26, "someone left the cover off the storage tank, flies in it"},
		{27, "I think the kid left the bypass handle crossways"},
		{28, "nobody wants lane two because it leaves spots, the other lanes are perfect"},
		{29, "for the first half minute the gun spits foam"},
		{30, "only the black car in full sun shows them"},
		{31, "they pull away with suds on the doors"},
		{32, "a foot of water is gone from the tank each morning"},
		{36, "with a second gun open the first goes limp"},
		{38, "the floor round the tank was flooded again, float hangs"},
		{46, "we had a flyer that they change the disinfectant for a month"},
		{48, "the brine tank ran out of salt"},
		{5, "sale una baba del filtro"},
		{13, "la factura del agua subió y el desagüe corre fuerte"},
		{38, "el tanque rebosa por el flotador"},
	}
	for _, row := range rows {
		add := heard([]string{row.says})
		above := 0
		for _, x := range add {
			if x > add[indexOf(row.cause)] {
				above++
			}
		}
		if above < 3 {
			known++
		} else {
			t.Logf("%q: %d causes above %d; heard %+v", row.says, above, row.cause, Heard([]string{row.says}))
		}
	}
	t.Logf("%d of %d have their cause among the first three", known, len(rows))
	if known < 25 {
		t.Errorf("%d of %d have their cause among the first three, want 25", known, len(rows))
	}
}

func TestALetterWrongAndWordOrderDoNotMatter(t *testing.T) {
	for _, row := range []struct {
		cause     int
		one, both string
	}{
		{48, "the softener has no salt", "no salt the softener has"},
		{38, "the tank overflows", "overflows the tank"},
		{33, "the accumulator is flat", "the acumulator is flat"},
		{24, "regeneration went wrong", "regenaration went wrong"},
	} {
		if a, b := weightOf(row.cause, row.one), weightOf(row.cause, row.both); !(a > 0) || a-b > 0.2 || b-a > 0.2 {
			t.Errorf("%q gives %.2f, %q %.2f", row.one, a, row.both, b)
		}
	}
}

// Hearsay counts a third, the same thing said twice once, and all words together at
// most forty to one.
func TestWordsCountWithinBounds(t *testing.T) {
	plain := weightOf(38, "the tank overflows")
	if told := weightOf(38, Hearsay+"the tank overflows"); !(plain > 0) || told > plain/3+1e-9 || told < plain/3-1e-9 {
		t.Errorf("seen %.2f, told on %.2f, want a third", plain, told)
	}
	if twice := weightOf(38, "the tank overflows", "the tank overflows"); twice != plain {
		t.Errorf("once %.2f, twice %.2f", plain, twice)
	}
	for k, x := range heard([]string{"the tank overflows", "it never shuts off at night", "water bill doubled", "float is stuck"}) {
		if x > mostWords || x < -mostWords {
			t.Errorf("cause %d: %.2f", causes[k].Number, x)
		}
	}
}

// What has nothing to do with the rig says little of it: at most seven to one, by a word
// that happens to be one of the trade's.
func TestSmallTalkSaysLittle(t *testing.T) {
	for _, says := range []string{"the dog is friendly", "can I get a discount", "is it covered by the guarantee", "qué calor hace hoy, ¿un café?", ""} {
		for k, x := range heard([]string{says}) {
			if x > 1.9 || x < -1.9 {
				t.Errorf("%q moves cause %d by %.2f", says, causes[k].Number, x)
			}
		}
	}
}
