package paper_test

import (
	"strings"
	"testing"

	"rinsewright/internal/paper"
	"rinsewright/internal/scene"
	"rinsewright/study"
	"rinsewright/testdata/sites"
)

// The paper of the first start is the sheet that page and command line show:
// every caution, step and reading, in its order, each caution ahead of its step.
func TestStartUpPaperIsTheSheet(t *testing.T) {
	k, _ := paper.KindNamed("start-up")
	for _, name := range sites.Names {
		r := record(t, name)
		made, err := k.Make(r, plainJob())
		if err != nil {
			t.Fatal(err)
		}
		var all strings.Builder
		for _, sheet := range made.Document.Sheets {
			sheet.Each(func(x scene.Shape) {
				if text, ok := x.(scene.Text); ok {
					all.WriteString(strings.ToLower(text.Content) + " ")
				}
			})
		}
		rest := all.String()
		for _, step := range study.StartUp(r.Site, study.Options{Seed: 1}).Steps {
			wanted := append([]string{step.Title}, step.Cautions...)
			wanted = append(wanted, step.Do...)
			for _, s := range step.Stop {
				wanted = append(wanted, s.Says)
			}
			for _, a := range step.Read {
				wanted = append(wanted, a.Title())
			}
			for _, want := range wanted {
				at := strings.Index(rest, strings.ToLower(want))
				if at < 0 {
					t.Fatalf("%s: step %s: %q is not on the paper, or not in its order", name, step.Name, want)
				}
				rest = rest[at:]
			}
		}
	}
}
