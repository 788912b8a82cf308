package study

import (
	"fmt"
	"math"

	"rinsewright/commissioning"
	"rinsewright/plant"
	"rinsewright/quantity"
)

// balances are those that the readings allow: a balance that lacks a reading is
// left out.
func (p *Proving) balances(t taken) (all []commissioning.Balance) {
	feed, hasFeed := t.one(plant.FeedFlow)
	qp, ok1 := t.one(plant.PermeateFlow)
	qc, ok2 := t.one(plant.ConcentrateFlow)
	if !ok1 || !ok2 {
		return nil
	}
	if hasFeed {
		if b, err := commissioning.Water(feed, qp, qc); err == nil {
			all = append(all, b)
		}
	}
	kf, ok1 := t.one(plant.FeedStrength)
	kp, ok2 := t.one(plant.PermeateStrength)
	kc, ok3 := t.one(plant.ConcentrateStrength)
	if ok1 && ok2 && ok3 {
		kf = p.behindSoftener(kf)
		if b, err := commissioning.Salt(qp, qc, kf, kp, kc, p.saltOf); err == nil {
			all = append(all, b)
		}
	}
	return all
}

// softenedSD is how surely the model knows what a softener makes of a
// conductivity, of the logarithm: sodium for hardness moves it a few per cent.
// Source: [TradeDefaults].
const softenedSD = 0.01

// behindSoftener is the strength that reaches the membrane, where the raw
// water's was read.
func (p *Proving) behindSoftener(raw commissioning.Measured) commissioning.Measured {
	l := p.base.look
	if l.softening == nil {
		return raw
	}
	before, err1 := l.raw.Water.Conductivity25()
	after, err2 := l.feed.Conductivity25()
	if err1 != nil || err2 != nil || !(before > 0) {
		return raw
	}
	raw.Y *= float64(after / before)
	raw.U = math.Hypot(raw.U, softenedSD*raw.Y)
	return raw
}

func (p *Proving) balanceTold(b commissioning.Balance) BalanceTold {
	out := BalanceTold{Name: b.Name, Off: quantity.Ratio(b.Off), Doubt: quantity.Ratio(b.Out.U / b.In.Y), Sigmas: b.Sigmas, Closes: b.Closes}
	percent := func(x float64) string {
		return quantity.FormatLocale(quantity.Ratio(math.Round(1000*x)/1000), quantity.SI, p.options.Locale)
	}
	direction := "more"
	if b.Off < 0 {
		direction = "less"
	}
	out.Says = fmt.Sprintf("as much %s leaves as comes in, but for %s ± %s", b.Name, percent(math.Abs(b.Off)), percent(float64(out.Doubt)))
	if b.Closes {
		return out
	}
	out.Says = fmt.Sprintf("%s %s of %s leaves than comes in, %.0f times the meters' doubt: a meter is wrong, or was read at another time", percent(math.Abs(b.Off)), direction, b.Name, math.Abs(b.Sigmas))
	for _, s := range b.Suspects {
		if s.Sigmas > 1.5*b.Suspects[0].Sigmas {
			break
		}
		key := plant.Reading{Of: s.Of, Number: s.Number}.Key()
		out.Suspects = append(out.Suspects, SuspectTold{
			Key: key, By: s.By, Factor: s.Factor, Sigmas: s.Sigmas,
			Says: fmt.Sprintf("%s would close it at ×%.2f of what was read", s.Of.Title(), s.Factor),
		})
	}
	return out
}
