package study

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"rinsewright/commissioning"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/working"
)

// ErrNotCommissioned marks a site that nobody has put on record the first day
// of: [Estimate] stands in.
var ErrNotCommissioned = errors.New("no record of the day it started")

// Rule is the decision rule, in words for papers and pages.
const Rule = "Accepted where the reading, its meter's doubt included, keeps the promise with at least 95 % probability: the limit is moved inwards by 1.645 standard uncertainties (JCGM 106:2012, guarded acceptance). Balances come first; a meter that one of them questions proves nothing."

// Proved is what the readings of the first day say of the promises.
type Proved struct {
	Site     Heading
	Record   site.Commissioning // zero when readings were judged that are on no record
	Changed  bool               // the record was changed after it was sealed
	Corrects string
	Day      Day
	Balances []BalanceTold
	Proofs   []Proven
	Repeats  []string // gauges whose two readings are not one
	Later    []Later  // promises that only time shows
	Verdict  commissioning.Verdict
	Missing  []string // in words, what was not read and would prove more
	Assumed  []Assumption
	Cautions []Caution
	Working  []working.Step
}

// Day is the water that the promises were worked out for.
type Day struct {
	Temperature Figure // nil where nobody read it: the survey's stands in
	Strength    Figure
}

// Proven is one promise with its verdict.
type Proven struct {
	Name, Says string
	Of         plant.Gauge // it is read at; "recovery" is worked out of two
	Number     int         // of the bay
	Low, High  Figure      // nil on a side that is not promised
	Expected   Figure
	Read       Figure // nil where nobody read it
	Doubt      Figure // ± one standard uncertainty
	By         string
	Chance     float64 // probability that it is kept
	Verdict    commissioning.Verdict
	Why        string
	Better     []string // in words, what would decide
	Working    string
}

// BalanceTold is one balance in figures.
type BalanceTold struct {
	Name     string
	Off      quantity.Ratio // out over in, less 1
	Doubt    quantity.Ratio // of that
	Sigmas   float64        // number of doubts that it is off
	Closes   bool
	Says     string
	Suspects []SuspectTold
}

// SuspectTold is a meter that a balance questions.
type SuspectTold struct {
	Key, Says, By string
	Factor        float64 // by which its reading would have to change
	Sigmas        float64 // number of its own doubts that this is
}

// Later is a promise that the day cannot prove.
type Later struct{ Name, Says, By string }

// Prove judges the record of the day a site started, the one that stands. The
// error wraps [ErrNotCommissioned] where there is none, or is that of [Prepare].
func Prove(ctx context.Context, s *site.Site, o Options) (*Proved, error) {
	record, ok := s.Baseline()
	if !ok {
		return nil, fmt.Errorf("prove %s: %w", s.Name, ErrNotCommissioned)
	}
	return ProveRecord(ctx, s, record, o)
}

// ProveRecord judges one record, signed or not. Promises that it froze are what it
// is held to; the rest are worked out for the water of its day.
func ProveRecord(ctx context.Context, s *site.Site, record site.Commissioning, o Options) (*Proved, error) {
	p, err := Prepare(ctx, s, DayOf(record.Read), o)
	if err != nil {
		return nil, fmt.Errorf("prove %s: %w", s.Name, err)
	}
	p.frozen, p.heard = record.Promised, record.Instruments
	out, err := p.Judge(record.Read)
	if err != nil {
		return nil, fmt.Errorf("prove %s: %w", s.Name, err)
	}
	out.Record, out.Corrects = record, record.Corrects
	out.Changed = record.Seal != "" && !record.Intact()
	return out, nil
}

// With returns the same promises, judged with this bag of instruments.
func (p *Proving) With(bag []site.Instrument) *Proving {
	q := *p
	q.heard = bag
	return &q
}

// Frozen returns the same promises, but those that a record keeps as it keeps
// them.
func (p *Proving) Frozen(promised []site.Promised) *Proving {
	q := *p
	q.frozen = promised
	return &q
}

