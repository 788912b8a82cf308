package cli

import (
	"rinsewright/internal/sitefile"
)

// surveyJSON is what survey --json prints.
type surveyJSON struct {
	Schema  string             `json:"schema"`
	File    string             `json:"file"`
	Written bool               `json:"written"`
	Answers []answerJSON       `json:"answers"`
	Missing []string           `json:"missing"` // what check needs and nobody said
	Notes   []string           `json:"notes"`
	Errors  []sitefile.Problem `json:"errors"`
}

type answerJSON struct {
	Key   string `json:"key"`
	Value string `json:"value"`
}

// printJSON prints the state of the file, or why it was not written.
func (s *surveyed) printJSON(desk Desk, err error) error {
	const schema = "rinsewright.survey/1"
	if err != nil {
		if e := printJSON(desk.Out, refusalJSON(schema, err)); e != nil {
			return e
		}
		return &said{code: ExitBad, cause: err}
	}
	out := surveyJSON{
		Schema: schema, File: s.file, Written: s.written, Answers: []answerJSON{}, Errors: []sitefile.Problem{},
		Missing: append([]string{}, newAsker(s, nil, newSheet(nil)).lacks()...), Notes: append([]string{}, s.notes...),
	}
	for _, key := range sitefile.KeysOf(s.site) {
		out.Answers = append(out.Answers, answerJSON{key, sitefile.Get(s.site, key)})
	}
	return printJSON(desk.Out, out)
}
