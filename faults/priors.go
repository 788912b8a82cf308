package faults

import (
	"math"

	"rinsewright/plant"
	"rinsewright/quantity"
)

// Weights before any reading, 1 for an ordinary cause. They say what trade
// experience says of age, water, season and events, in steps of about three; no
// count of real failures stands behind them. Source: [TradeFaults], common
// practice.
const (
	likely   = 3.0
	unlikely = 0.3
	hardly   = 0.05
	never    = 0.0
)

func evenly(w float64) func(*Case) float64 { return func(*Case) float64 { return w } }

func rareWell(c *Case) float64 {
	if c.Facts.Source == Well || c.Facts.Source == "" {
		return 2 * hardly
	}
	return hardly / 5
}

// old is 1 at a usual age of change and grows with age, within a third and
// three.
func old(e quantity.Entry[quantity.Time], usual float64) float64 {
	if !e.Known {
		return 1
	}
	return min(max(float64(e.Value)/usual, unlikely), likely)
}

func chlorineWeight(c *Case) float64 {
	switch {
	case c.Facts.Source == Well:
		return hardly
	case c.Facts.Carbon == "":
		return likely
	}
	return max(old(c.Facts.CarbonAge, 9*month), 0.5)
}

// switchWeight is for a chloramine town in its weeks of free chlorine.
func switchWeight(c *Case) float64 {
	if c.Facts.Source != ChloramineCity && c.Facts.Source != "" {
		return hardly / 5
	}
	switch c.Facts.Notice {
	case Yes:
		return likely
	case No:
		return hardly
	}
	return 1
}

func siltWeight(c *Case) float64 { return old(c.Facts.FilterAge, 4*month) }

func filterWeight(c *Case) float64 { return old(c.Facts.FilterAge, 5*month) }

func scaleWeight(c *Case) float64 {
	w := 1.0
	if c.Facts.Softener {
		w = 0.5
	}
	if r := c.Facts.Recovery; r.Known && r.Value > 0.5 {
		w *= 1.5
	}
	return w * c.withMore(plant.FeedHardness, 120*milligram)
}

func silicaWeight(c *Case) float64 {
	w := 0.8
	if c.Facts.Source == Well {
		w = 1.3
	}
	return w * c.withMore(plant.FeedSilica, 12*milligram)
}

func breakWeight(c *Case) float64 { return resinWeight(c) * c.withMore(plant.FeedSilica, 12*milligram) }

// withMore grows with what the tap carries of what a cause is made of, within a third
// and twice, by today's test or the baseline's; 1 at a usual water, or where nobody
// tested it. Source: [TradeFaults], rows
// 3, 4, 20 and 21: hardness present, silica of the concentrate high, alkalinity over 80.
func (c *Case) withMore(of plant.Gauge, usual float64) float64 {
	if si, ok := c.tapReads(of); ok {
		return min(max(si/usual, unlikely), 2)
	}
	return 1
}

// tapReads is what the tap was read to carry, today or at the baseline, SI.
func (c *Case) tapReads(of plant.Gauge) (float64, bool) {
	for _, rows := range [][]Evidence{c.Now, c.Baseline} {
		for i := range rows {
			if rows[i].Of == of {
				return rows[i].SI, true
			}
		}
	}
	return 0, false
}

func ironWeight(c *Case) float64 {
	if c.Facts.Source == Well {
		return 1.5
	}
	return 0.7
}

func sealWeight(c *Case) float64 {
	switch c.Facts.Opened {
	case Yes:
		return likely
	case No:
		return unlikely
	}
	return 1
}

func penWeight(c *Case) float64 {
	if len(c.Baseline) == 0 {
		return 1
	}
	if samePen(c.Baseline, c.Now) {
		return 0.5
	}
	return 1.3
}

func resinWeight(c *Case) float64 {
	if c.Facts.ResinPlace == "" {
		return never
	}
	return 1
}

// gasWeight is for carbon dioxide: wells are where water is acid and alkaline at
// once, and a vented tank ahead of the resin gives most of the gas away.
func gasWeight(c *Case) float64 {
	w := resinWeight(c)
	if c.Facts.ResinPlace == AfterTank {
		w *= 0.7
	}
	switch c.Facts.Source {
	case Well:
		w *= 2
	case ChlorineCity, ChloramineCity:
		w *= 0.6
	}
	pH, told := c.tapReads(plant.FeedPH)
	alkalinity, both := c.tapReads(plant.FeedAlkalinity)
	if !told || !both {
		return w * c.withMore(plant.FeedAlkalinity, 80*milligram)
	}
	// Free carbon dioxide, α·10^(6.35−pH): of 15 mg/L it loads resin behind a membrane
	// about as much as the salts do.
	gas := 0.88 * alkalinity * math.Pow(10, 6.35-pH)
	return w * min(max(gas/(15*milligram), unlikely), 2*likely)
}

// flowWeight is for flow outside one half to five gallons a minute per cubic foot.
func flowWeight(c *Case) float64 {
	w := resinWeight(c)
	if w == 0 {
		return 0
	}
	perFoot := resinFlow(&c.Facts).GallonsPerMinute() / (c.Facts.Lead + c.Facts.Lag/100).CubicFeet()
	switch {
	case perFoot > 4 || perFoot < 0.45:
		return 2
	case perFoot > 3 || perFoot < 0.7:
		return 1
	}
	return unlikely
}

func resinFlow(f *Facts) quantity.Flow {
	if f.ResinPlace == AfterTank || f.Bare {
		return f.Gun.Or(quantity.Flow(usualGun)) * quantity.Flow(1+max(f.Bays, 1)) / 2
	}
	return f.Sheet.PermeateFlow * quantity.Flow(max(f.Housings, 1)) * coldFlow
}

func fouledWeight(c *Case) float64 {
	if c.Facts.Source == Well {
		return 1.3 * resinWeight(c)
	}
	return 0.7 * resinWeight(c)
}

// newBottleWeight is for a bottle that is days old.
func newBottleWeight(c *Case) float64 {
	if c.Facts.ResinPlace == "" {
		return never
	}
	t := c.Facts.SinceTime
	switch {
	case !t.Known:
		return 1
	case t.Value < quantity.Days(8):
		return likely
	case t.Value < quantity.Days(21):
		return unlikely
	}
	return hardly
}

func baysWeight(c *Case) float64 {
	if c.Facts.Bays < 2 {
		return hardly
	}
	return 1
}

func softenerWeight(c *Case) float64 {
	if !c.Facts.Softener {
		return never
	}
	return 1.3
}
