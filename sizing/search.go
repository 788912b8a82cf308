package sizing

import (
	"container/heap"
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"rinsewright/cost"
	"rinsewright/quantity"
)

// partial is a system decided up to some stage.
type partial struct {
	parent *partial
	option int // of its stage
	depth  int // number of stages decided
	judged bool

	first, yearly cost.Money
	sound         cost.Money // yearly of completions that break no limit, where more is known of them
	parts         int
	over          cost.Money // least that any completion costs over the years
	leastFirst    cost.Money // least that any completion costs first

	margins []Margin // of its own stage
	levels  [Objectives]int
	used    float64 // largest share used of a limit that a choice changes
	broken  breach
	dooms   []Doom // that no broken limit accounts for yet
}

// breach is the limits that a partial system breaks.
type breach struct {
	names []string // sorted, none twice
	by    float64  // largest share used of one of them
}

// add is a breach of one more limit, or of one of its own by more.
func (b breach) add(name string, used float64) breach {
	b.by = max(b.by, used)
	if !(used >= 0) {
		b.by = math.Inf(1)
	}
	if at, found := slices.BinarySearch(b.names, name); !found {
		b.names = slices.Insert(slices.Clone(b.names), at, name)
	}
	return b
}

// accounts says that one of the broken limits is what a doom foretold.
func (b breach) accounts(d Doom) bool {
	return slices.ContainsFunc(b.names, func(name string) bool { return slices.Contains(d.Among, name) })
}

// set is the limits as one name.
func (b breach) set() string { return strings.Join(b.names, " + ") }

// chosen lists the options of p from the first stage on.
func (p *partial) chosen() []int {
	all := make([]int, p.depth)
	for q := p; q.depth > 0; q = q.parent {
		all[q.depth-1] = q.option
	}
	return all
}

// search is a search under way.
type search struct {
	Problem
	annuity  float64
	rest     []rest // least that the stages from i on add
	trials   int
	judged   []int      // trials by stage
	aside    []*partial // not needed by the pass under way
	feasible []*System
	outcome  *Outcome
	relaxed  map[string]*Relaxation // by set of constraints
	queue    queue
}

// queue is a heap of partial systems in the order of a pass.
type queue struct {
	all  []*partial
	less func(a, b *partial) int
}

func (q *queue) Len() int           { return len(q.all) }
func (q *queue) Less(i, j int) bool { return q.less(q.all[i], q.all[j]) < 0 }
func (q *queue) Swap(i, j int)      { q.all[i], q.all[j] = q.all[j], q.all[i] }
func (q *queue) Push(x any)         { q.all = append(q.all, x.(*partial)) }
func (q *queue) Pop() any {
	last := q.all[len(q.all)-1]
	q.all = q.all[:len(q.all)-1]
	return last
}

// batch is how many partial systems are judged at once. It is fixed, so that
// the trials do not depend on how many cores there are.
const batch = 32

// Find searches the problem and returns its picks, or what stands in the way.
//
// Source: [BranchAndBound]. The picks are those of judging every system; ties
// go to the lower cost over the years, then first cost, then fewer parts
// bought, then the options listed first. Stages are judged on all cores and the
// answer does not depend on their number. The error wraps [ErrProblem],
// [ErrTooMany], is that of a stage, or the context's.
func Find(ctx context.Context, p Problem) (*Outcome, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	s := &search{Problem: p, outcome: &Outcome{}, relaxed: map[string]*Relaxation{}, judged: make([]int, len(p.Stages))}
	s.annuity, _ = Annuity(p.Years, p.Discount) // checked above
	s.outcome.Annuity = s.annuity
	s.Allow = max(s.Allow, 1)
	if s.MostTrials == 0 {
		s.MostTrials = usualTrials
	}
	s.bounds()
	if err := s.passes(ctx); err != nil {
		return nil, fmt.Errorf("size: %w", err)
	}
	s.explain()
	s.outcome.Trials = s.trials
	return s.outcome, nil
}

// rest is the least that stages still to be decided add to a system that breaks
// no limit, and to any.
type rest struct{ first, yearly, anyFirst, anyYearly cost.Money }

// none is more than anything costs.
const none = cost.Money(math.MaxInt64 / 8)

func (s *search) bounds() {
	n := len(s.Stages)
	s.rest = make([]rest, n+1)
	s.outcome.Combinations = 1
	for i := n - 1; i >= 0; i-- {
		s.rest[i] = s.rest[i+1].before(s.Stages[i].Options)
		s.outcome.Combinations *= float64(len(s.Stages[i].Options))
	}
}

