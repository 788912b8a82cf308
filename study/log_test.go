package study_test

import (
	"strings"
	"testing"

	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

// The complaint at Fennel Lane (invented): bay 3 is asked about, since it reads
// five times what it should, and nothing else is.
func TestTheComplaintVisitIsAskedAboutItsBayAlone(t *testing.T) {
	s := example(t, "fennel-lane")
	all := study.Questions(s, s.Log[len(s.Log)-1], study.Options{})
	if len(all) != 1 || all[0].Kind != site.AskRange || all[0].Keys[0] != "gun_strength 3" {
		t.Errorf("asked %+v", all)
	}
}

// A flow nobody read before is held against the model.
func TestAFlowInAnotherUnitIsFoundByTheModel(t *testing.T) {
	s := example(t, "harrow-field")
	s.Commissioned, s.Log = nil, nil
	all := study.Questions(s, site.Visit{Date: "2026-06-01", Read: lines(t, "feed_temperature = 9 C", "permeate_flow = 4.6 gpm")}, study.Options{})
	if len(all) != 1 || all[0].Kind != site.AskUnit || !strings.Contains(all[0].Asks, "L/min") {
		t.Errorf("asked %+v", all)
	}
}

// A question is asked in the reader's units and decimals, and understands both.
func TestAQuestionIsAskedInTheReadersUnits(t *testing.T) {
	s := example(t, "harrow-field")
	s.Commissioned, s.Log = nil, nil
	r, err := site.ParseReading("permeate_flow = 4,6 gpm", quantity.Locale{DecimalComma: true})
	if err != nil {
		t.Fatal(err)
	}
	all := study.Questions(s, site.Visit{Date: "2026-06-01", Read: []site.Reading{r}}, study.Options{Units: quantity.SI, Locale: quantity.Locale{DecimalComma: true}})
	if len(all) != 1 || !strings.Contains(all[0].Asks, "did you mean 4,6 L/min") || strings.Contains(all[0].Asks, "gpm is expected") || !strings.Contains(all[0].Asks, "L/min is expected") {
		t.Errorf("asked %+v", all)
	}
}
