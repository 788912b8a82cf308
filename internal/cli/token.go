package cli

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"time"

	"rinsewright/internal/store"
)

// changing opens the data to change it; a program that serves it meanwhile is not
// disturbed.
func (p DataPlace) changing(desk Desk) (*store.Store, error) {
	data, err := p.folder()
	if err != nil {
		return nil, err
	}
	address := p.address(data)
	if _, err := os.Stat(address); p.Database == "" && err != nil {
		return nil, bad(fmt.Errorf("there is no data in %s", data), "rinsewright serve prints where its data is; name that with --data DIR")
	}
	s, err := store.Open(desk.Context, address, store.Options{})
	if err != nil {
		return nil, bad(err, "")
	}
	return s, nil
}

// TokenCommand looks after the tokens with which programs ask.
type TokenCommand struct {
	Make TokenMakeCommand `cmd:"" help:"Make a token, shown once."`
	List TokenListCommand `cmd:"" help:"List the tokens."`
	End  TokenEndCommand  `cmd:"" help:"End a token."`
}

// TokenMakeCommand makes one.
type TokenMakeCommand struct {
	Name  string   `required:"" placeholder:"WORDS" help:"What it is for."`
	Scope []string `required:"" placeholder:"SCOPE" help:"What it may do: read, log, write, own; as often as needed."`
	Days  int      `default:"90" help:"How long it lasts, 1 to 366 days."`
	As    string   `placeholder:"LOGIN" help:"In whose name it asks; the first owner when not given."`
	DataPlace
}

// Help is the long help with examples.
func (TokenMakeCommand) Help() string {
	return `A program that holds the token asks in a person's name, at /api/v1 of the pages.
It may do what its scopes say, and never more than that person may.

Examples:
  rinsewright token make --name "gauge in the shed" --scope log
  rinsewright token make --name "monthly report" --scope read --days 30`
}

// Run makes it.
func (c TokenMakeCommand) Run(desk Desk) error {
	wanted, wrong := store.WantToken(c.Name, c.Scope, c.Days, time.Now())
	for _, field := range []string{"name", "scopes", "days"} {
		if wrong[field] != "" {
			return bad(errors.New(wrong[field]), `rinsewright token make --name "gauge in the shed" --scope log --days 90`)
		}
	}
	s, err := c.changing(desk)
	if err != nil {
		return err
	}
	defer func() { _ = s.Close() }() // what was changed is on disk already
	person, err := owner(desk, s, c.As)
	if err != nil {
		return err
	}
	text := wanted.Secret()
	made, err := s.AddToken(desk.Context, person.ID, wanted)
	if err != nil {
		return bad(err, "")
	}
	fmt.Fprintf(desk.Err, "Token %s, %s, until %s, in the name of %s.\nIt is shown this once; keep it as you keep a password.\n",
		made.ID, words(made.Scopes), made.Expires.Format("2 January 2006"), person.Name)
	_, err = fmt.Fprintln(desk.Out, text)
	return err
}

// owner is in whose name a token asks.
func owner(desk Desk, s *store.Store, login string) (store.Person, error) {
	people, err := s.People(desk.Context)
	if err != nil {
		return store.Person{}, bad(err, "")
	}
	for _, p := range people {
		if !p.Gone && (p.Login == strings.ToLower(login) || login == "" && p.Role == store.Owner) {
			return p, nil
		}
	}
	if login == "" {
		return store.Person{}, bad(errors.New("there is no account yet"), "rinsewright serve prints the link that makes the first")
	}
	return store.Person{}, bad(fmt.Errorf("nobody signs in as %s", login), "the page People lists who does")
}

func words(scopes []store.Scope) string {
	out := make([]string, len(scopes))
	for i, s := range scopes {
		out[i] = string(s)
	}
	return strings.Join(out, " ")
}

// TokenListCommand lists them.
type TokenListCommand struct{ DataPlace }

// Run lists them.
func (c TokenListCommand) Run(desk Desk) error {
	s, err := c.changing(desk)
	if err != nil {
		return err
	}
	defer func() { _ = s.Close() }() // nothing was changed
	tokens, err := s.Tokens(desk.Context)
	if err != nil {
		return bad(err, "")
	}
	if len(tokens) == 0 {
		_, err = fmt.Fprintln(desk.Out, "There is no token.")
		return err
	}
	for _, t := range tokens {
		state := "until " + t.Expires.Format(time.DateOnly)
		if t.Gone {
			state = "ended"
		} else if time.Now().After(t.Expires) {
			state = "expired " + t.Expires.Format(time.DateOnly)
		}
		if _, err := fmt.Fprintf(desk.Out, "%s  %s\n  %s, %s\n", t.ID, t.Name, words(t.Scopes), state); err != nil {
			return err
		}
	}
	return nil
}

// TokenEndCommand ends one.
type TokenEndCommand struct {
	ID string `arg:"" help:"The token's number, as token list shows it."`
	DataPlace
}

// Run ends it.
func (c TokenEndCommand) Run(desk Desk) error {
	s, err := c.changing(desk)
	if err != nil {
		return err
	}
	defer func() { _ = s.Close() }() // what was changed is on disk already
	err = s.EndToken(desk.Context, "", c.ID)
	if errors.Is(err, store.ErrNone) {
		return bad(fmt.Errorf("no token %s lasts", c.ID), "rinsewright token list shows which do")
	}
	if err != nil {
		return bad(err, "")
	}
	_, err = fmt.Fprintln(desk.Out, "Ended.")
	return err
}