// before is the rest with one more stage. Where all options of a stage break a
// limit, none is told apart.
func (r rest) before(options []Option) rest {
	sound, all := rest{first: none, yearly: none}, rest{first: none, yearly: none}
	for _, o := range options {
		all.first, all.yearly = min(all.first, o.First), min(all.yearly, o.Yearly)
		if !o.Doom.certain() {
			sound.first, sound.yearly = min(sound.first, o.First), min(sound.yearly, o.Yearly)
		}
	}
	if sound.first == none {
		sound = all
	}
	return rest{r.first + sound.first, r.yearly + sound.yearly, r.anyFirst + all.first, r.anyYearly + all.yearly}
}

// passes looks for each pick in turn, and after a pick for what would beat it
// if one limit were relaxed. What one pass sets aside is there for the next;
// nothing is judged twice.
func (s *search) passes(ctx context.Context) error {
	root := &partial{judged: true}
	for _, stage := range s.Stages {
		root.expect(commonDoom(stage.Options))
	}
	s.aside = s.expand(root)
	o := s.outcome
	best := func(pick **System, order func(a, b *System) int) func(*System) {
		return func(f *System) {
			if *pick == nil || order(f, *pick) < 0 {
				*pick = f
			}
		}
	}
	if err := s.pass(ctx, byOver, s.needsOver, best(&o.LeastOver, overOrder), 0); err != nil {
		return err
	}
	explain := s.Explain
	if o.LeastOver == nil {
		explain *= longer // it is all the answer there is
	}
	if err := s.passEach(ctx, s.needsRelaxed, explain); err != nil || o.LeastOver == nil {
		return err
	}
	if err := s.pass(ctx, byFirst, s.needsFirst, best(&o.LeastFirst, firstOrder), 0); err != nil {
		return err
	}
	if err := s.passEach(ctx, s.needsRelaxedFirst, explain); err != nil {
		return err
	}
	roomiest := best(&o.MostHeadroom, headroomOrder)
	affordable := func(f *System) {
		if f.Over <= s.cap() {
			roomiest(f)
		}
	}
	if err := s.pass(ctx, byHeadroom, s.needsHeadroom, affordable, 0); err != nil {
		return err
	}
	return s.pass(ctx, byFirst, s.needsFrontier, func(*System) {}, 0)
}

// commonDoom is what every option of a stage breaks, if each breaks something.
func commonDoom(options []Option) (d Doom) {
	d.By = math.Inf(1)
	for _, o := range options {
		if !o.Doom.certain() {
			return Doom{}
		}
		d.By = min(d.By, o.Doom.By)
		for _, name := range o.Doom.Among {
			if !d.among(name) {
				d.Among = append(d.Among, name)
			}
		}
	}
	return d
}

// longer is how much longer the search for what binds may take where it is all the
// answer there is.
const longer = 10

// passEach looks, limit by limit, for systems that break it. Each limit has its
// own number of judgements, so that near misses of one do not use up another's.
func (s *search) passEach(ctx context.Context, needs func(*partial) bool, most int) error {
	spent := map[string]int{}
	for {
		name, ok := s.brokenAside(func(name string) bool { return most == 0 || spent[name] < most }, needs)
		if !ok {
			return nil
		}
		began := s.trials
		mine := func(p *partial) bool {
			return needs(p) && (p.holds() || slices.Contains(p.broken.names, name) || len(p.broken.names) == 0 && p.dooms[0].among(name))
		}
		if err := s.pass(ctx, byBreach, mine, func(*System) {}, max(most-spent[name], 0)); err != nil {
			return err
		}
		spent[name] += max(s.trials-began, 1)
	}
}

// brokenAside is the first limit by name, of those still open, that something
// set aside and still needed breaks or may break.
func (s *search) brokenAside(open func(name string) bool, needs func(*partial) bool) (first string, ok bool) {
	take := func(names []string) {
		for _, name := range names {
			if open(name) && (!ok || name < first) {
				first, ok = name, true
			}
		}
	}
	for _, p := range s.aside {
		if !needs(p) {
			continue
		}
		take(p.broken.names)
		if len(p.broken.names) == 0 && len(p.dooms) > 0 {
			take(p.dooms[0].Among)
		}
		if p.holds() {
			s.anyDoom(p.depth, func(d Doom) bool { take(d.Among); return false })
		}
	}
	return first, ok
}

func (d Doom) among(name string) bool { return slices.Contains(d.Among, name) }

