package cli

import (
	"errors"
	"strings"
)

const (
	// patience is how often one question is asked again.
	patience = 10
	// mostAnswers ends a survey that goes round in circles, as a script may.
	mostAnswers = 3000
)

// step is one question at its place in the survey.
type step struct {
	question
	title string // of the round it begins, "" inside one
	index int    // in a list, from 0
	goOn  bool   // no question: whether to go on after the ten
}

// asker walks through the steps and keeps what was said.
type asker struct {
	*surveyed
	in      *answers
	out     *sheet
	steps   []step
	gone    map[string]bool // parts that were said not to hang there
	settled map[string]bool // parts that one of the ten has spoken of
	report  *bool           // whether a water report is at hand, nil when nobody said
	heard   int             // answers so far
}

func newAsker(s *surveyed, in *answers, out *sheet) *asker {
	return &asker{surveyed: s, in: in, out: out, steps: stepsOf(rounds), gone: map[string]bool{}, settled: map[string]bool{}}
}

// stepsOf lines the questions up: the ten, whether to go on, the rest.
func stepsOf(rounds []round) []step {
	var first, rest []step
	for _, r := range rounds {
		title := r.title
		for i := range max(r.times, 1) {
			for _, q := range r.questions {
				if q.first && i == 0 {
					first = append(first, step{question: q})
					continue
				}
				q.first, q.none = false, ""
				rest = append(rest, step{question: q, title: title, index: i})
			}
		}
	}
	return append(append(first, step{goOn: true}), rest...)
}

// move is where to go after a step.
type move int

const (
	onward move = iota
	backward
	finished
)

// run asks every step that applies. The error is why it was interrupted.
func (a *asker) run() error {
	a.welcome()
	var shown []int
	title := ""
	for i := 0; i < len(a.steps); {
		st := a.steps[i]
		if !a.applies(st) {
			i++
			continue
		}
		if st.title != "" && st.title != title {
			a.out.head(st.title)
			title = st.title
		}
		to, err := a.step(st)
		switch {
		case err != nil:
			return err
		case to == finished:
			return nil
		case to == onward:
			shown = append(shown, i)
			i++
		case len(shown) == 0:
			a.out.line("This is the first question.")
		default:
			i, shown = shown[len(shown)-1], shown[:len(shown)-1]
		}
	}
	return nil
}

func (a *asker) step(st step) (move, error) {
	if st.goOn {
		return a.goOn()
	}
	a.question(st)
	for tries := 0; ; {
		text, err := a.answer(a.present(st))
		if err != nil {
			return ended(err)
		}
		switch strings.ToLower(text) {
		case "":
			return onward, nil
		case "back":
			return backward, nil
		case "done":
			return finished, nil
		case "?":
			a.explain(st)
			continue
		case "-":
			a.forget(st)
			return onward, nil
		}
		wrong := a.take(st, text)
		if wrong == "" {
			return onward, nil
		}
		a.out.wrap("    ", wrong)
		if tries++; tries >= patience {
			a.out.wrap("    ", "This one is left for now.")
			return onward, nil
		}
	}
}

// ended turns the end of the answers into done.
func ended(err error) (move, error) {
	if errors.Is(err, errEnded) {
		return finished, nil
	}
	return finished, err
}

// answer asks for one line.
func (a *asker) answer(present string) (string, error) {
	if present != "" {
		present = "[" + clipped(present, 40) + "] "
	}
	a.out.part("    " + present + "> ")
	if a.heard++; a.heard > mostAnswers {
		a.out.line("")
		return "", errEnded
	}
	text, err := a.in.next()
	if err != nil {
		a.out.line("")
		return "", err
	}
	if !a.in.person {
		a.out.line(clipped(text, 30))
	}
	return strings.TrimSpace(text), nil
}

func (a *asker) goOn() (move, error) {
	a.out.line("")
	lacks := a.lacks()
	if len(lacks) == 0 {
		a.out.wrap("", "That is enough for rinsewright check. Go on? Each further answer is one thing less to assume.")
	} else {
		a.out.wrap("", "Not enough yet for rinsewright check: nobody said "+listedWords(lacks)+". Go on?")
	}
	for range patience {
		text, err := a.answer("yes")
		if err != nil {
			return ended(err)
		}
		switch strings.ToLower(text) {
		case "", "y", "yes":
			return onward, nil
		case "n", "no", "done":
			return finished, nil
		case "back":
			return backward, nil
		}
		a.out.line("    Answer yes to go on, no to write the file, or back.")
	}
	return finished, nil
}