// Freeze returns the promises as a record keeps them, for readings taken so long
// after the start.
func (p *Proving) Freeze(running quantity.Time) (frozen []site.Promised, err error) {
	for _, f := range proofs {
		if !f.needs(p) {
			continue
		}
		promise, _ := p.promise(f, running)
		one, err := site.Freeze(f.name, promise.Limits, p.options.Locale)
		if err != nil {
			return nil, fmt.Errorf("freeze %s: %w", f.name, err)
		}
		frozen = append(frozen, one)
	}
	return frozen, nil
}

// Judge holds readings against the promises and against each other. It runs no
// chain: a key stroke can wait for it. The error is that of a reading that is no
// number.
func (p *Proving) Judge(readings []site.Reading) (*Proved, error) {
	t, err := p.take(readings)
	if err != nil {
		return nil, err
	}
	out := &Proved{
		Site:    Heading{p.site.Name, p.site.About, p.site.Origin, string(p.site.Use)},
		Assumed: p.base.Assumed, Cautions: cautionsOf(p.site), Repeats: t.torn,
	}
	if p.under.Temperature.Known {
		out.Day.Temperature = figure(p.under.Temperature.Value)
	}
	if p.under.Strength.Known {
		out.Day.Strength = figure(p.under.Strength.Value)
	}
	balances := p.balances(t)
	for _, b := range balances {
		out.Balances = append(out.Balances, p.balanceTold(b))
	}
	var judged []commissioning.Judged
	var book book
	for _, f := range proofs {
		if !f.needs(p) {
			continue
		}
		all, err := p.prove(f, t, balances, &book)
		if err != nil {
			return nil, err
		}
		for _, one := range all {
			judged = append(judged, one.judged)
			out.Proofs = append(out.Proofs, one.told)
			if one.judged.Read == nil {
				out.Missing = append(out.Missing, one.told.Says)
			}
		}
	}
	out.Verdict = commissioning.Worst(judged)
	out.Later = p.later()
	out.Working = book.steps
	return out, nil
}

// proven is one promise on its way: for the machine and for a person.
type proven struct {
	judged commissioning.Judged
	told   Proven
}

func (p *Proving) prove(f proof, t taken, balances []commissioning.Balance, book *book) (all []proven, err error) {
	for _, read := range t.of(f.of) {
		promise, expected := p.promise(f, t.running(f.of))
		if read != nil {
			promise.Number = read.Number
		}
		j, err := commissioning.Judge(promise, read, balances)
		if err != nil {
			return nil, err
		}
		all = append(all, proven{j, p.told(f, j, expected, t, book)})
	}
	return all, nil
}

func (p *Proving) told(f proof, j commissioning.Judged, expected float64, t taken, book *book) Proven {
	kind, _ := site.PromisedKind(f.name)
	like := j.Promise.Limits.Low
	if math.IsInf(like, 0) {
		like = j.Promise.Limits.High
	}
	show := func(x float64) Figure { return kindFigure{kind, x, like} }
	out := Proven{Name: f.name, Says: f.says, Of: f.of, Number: j.Promise.Number, Expected: show(expected), Chance: j.Chance, Verdict: j.Verdict, Why: j.Why}
	if out.Number > 0 {
		out.Says += fmt.Sprintf(" of bay %d", out.Number)
	}
	if x := j.Promise.Limits.Low; !math.IsInf(x, 0) {
		out.Low = show(x)
	}
	if x := j.Promise.Limits.High; !math.IsInf(x, 0) {
		out.High = show(x)
	}
	if j.Read == nil {
		return out
	}
	out.Read, out.Doubt, out.By = show(j.Read.Y), show(j.Read.U), j.Read.By
	if run, early := t.early[f.of]; early && j.Verdict != commissioning.Holds {
		out.Why = strings.TrimSpace(out.Why + fmt.Sprintf(" Read after %s: creep is still washing out.", life{run}.Text(p.options.Units, p.options.Locale)))
	}
	if j.Verdict == commissioning.CannotTell || j.Verdict == commissioning.WithinDoubt {
		out.Better = p.betterWords(j)
	}
	out.Working = book.add(chanceStep(out, j, kind))
	return out
}

