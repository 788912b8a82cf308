package study_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"rinsewright/catalog"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

func marinaDay(t *testing.T) (*site.Site, study.Pick, *study.Installation) {
	t.Helper()
	parts, err := catalog.Generic()
	if err != nil {
		t.Fatal(err)
	}
	s := example(t, "cormorant-reach")
	sized, err := study.Size(context.Background(), s, parts, study.SizeOptions{Options: study.Options{Seed: 1, Looks: 4}})
	if err != nil {
		t.Fatal(err)
	}
	return s, sized.Picks[0], study.Install(s, sized.Picks[0], parts)
}

// The day's hours are those of its tasks, and the start-up's minutes are the
// hours of labour that the quote charges.
func TestInstallationDayAddsUp(t *testing.T) {
	_, pick, day := marinaDay(t)
	var all, shut, start quantity.Time
	for _, task := range day.Work {
		all += task.Takes
		if task.BaysShut {
			shut += task.Takes
		}
		for _, begins := range []string{"Fill slowly", "Flush filters", "Sanitise", "Run the first", "Set the", "Take the"} {
			if strings.HasPrefix(task.Does, begins) {
				start += task.Takes
			}
		}
	}
	if all != day.Takes || shut != day.BaysShut {
		t.Errorf("tasks take %v and shut the bays for %v; the day says %v and %v", all, shut, day.Takes, day.BaysShut)
	}
	for _, line := range pick.Parts {
		if line.Kind == "labour" && math.Abs(start.Hours()-line.Count) > 1e-9 {
			t.Errorf("start-up takes %g h on the day and is quoted as %g h", start.Hours(), line.Count)
		}
	}
	// Invented: the marina's tank of 238 gal through a hose of 20 L/min is
	// 901 L / 20 L/min = 45.05 min, rounded up.
	for _, task := range day.Work {
		if strings.HasPrefix(task.Does, "Drain the old tank") && task.Takes != 46*60 {
			t.Errorf("draining takes %v s, want 46 min", float64(task.Takes))
		}
	}
}

func TestEveryBoughtPartIsOnTheVan(t *testing.T) {
	_, pick, day := marinaDay(t)
	for _, line := range pick.Parts {
		if line.Kept || line.Kind == "labour" {
			continue
		}
		found := false
		for _, k := range day.Kit {
			found = found || k.Name == line.Name && k.Count >= line.Count
		}
		if !found {
			t.Errorf("%s is bought and not on the van", line.Name)
		}
	}
}

func TestLevelHeightIsGeometry(t *testing.T) {
	parts, err := catalog.Generic()
	if err != nil {
		t.Fatal(err)
	}
	tank := site.Tank{Kind: "vented", Volume: quantity.Told(quantity.Gallons(300))}
	h, ok := study.LevelHeight(parts, tank, quantity.Gallons(150))
	if !ok {
		t.Fatal("the catalogue lists a tank of 300 gal")
	}
	// Worked by hand: 42 in across is 1385.4 in² of floor; 150 gal are 34650
	// in³ (231 in³ a gallon, exact), so 25.01 in.
	if got := float64(h) / 0.0254; math.Abs(got-25.01) > 0.01 {
		t.Errorf("150 gal stand %.3f in high in a tank 42 in across, want 25.01 in", got)
	}
	if _, ok := study.LevelHeight(parts, site.Tank{Kind: "pressurised", Volume: tank.Volume}, 0.1); ok {
		t.Error("a pressurised tank has no level to measure")
	}
	if _, ok := study.LevelHeight(parts, site.Tank{Kind: "vented", Volume: quantity.Told(quantity.Gallons(311))}, 0.1); ok {
		t.Error("a tank that the catalogue does not list has no known diameter")
	}
}

// Common practice, no source: a cup of household bleach (237 mL) in 60 gal of
// water makes about 50 ppm of free chlorine.
func TestSanitiseDoseIsTheUsualCup(t *testing.T) {
	got := float64(study.SanitiseDose(quantity.Gallons(60))) * 1e6 // mL
	if math.Abs(got-237) > 0.12*237 {
		t.Errorf("60 gal take %.0f mL of bleach, want about 237 mL", got)
	}
}
