package paper_test

import (
	"strings"
	"testing"

	"rinsewright/internal/paper"
	"rinsewright/internal/scene"
)

// The month of a fleet tells how things stand: it is no draft of anything.
func TestTheFleetsMonthIsNoDraft(t *testing.T) {
	made, err := paper.MakeFleet([]paper.Fleet{{Name: "Fennel Lane", Checked: record(t, "fennel-lane").Hangs}}, nil, plainJob())
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range made.Document.Sheets {
		s.Each(func(x scene.Shape) {
			if text, ok := x.(scene.Text); ok && strings.Contains(text.Content, "DRAFT") {
				t.Errorf("page %d is marked as a draft", i+1)
			}
		})
	}
}