// betterWords says what would decide a promise: a method that reads well enough,
// the quickest first. Where the meter at hand would, were its display finer, that
// is said instead.
func (p *Proving) betterWords(j commissioning.Judged) (all []string) {
	decisive := j.Decisive
	if decisive == 0 {
		decisive = j.Promise.Limits.Decisive(j.Read.Y)
	}
	had := p.method(j.Read.By, j.Read.Of)
	methods, times := commissioning.Better(plant.Reading{Of: asRead(j.Read.Of), SI: j.Read.Y}, decisive)
	for i, m := range methods {
		words := article(string(m))
		switch minutes := times[i].Minutes(); {
		case m == had:
			words = "the same meter with one more digit"
		case minutes >= 1440:
			words += ", days by post"
		case minutes > 0:
			words += fmt.Sprintf(", %.0f min", minutes)
		}
		if all = append(all, words); len(all) == 2 {
			break
		}
	}
	return all
}

// method is how an instrument of the bag reads.
func (p *Proving) method(name string, of plant.Gauge) commissioning.Method {
	i := p.instrument(site.Reading{Reading: plant.Reading{Of: of, Instrument: name}})
	if i.Method != "" {
		return i.Method
	}
	return commissioning.MethodMeant(name)
}

// asRead is the gauge behind a number that was worked out: a recovery is as good
// as its flows.
func asRead(of plant.Gauge) plant.Gauge {
	if of == recoveryGauge {
		return plant.PermeateFlow
	}
	return of
}

func article(noun string) string {
	if strings.ContainsAny(noun[:1], "aeiou") {
		return "an " + noun
	}
	return "a " + noun
}

func chanceStep(out Proven, j commissioning.Judged, kind quantity.Kind) working.Step {
	inputs := []working.Input{plainInput("y", "read", kind, j.Read.Y, working.Read), plainInput("u", "its standard uncertainty", kind, j.Read.U, working.Computed)}
	if out.Low != nil {
		inputs = append(inputs, plainInput("T_L", "at least", kind, j.Promise.Limits.Low, working.Computed))
	}
	if out.High != nil {
		inputs = append(inputs, plainInput("T_U", "at most", kind, j.Promise.Limits.High, working.Computed))
	}
	return working.Step{
		Name: "probability that the promise is kept: " + out.Says, Symbol: "p", Value: j.Chance, Unit: "1", Inputs: inputs,
		Solved: "share of a normal distribution about y, as wide as u, that lies within the limits",
		Source: "JCGM 106:2012, conformance probability", Limits: "a normal doubt, and no knowledge but the reading",
	}
}

func plainInput(symbol, name string, kind quantity.Kind, si float64, origin working.Origin) working.Input {
	x, unit := quantity.PlainKind(kind, si, quantity.SI)
	return working.Input{Symbol: symbol, Name: name, Value: x, Unit: unit, Origin: origin}
}

// kindFigure is a number whose kind is known at run time, printed in the unit
// that another of its kind prints in.
type kindFigure struct {
	kind quantity.Kind
	si   float64
	like float64 // 0 for its own
}

func (g kindFigure) Text(s quantity.System, loc quantity.Locale) string {
	return quantity.FormatKindBeside(g.kind, g.si, g.like, s, loc)
}

func (g kindFigure) Plain(s quantity.System) (float64, string) {
	return quantity.PlainKind(g.kind, g.si, s)
}

