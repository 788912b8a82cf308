package web

import (
	"net/http"
	"slices"
	"strconv"
	"time"

	"rinsewright/internal/store"
)

// tokensView is the page of tokens with which programs ask.
type tokensView struct {
	Tokens []tokenRow
	Name   string
	Days   string
	Scopes []scopeTick
	Wrong  map[string]string
	Text   string // of the one just made, shown this once
	Root   string
}

type tokenRow struct {
	store.Token
	Who  string
	Late bool
}

type scopeTick struct {
	Word, Says string
	On         bool
}

// scopeSays is what each scope lets a program do.
var scopeSays = map[store.Scope]string{
	store.ReadScope:  "look at sites, answers and papers",
	store.LogScope:   "log readings and photos",
	store.WriteScope: "change sites, parts and prices",
	store.OwnScope:   "what an owner may: people, settings, tokens",
}

func (v *visit) tokens() error {
	return v.showTokens(http.StatusOK, tokensView{Days: "90"}, []string{string(store.ReadScope)})
}

func (v *visit) showTokens(status int, page tokensView, ticked []string) error {
	tokens, err := v.store.Tokens(v.r.Context())
	if err != nil {
		return err
	}
	names, err := v.names()
	if err != nil {
		return err
	}
	for _, t := range tokens {
		page.Tokens = append(page.Tokens, tokenRow{t, names[t.Person], !v.options.Now().Before(t.Expires)})
	}
	for _, s := range store.Scopes {
		page.Scopes = append(page.Scopes, scopeTick{string(s), scopeSays[s], slices.Contains(ticked, string(s))})
	}
	page.Root = apiRoot
	return v.show(status, "tokens.html", "Tokens", "people", page)
}

// makeToken makes a token and shows its text, which nobody can show again.
func (v *visit) makeToken() error {
	if err := v.form(); err != nil {
		return err
	}
	page := tokensView{Name: v.r.PostFormValue("name"), Days: v.r.PostFormValue("days")}
	ticked := v.r.PostForm["scope"]
	days, err := strconv.Atoi(page.Days)
	if err != nil {
		days = 0 // which is refused beside the field
	}
	wanted, wrong := store.WantToken(page.Name, ticked, days, v.options.Now())
	if page.Wrong = wrong; len(wrong) > 0 {
		return v.showTokens(http.StatusUnprocessableEntity, page, ticked)
	}
	text := wanted.Secret()
	if _, err := v.store.AddToken(v.r.Context(), v.person(), wanted); err != nil {
		return err
	}
	return v.showTokens(http.StatusCreated, tokensView{Text: text, Days: "90"}, []string{string(store.ReadScope)})
}

func (v *visit) endToken() error {
	if err := v.store.EndToken(v.r.Context(), v.person(), v.r.PathValue("id")); err != nil {
		return err
	}
	return v.redirect("/tokens")
}

// Until is the last day of a token.
func (t tokenRow) Until() string { return t.Expires.Format("2 January 2006") }

// LastUsed is when it was used last, empty for never.
func (t tokenRow) LastUsed() string {
	if t.Used.IsZero() {
		return ""
	}
	return t.Used.Round(time.Minute).Format("2 January 2006, 15:04")
}
