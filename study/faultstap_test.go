package study

import (
	"context"
	"os"
	"slices"
	"testing"

	"rinsewright/faults"
	"rinsewright/internal/sitefile"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
)

func exampleSite(t *testing.T, name string) *site.Site {
	t.Helper()
	data, err := os.ReadFile("../testdata/sites/" + name + "/site.toml")
	if err != nil {
		t.Fatal(err)
	}
	s, err := sitefile.Read("site.toml", data)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Cormorant Reach was invented with a carbon dioxide load (its well at pH 6.4 with
// 150 mg/L of alkalinity carries about 120 mg/L) and with iron that fouls its elements:
// the survey of the tap tells the first, the flow since spring the second.
func TestASurveyOfTheTapTellsALoadOfGas(t *testing.T) {
	s := exampleSite(t, "cormorant-reach")
	f, err := Faults(context.Background(), s, FaultQuestion{})
	if err != nil {
		t.Fatal(err)
	}
	if got := f.Finding.Ranked[0].Cause.Number; got != 20 {
		t.Errorf("likeliest is cause %d, want 20, as the site was invented", got)
	}
	if at := slices.IndexFunc(f.Finding.Ranked, func(s faults.Suspect) bool { return s.Cause.Number == 6 }); at > 4 {
		t.Errorf("iron in the elements is number %d of the list, want it among the first five", at+1)
	}
	// The same rig on a tap of pH 7.6 has no such load: gas falls tenfold with a unit of pH.
	for i := range s.Samples {
		if s.Samples[i].PH.Known {
			s.Samples[i].PH = quantity.Told(quantity.PH(7.6))
		}
	}
	for i := range s.Log {
		s.Log[i].Read = slices.DeleteFunc(s.Log[i].Read, func(r site.Reading) bool { return r.Of == plant.FeedPH })
	}
	sweet, err := Faults(context.Background(), s, FaultQuestion{})
	if err != nil {
		t.Fatal(err)
	}
	if p := chance(sweet, 20); p > chance(f, 20)/2 {
		t.Errorf("at pH 7.6 a load of gas is as likely as %.2f, at 6.4 %.2f", p, chance(f, 20))
	}
}

func chance(f *Faulted, number int) float64 {
	for _, s := range f.Finding.Ranked {
		if s.Cause.Number == number {
			return s.Probability
		}
	}
	return 0
}

// A demand outgrown is asked about by counting, and by no pen.
func TestADemandOutgrownIsCounted(t *testing.T) {
	f, err := FaultsFromWords([]string{"we wash twice as many cars as when it was put in and run out"}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if f.Finding.Ranked[0].Cause.Number != outgrown || f.Call.Ask[0].Cause != outgrown {
		t.Errorf("first cause %d, first question %q", f.Finding.Ranked[0].Cause.Number, f.Call.Ask[0].Do)
	}
	for _, x := range f.Call.Ask {
		if x.Of.Kind() == quantity.KindConductivity {
			t.Errorf("asks to %s", x.Do)
		}
	}
}

// The trap of a new element is called where a new element is weighed, and nowhere else.
func TestTheTrapIsCalledWhereAnElementIsReplaced(t *testing.T) {
	for _, row := range []struct {
		number   int
		elements bool
		want     bool
	}{{1, true, true}, {3, true, true}, {4, false, true}, {12, false, false}, {24, false, false}, {46, false, true}} {
		f := &Faulted{Finding: &faults.Finding{Ranked: []faults.Suspect{{Remedy: faults.RemedyOf(row.number)}}}, elements: row.elements}
		all := FaultCautions(f)
		if got := slices.Contains(all, faults.Trap); got != row.want {
			t.Errorf("cause %d: the trap is called: %v, want %v", row.number, got, row.want)
		}
	}
}