func (p *Proving) later() (all []Later) {
	for _, promise := range promisedTable {
		by, ok := later[promise.name]
		resin := strings.HasPrefix(promise.name, "resin_")
		if ok && (!promise.membrane || hasMembrane(p)) && (!resin || len(p.base.look.rig.beds) > 0) {
			all = append(all, Later{promise.name, promise.says, by})
		}
	}
	return all
}

// taken is a day's readings as measurements.
type taken struct {
	measured []commissioning.Measured
	after    map[plant.Gauge]quantity.Time
	early    map[plant.Gauge]quantity.Time // read while creep was washing out
	torn     []string
}

// settled is when a strength counts as steady where nobody watched it settle.
// Source: [TradeDefaults].
const settled = quantity.Time(600)

func (p *Proving) take(readings []site.Reading) (t taken, err error) {
	t.after, t.early = map[plant.Gauge]quantity.Time{}, map[plant.Gauge]quantity.Time{}
	byKey := map[string][]commissioning.Measured{}
	var keys []string
	for _, r := range readings {
		if r.Skipped != "" {
			continue
		}
		key := r.Key()
		if byKey[key] == nil {
			keys = append(keys, key)
		}
		u := p.instrument(r).Doubt(r.Reading, r.ScaleUnknown())
		byKey[key] = append(byKey[key], commissioning.Measured{Of: r.Of, Number: r.Number, Y: r.SI, U: u, By: r.Instrument})
		if r.Timed {
			t.after[r.Of] = r.Running
			if r.Running < settled && (r.Of == plant.PermeateStrength || r.Of == plant.PolishStrength) {
				t.early[r.Of] = r.Running
			}
		}
	}
	for _, key := range keys {
		m, agree, err := commissioning.Together(byKey[key])
		if err != nil {
			return t, err
		}
		if !agree {
			t.torn = append(t.torn, byKey[key][0].Of.Title())
		}
		t.measured = append(t.measured, m)
	}
	return t, nil
}

// instrument is the one of the bag that a reading names, or what its name says.
func (p *Proving) instrument(r site.Reading) commissioning.Instrument {
	for _, i := range p.heard {
		if i.Name == r.Instrument {
			return i.Instrument
		}
	}
	return commissioning.Instrument{Name: r.Instrument}
}

// of lists what was read of a gauge, every bay's; a single nil where nothing was.
func (t taken) of(g plant.Gauge) (found []*commissioning.Measured) {
	if g == recoveryGauge {
		return []*commissioning.Measured{t.recovery()}
	}
	for i := range t.measured {
		if t.measured[i].Of == g {
			found = append(found, &t.measured[i])
		}
	}
	if found == nil {
		return []*commissioning.Measured{nil}
	}
	slices.SortStableFunc(found, func(a, b *commissioning.Measured) int { return a.Number - b.Number })
	return found
}

func (t taken) one(g plant.Gauge) (commissioning.Measured, bool) {
	for _, m := range t.measured {
		if m.Of == g {
			return m, true
		}
	}
	return commissioning.Measured{}, false
}

func (t taken) running(g plant.Gauge) quantity.Time {
	if after, ok := t.after[g]; ok {
		return after
	}
	return quantity.Hours(1)
}

// recovery is worked out of the flows, or of three strengths where a flow is
// missing.
func (t taken) recovery() *commissioning.Measured {
	qp, ok1 := t.one(plant.PermeateFlow)
	qc, ok2 := t.one(plant.ConcentrateFlow)
	if ok1 && ok2 {
		if m, err := commissioning.Recovery(qp, qc); err == nil {
			m.Of = recoveryGauge
			return &m
		}
	}
	kf, ok1 := t.one(plant.FeedStrength)
	kp, ok2 := t.one(plant.PermeateStrength)
	kc, ok3 := t.one(plant.ConcentrateStrength)
	if !ok1 || !ok2 || !ok3 {
		return nil
	}
	m, err := commissioning.RecoveryByStrength(kf, kp, kc)
	if err != nil {
		return nil
	}
	m.Of = recoveryGauge
	return &m
}
