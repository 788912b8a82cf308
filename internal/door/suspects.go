package door

import (
	"context"
	"slices"

	"rinsewright/faults"
	"rinsewright/site"
	"rinsewright/study"
)

// Suspicion is what may be wrong, likeliest first, what to test next, and what to do
// about the first.
type Suspicion struct {
	From     string    `json:"from,omitempty"` // which visit's readings
	Used     int       `json:"used"`           // readings that were weighed
	Suspects []Suspect `json:"suspects"`
	Doubts   []string  `json:"doubts,omitempty"` // what is still open, a sentence each
	Next     []Test    `json:"next,omitempty"`
	Do       []string  `json:"do,omitempty"`
	Parts    []string  `json:"parts,omitempty"`
	Cautions []string  `json:"cautions,omitempty"`
}

// Suspect is one cause with how surely it is meant and where it sits.
type Suspect struct {
	Number  int     `json:"number"`
	Name    string  `json:"name"`
	Form    string  `json:"form,omitempty"` // "bay 3"
	Station string  `json:"station"`
	Share   float64 `json:"share"`             // that it is at work, a share
	Nothing bool    `json:"nothing,omitempty"` // nothing is wrong with the rig
}

// Test is one thing to read or try next.
type Test struct {
	Do      string  `json:"do"`
	Minutes float64 `json:"minutes"` // number of minutes
}

// How much is told on a phone.
const (
	mostSuspects = 6
	leastShare   = 0.02
	mostTests    = 5
)

// Suspects says what may be wrong at a site from its log, today's readings in lines
// as a log has them, and what people say. The error about a line that is no
// reading says what was wanted; others are those of [study.Faults].
func Suspects(ctx context.Context, s *site.Site, q Question, o study.Options) (*Suspicion, error) {
	ask := study.FaultQuestion{Options: o, Words: q.Said}
	for _, line := range q.Read {
		r, err := site.ParseReading(line, o.Locale)
		if err != nil {
			return nil, err
		}
		if r.Skipped == "" {
			ask.Read = append(ask.Read, r.Reading)
		}
	}
	answer, err := study.Faults(ctx, s, ask)
	if err != nil {
		return nil, err
	}
	f := answer.Finding
	out := &Suspicion{From: answer.From, Used: f.Used, Doubts: study.FaultDoubts(f), Cautions: study.FaultCautions(answer)}
	for i, x := range f.Ranked {
		if i == mostSuspects || i > 0 && x.Probability < leastShare {
			break
		}
		out.Suspects = append(out.Suspects, suspectOf(&x))
	}
	for _, t := range f.Next[:min(mostTests, len(f.Next))] {
		out.Next = append(out.Next, Test{t.Do, t.Minutes + t.Kit})
	}
	out.Do, out.Parts = slices.Clone(f.Ranked[0].Remedy.Do), slices.Clone(f.Ranked[0].Remedy.Parts)
	return out, nil
}

func suspectOf(x *faults.Suspect) Suspect {
	return Suspect{x.Cause.Number, x.Cause.Name, x.Form, x.Cause.Station, x.Probability, x.Cause.Nothing}
}