// cap is the most that the pick with most headroom may cost over the years.
func (s *search) cap() cost.Money {
	return cost.Money(math.Floor(float64(s.outcome.LeastOver.Over) * (1 + float64(s.Within))))
}

// pass takes what is needed off the queue until nothing is, or until so many
// judgements where most is not 0: judges it, and either completes it or puts
// its completions on the queue.
func (s *search) pass(ctx context.Context, order func(a, b *partial) int, needs func(*partial) bool, found func(*System), most int) error {
	for _, f := range s.feasible {
		found(f)
	}
	s.queue = queue{all: s.aside, less: order}
	s.aside = nil
	s.refill(needs)
	began := s.trials
	for s.queue.Len() > 0 {
		if most > 0 && s.trials-began >= most {
			s.outcome.Cut = true
			s.aside = append(s.aside, s.queue.all...)
			return nil
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		unjudged := s.next(needs, found)
		if err := s.judge(ctx, unjudged); err != nil {
			return err
		}
		for _, p := range unjudged {
			if s.worthKeeping(p) {
				s.offer(p, needs)
			}
		}
	}
	return nil
}

// next completes and expands what comes off the queue until a batch has to be
// judged.
func (s *search) next(needs func(*partial) bool, found func(*System)) (unjudged []*partial) {
	for s.queue.Len() > 0 && len(unjudged) < batch {
		p := heap.Pop(&s.queue).(*partial)
		switch {
		case !needs(p):
			s.aside = append(s.aside, p)
			s.refill(needs)
		case !p.judged:
			unjudged = append(unjudged, p)
		case p.depth < len(s.Stages):
			for _, child := range s.expand(p) {
				s.offer(child, needs)
			}
		default:
			s.complete(p, found)
		}
	}
	return unjudged
}

func (s *search) offer(p *partial, needs func(*partial) bool) {
	if needs(p) {
		heap.Push(&s.queue, p)
	} else {
		s.aside = append(s.aside, p)
	}
}

// refill sets aside whatever is no longer needed. What a pass needs only ever
// shrinks, so one sweep after an improvement saves sorting the rest.
func (s *search) refill(needs func(*partial) bool) {
	kept := s.queue.all[:0]
	for _, p := range s.queue.all {
		if needs(p) {
			kept = append(kept, p)
		} else {
			s.aside = append(s.aside, p)
		}
	}
	s.queue.all = kept
	heap.Init(&s.queue)
}

// expand returns every way to decide the next stage, not yet judged.
func (s *search) expand(p *partial) []*partial {
	stage := s.Stages[p.depth]
	chosen := append(p.chosen(), 0)
	all := make([]*partial, 0, len(stage.Options))
	block := make([]partial, len(stage.Options))
	for i, o := range stage.Options {
		if chosen[p.depth] = i; stage.Fits != nil && !stage.Fits(chosen) {
			continue
		}
		c := &block[i]
		*c = partial{
			parent: p, option: i, depth: p.depth + 1, first: p.first + o.First, yearly: p.yearly + o.Yearly, parts: p.parts + o.Parts,
			sound: p.sound + o.Yearly, used: p.used, broken: p.broken, levels: p.levels, dooms: p.dooms, judged: stage.Judge == nil,
		}
		c.expect(o.Doom)
		s.bound(c)
		all = append(all, c)
	}
	return all
}

// bound sets the least that any completion of p costs.
func (s *search) bound(p *partial) {
	r := s.rest[p.depth]
	if !p.holds() { // a further breach of the same limit may cost less
		r.first, r.yearly = r.anyFirst, r.anyYearly
	}
	p.leastFirst = p.first + r.first
	p.over = overYears(p.leastFirst, p.leastYearly()+r.yearly, s.annuity)
}

// leastYearly is what is known of the cost of a year: of a system that breaks a
// limit it may be less.
func (p *partial) leastYearly() cost.Money {
	if p.holds() {
		return max(p.yearly, p.sound)
	}
	return p.yearly
}

func overYears(first, yearly cost.Money, annuity float64) cost.Money {
	return first + cost.Money(math.Round(annuity*float64(yearly)))
}

// judge evaluates partial systems side by side, each in its own place.
func (s *search) judge(ctx context.Context, all []*partial) error {
	for _, p := range all {
		s.judged[p.depth-1]++
	}
	if s.trials += len(all); s.trials > s.MostTrials {
		return s.tooMany()
	}
	errs := make([]error, len(all))
	verdicts := make([]Verdict, len(all))
	var wait sync.WaitGroup
	var next atomic.Int64
	for range min(runtime.GOMAXPROCS(0), len(all)) {
		wait.Go(func() {
			for i := int(next.Add(1)) - 1; i < len(all); i = int(next.Add(1)) - 1 {
				verdicts[i], errs[i] = s.Stages[all[i].depth-1].Judge(ctx, all[i].chosen())
			}
		})
	}
	wait.Wait()
	for i, p := range all {
		if errs[i] != nil {
			return errs[i]
		}
		s.take(p, verdicts[i])
	}
	return nil
}

// tooMany names the stage that most judgements went to: fewer options there, or
// dearer ones left out, shorten a search most.
func (s *search) tooMany() error {
	busiest := 0
	for i, n := range s.judged {
		if n > s.judged[busiest] {
			busiest = i
		}
	}
	stage := s.Stages[busiest]
	return fmt.Errorf("%w: %d judged, %d of them of %q with its %d options: list fewer of those", ErrTooMany, s.MostTrials, s.judged[busiest], stage.Name, len(stage.Options))
}

// take writes a verdict into p.
func (s *search) take(p *partial, v Verdict) {
	p.judged, p.margins, p.yearly, p.sound = true, v.Margins, max(p.yearly, v.Yearly), max(p.sound, v.Sound)
	if v.Whole {
		p.yearly, p.sound = v.Yearly, 0
	}
	for i := range p.levels {
		p.levels[i] = max(p.levels[i], v.Levels[i])
	}
	for _, m := range v.Margins {
		if !(m.Used <= 1) { // a share that is no number breaks its limit
			p.broken = p.broken.add(m.Constraint, m.Used) // an earlier stage may have told the same limit by a bound
		}
		if !m.Fixed {
			p.used = max(p.used, m.Used)
		}
	}
	p.expect(v.Doom)
	s.bound(p)
}

// expect adds a doom, and drops those that a broken limit accounts for.
func (p *partial) expect(d Doom) {
	if d.certain() {
		p.dooms = append(slices.Clip(p.dooms), d)
		p.broken.by = max(p.broken.by, d.By)
	}
	if slices.ContainsFunc(p.dooms, p.broken.accounts) {
		p.dooms = slices.DeleteFunc(slices.Clone(p.dooms), p.broken.accounts)
	}
}

// breaks is how many limits are sure to be broken: those that are known, and one
// more where a doom names others.
func (p *partial) breaks() int {
	if len(p.dooms) > 0 {
		return len(p.broken.names) + 1
	}
	return len(p.broken.names)
}

// worthKeeping drops what breaks too many limits, and remembers the cheapest
// such.
func (s *search) worthKeeping(p *partial) bool {
	if p.breaks() <= s.Allow {
		return true
	}
	if best := s.outcome.twice; best == nil || byOver(p, best) < 0 {
		s.outcome.twice = p
	}
	return false
}

// complete files a system whose stages are all decided.
func (s *search) complete(p *partial, found func(*System)) {
	f := s.system(p)
	if p.holds() {
		s.outcome.Feasible++
		s.feasible = append(s.feasible, f)
		s.outcome.Frontier = insert(s.outcome.Frontier, f)
		found(f)
		return
	}
	set := p.broken.set()
	r := s.relaxed[set]
	if r == nil {
		r = &Relaxation{Constraints: p.broken.names, Least: f, Cheapest: f, First: f, breach: breachOf(f)}
		s.relaxed[set] = r
	}
	if by := breachOf(f); by < r.breach {
		r.Least, r.breach = f, by
	}
	if overOrder(f, r.Cheapest) < 0 {
		r.Cheapest = f
	}
	if firstOrder(f, r.First) < 0 {
		r.First = f
	}
}

// breachOf is the largest share that a system uses of a limit.
func breachOf(f *System) (used float64) {
	for _, m := range f.Margins {
		if used = max(used, m.Used); !(m.Used >= 0) {
			return math.Inf(1)
		}
	}
	return used
}

func (s *search) system(p *partial) *System {
	f := &System{Chosen: p.chosen(), Levels: p.levels, First: p.first, Yearly: p.yearly, Parts: p.parts, Over: overYears(p.first, p.yearly, s.annuity), Headroom: quantity.Ratio(1 - p.used)}
	for q := p; q.depth > 0; q = q.parent {
		f.Margins = append(f.Margins, q.margins...)
	}
	slices.SortStableFunc(f.Margins, func(a, b Margin) int { return compare(b.Used, a.Used) })
	return f
}
