package web

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"rinsewright/internal/say"
	"rinsewright/internal/store"
)

// apiPaper hands out a paper. One that makes an offer waits for the sizing that
// it is about.
func (v *visit) apiPaper() error {
	file := v.r.PathValue("file")
	kind, ok := kindOfFile(file)
	if !ok {
		return store.ErrNone
	}
	if kind.Offers() || v.r.URL.Query().Get("option") != "" {
		if err := v.sizedFirst(); err != nil {
			return err
		}
	}
	return v.paperFile()
}

func (v *visit) sizedFirst() error {
	kept, record, _, err := v.found()
	if err != nil {
		return err
	}
	q, err := v.sizeQuestion(kept)
	if err != nil {
		return err
	}
	parts, err := v.catalogue(v.r.Context())
	if err != nil {
		return err
	}
	if err := v.longer(longestAnswer + time.Minute); err != nil {
		return err
	}
	search := v.sizings.begin(q, record, parts, v.options.Now())
	select {
	case <-search.ready:
	case <-v.r.Context().Done():
		return v.r.Context().Err()
	}
	if search.err != nil {
		return refuseCoded("no-answer", http.StatusUnprocessableEntity, unsized(search.err), "The survey is where to say it.")
	}
	return nil
}

func (v *visit) apiParts() error {
	list, err := v.partList(v.r.Context())
	if err != nil {
		return err
	}
	v.w.Header().Set("ETag", `"`+list.Hash+`"`)
	if v.has(list.Hash) {
		v.w.WriteHeader(http.StatusNotModified)
		return nil
	}
	v.w.Header().Set("Content-Type", csvKind+"; charset=utf-8")
	_, err = io.WriteString(v.w, list.Text)
	return err
}

// apiSaveParts keeps a list of parts and prices as it came.
func (v *visit) apiSaveParts() error {
	list, err := v.partList(v.r.Context())
	if err != nil {
		return err
	}
	if err := v.madeFrom(list.Hash); err != nil {
		return err
	}
	text, err := v.body()
	if err != nil {
		return err
	}
	if text != list.Text {
		prices, err := pricesIn(text)
		if err != nil {
			return refuse(http.StatusUnprocessableEntity, strings.Join(wrongParts(err), " "), "GET the list to see how each column is written.")
		}
		if list, err = v.store.SaveParts(v.r.Context(), v.person(), list.Rev, text, prices); err != nil {
			return err
		}
	}
	v.w.Header().Set("ETag", `"`+list.Hash+`"`)
	v.w.WriteHeader(http.StatusNoContent)
	return nil
}

// apiVersion is two samples that came under one id or number.
type apiVersion struct {
	ID     string    `json:"id"`
	Site   string    `json:"site"`
	First  apiSample `json:"first"`
	Second apiSample `json:"second"`
}

type apiVersions struct {
	Versions []apiVersion `json:"versions"`
}

func (v *visit) apiListVersions() error {
	pairs, err := v.store.Versions(v.r.Context(), 100)
	if err != nil {
		return err
	}
	out := apiVersions{Versions: []apiVersion{}}
	for _, p := range pairs {
		p.Second.Received = p.At
		out.Versions = append(out.Versions, apiVersion{p.ID, p.First.Site, sampleAsGiven(p.First), sampleAsGiven(p.Second)})
	}
	return v.give(http.StatusOK, out)
}

type apiChoice struct {
	Choice store.Choice `json:"choice"` // "first", "second" or "both"
}

func (v *visit) apiSettle() error {
	var said apiChoice
	if err := v.taken(&said); err != nil {
		return err
	}
	if !slices.Contains(store.Choices, said.Choice) {
		return refuse(http.StatusUnprocessableEntity, "The choice "+strconv.Quote(string(said.Choice))+" is none of the choices.", "first, second or both.")
	}
	return v.done204(v.store.Settle(v.r.Context(), v.person(), v.r.PathValue("id"), said.Choice))
}

// done204 answers a change that has nothing to tell.
func (v *visit) done204(err error) error {
	if err == nil {
		v.w.WriteHeader(http.StatusNoContent)
	}
	return err
}

// apiPhoto is a photo of a site.
type apiPhoto struct {
	ID     string    `json:"id"` // SHA-256 of what was sent
	Kept   string    `json:"kept"`
	Width  int       `json:"width"`
	Height int       `json:"height"`
	Words  string    `json:"words"`
	Taken  time.Time `json:"taken"`
}

type apiPhotos struct {
	Photos []apiPhoto `json:"photos"`
}

func (v *visit) apiListPhotos() error {
	kept, err := v.store.Site(v.r.Context(), v.r.PathValue("id"))
	if err != nil {
		return err
	}
	photos, err := v.store.Photos(v.r.Context(), kept.ID, 200)
	if err != nil {
		return err
	}
	out := apiPhotos{Photos: []apiPhoto{}}
	for _, p := range photos {
		out.Photos = append(out.Photos, apiPhoto{p.ID, p.Kept, p.Width, p.Height, p.Words, p.Taken})
	}
	return v.give(http.StatusOK, out)
}

// apiAddPhoto takes a photo whole. It is made anew: what is kept holds pixels and
// nothing else of the file.
func (v *visit) apiAddPhoto() error {
	if v.options.Photos == nil {
		return refuse(http.StatusConflict, "This office keeps no photos.", "It was started without a folder for them.")
	}
	if body, ok := v.r.Context().Value(rawBody{}).(io.ReadCloser); ok && v.r.Header.Get("Idempotency-Key") == "" {
		v.r.Body = http.MaxBytesReader(v.w, body, mostPictureBytes)
	}
	picture, err := v.body()
	if err != nil {
		return err
	}
	about := store.Photo{Site: v.r.PathValue("id"), ID: store.Hash(picture), Words: oneLine(v.r.URL.Query().Get("words")), Taken: v.options.Now()}
	if len(about.Words) > 500 {
		return refuse(http.StatusUnprocessableEntity, "What it shows is told in at most 500 letters.", "Shorten words.")
	}
	if word := v.r.URL.Query().Get("taken"); word != "" {
		if about.Taken, err = time.Parse(time.RFC3339, word); err != nil {
			return refuse(http.StatusUnprocessableEntity, "The time "+strconv.Quote(word)+" cannot be read.", "taken=2026-06-13T09:30:00Z is how it is written.")
		}
	}
	if _, err := v.store.Site(v.r.Context(), about.Site); err != nil {
		return err
	}
	if err := v.takePhoto(about, []byte(picture)); errors.Is(err, errPicture) {
		return refuse(http.StatusUnprocessableEntity, "That is no picture that can be taken.", "Send a JPEG or PNG.")
	} else if err != nil {
		return err
	}
	p, err := v.store.Photo(v.r.Context(), about.Site, about.ID)
	if err != nil {
		return err
	}
	return v.give(http.StatusCreated, apiPhoto{p.ID, p.Kept, p.Width, p.Height, p.Words, p.Taken})
}

// apiPerson is somebody with an account.
type apiPerson struct {
	ID    string     `json:"id"`
	Login string     `json:"login"`
	Name  string     `json:"name"`
	Role  store.Role `json:"role"`
	Gone  bool       `json:"gone"`
}

type apiPeople struct {
	People []apiPerson `json:"people"`
}

func (v *visit) apiListPeople() error {
	people, err := v.store.People(v.r.Context())
	if err != nil {
		return err
	}
	out := apiPeople{People: []apiPerson{}}
	for _, p := range people {
		out.People = append(out.People, apiPerson{p.ID, p.Login, p.Name, p.Role, p.Gone})
	}
	return v.give(http.StatusOK, out)
}

type apiNewPerson struct {
	Login    string     `json:"login"`
	Name     string     `json:"name"`
	Role     store.Role `json:"role"`
	Password string     `json:"password"`
}

func (v *visit) apiAddPerson() error {
	var said apiNewPerson
	if err := v.taken(&said); err != nil {
		return err
	}
	wrong := wrongPerson(said.Name, said.Login, said.Password)
	if !slices.Contains(store.Roles, said.Role) {
		wrong["role"] = "Wanted one of owner, tech, read-only."
	}
	if len(wrong) > 0 {
		var ps fieldProblems
		for _, key := range sortedKeys(wrong) {
			ps = append(ps, fieldProblem(key, wrong[key]))
		}
		return ps
	}
	password, err := v.hashed(v.r.Context(), said.Password)
	if err != nil {
		return err
	}
	p, err := v.store.AddPerson(v.r.Context(), v.person(), store.Person{Login: said.Login, Name: said.Name, Role: said.Role, Password: password})
	if errors.Is(err, store.ErrTaken) {
		return refuse(http.StatusConflict, "Somebody has this login already.", "Choose another.")
	}
	if err != nil {
		return err
	}
	return v.give(http.StatusCreated, apiPerson{p.ID, p.Login, p.Name, p.Role, false})
}

// apiPersonChange is what is set of a person, all of it.
type apiPersonChange struct {
	Role     store.Role `json:"role"`
	Gone     bool       `json:"gone"`
	Password string     `json:"password,omitempty"`
}

func (v *visit) apiChangePerson() error {
	var said apiPersonChange
	if err := v.taken(&said); err != nil {
		return err
	}
	if !slices.Contains(store.Roles, said.Role) {
		return fieldProblems{fieldProblem("role", "Wanted one of owner, tech, read-only.")}
	}
	p := store.Person{ID: v.r.PathValue("id"), Role: said.Role, Gone: said.Gone}
	if said.Password != "" {
		if why := wrongPassword(said.Password, ""); why != "" {
			return fieldProblems{fieldProblem("password", why)}
		}
		var err error
		if p.Password, err = v.hashed(v.r.Context(), said.Password); err != nil {
			return err
		}
	}
	err := v.store.ChangePerson(v.r.Context(), v.person(), p)
	if errors.Is(err, store.ErrConflict) {
		return refuse(http.StatusConflict, "There must be an owner.", "Make somebody else an owner first.")
	}
	return v.done204(err)
}

// apiSettings are the settings of everyone.
func (v *visit) apiSettings() error {
	out := map[string]string{}
	for _, c := range shared {
		value, err := v.store.Setting(v.r.Context(), c.name, c.instead)
		if err != nil {
			return err
		}
		out[c.name] = value
	}
	return v.give(http.StatusOK, out)
}

func (v *visit) apiSetSettings() error {
	said := map[string]string{}
	if err := v.taken(&said); err != nil {
		return err
	}
	for _, name := range sortedKeys(said) {
		i := slices.IndexFunc(shared, func(c choice) bool { return c.name == name })
		if i < 0 || !slices.Contains(shared[i].words, said[name]) {
			return refuse(http.StatusUnprocessableEntity, fmt.Sprintf("%s %q is none of the choices.", name, said[name]), "GET the settings to see their names.")
		}
	}
	for _, name := range sortedKeys(said) {
		if err := v.store.Set(v.r.Context(), v.person(), name, said[name]); err != nil {
			return err
		}
	}
	v.wake()
	return v.apiSettings()
}

// apiMine is how the person in whose name it asks reads.
type apiMine struct {
	Units   string `json:"units"`   // "us", "si" or empty: as everyone
	Decimal string `json:"decimal"` // "point", "comma" or empty

	Language string `json:"language,omitempty"` // "en", "es" or empty
}

func (v *visit) apiSetMine() error {
	var said apiMine
	if err := v.taken(&said); err != nil {
		return err
	}
	if !slices.Contains([]string{"", "us", "si"}, said.Units) || !slices.Contains([]string{"", "point", "comma"}, said.Decimal) || said.Language != "" && !slices.Contains(say.Languages, said.Language) {
		return refuse(http.StatusUnprocessableEntity, "That is none of the choices.", "units: us or si; decimal: point or comma; language: en or es; empty is as everyone.")
	}
	if err := v.store.Reads(v.r.Context(), v.person(), said.Units, said.Decimal, said.Language); err != nil {
		return err
	}
	v.wake()
	return v.done204(nil)
}

// apiEntry is one line of the audit.
type apiEntry struct {
	Number int64     `json:"number"`
	At     time.Time `json:"at"`
	Person string    `json:"person"`
	What   string    `json:"what"`
	About  string    `json:"about"`
	Detail string    `json:"detail"`
	Before string    `json:"before"`
	Hash   string    `json:"hash"`
}

type apiAudit struct {
	Entries []apiEntry `json:"entries"`
	Next    string     `json:"next"`
}

func (v *visit) apiAudit() error {
	limit, after, err := v.page()
	if err != nil {
		return err
	}
	from := int64(0)
	if after != "" {
		if from, err = strconv.ParseInt(after, 10, 64); err != nil || from < 0 {
			return refuse(http.StatusUnprocessableEntity, "The page asked for is none that was given.", "Take after from next of the page before.")
		}
	}
	entries, err := v.store.Audit(v.r.Context(), from, limit)
	if err != nil {
		return err
	}
	out := apiAudit{Entries: []apiEntry{}}
	for _, e := range entries {
		out.Entries = append(out.Entries, apiEntry{e.Seq, e.At, e.Person, e.What, e.About, e.Detail, e.Before, e.Hash})
	}
	if len(entries) == limit {
		out.Next = strconv.FormatInt(entries[limit-1].Seq, 10)
	}
	v.nextPage(limit, out.Next)
	return v.give(http.StatusOK, out)
}

func (v *visit) apiPractice() error { return v.quietly((*visit).practice) }

func (v *visit) apiClearPractice() error { return v.quietly((*visit).clearPractice) }

// quietly does what a page does, without sending anyone on.
func (v *visit) quietly(do func(*visit) error) error {
	inner := *v
	inner.w = &held{header: http.Header{}}
	return v.done204(do(&inner))
}

// apiToken is a token without its text.
type apiToken struct {
	ID      string        `json:"id"`
	Name    string        `json:"name"`
	Scopes  []store.Scope `json:"scopes"`
	Person  string        `json:"person"`
	Expires time.Time     `json:"expires"`
	Ended   bool          `json:"ended"`
	Token   string        `json:"token,omitempty"` // in the answer to the request that made it, and nowhere else
}

type apiTokens struct {
	Tokens []apiToken `json:"tokens"`
}

func tokenAsGiven(t store.Token, text string) apiToken {
	return apiToken{t.ID, t.Name, t.Scopes, t.Person, t.Expires, t.Gone, text}
}

func (v *visit) apiListTokens() error {
	tokens, err := v.store.Tokens(v.r.Context())
	if err != nil {
		return err
	}
	out := apiTokens{Tokens: []apiToken{}}
	for _, t := range tokens {
		out.Tokens = append(out.Tokens, tokenAsGiven(t, ""))
	}
	return v.give(http.StatusOK, out)
}

type apiNewToken struct {
	Name   string   `json:"name"`
	Scopes []string `json:"scopes"`
	Days   int      `json:"days"`
}

// apiAddToken makes a token. Its text is in the answer only, so an answer of it
// is never kept for a key.
func (v *visit) apiAddToken() error {
	var said apiNewToken
	if err := v.taken(&said); err != nil {
		return err
	}
	if v.r.Header.Get("Idempotency-Key") != "" {
		return refuse(http.StatusBadRequest, "A token is made without Idempotency-Key: its answer is kept nowhere.", "Send it without; end a token whose answer was lost.")
	}
	wanted, wrong := store.WantToken(said.Name, said.Scopes, said.Days, v.options.Now())
	if len(wrong) > 0 {
		var ps fieldProblems
		for _, key := range sortedKeys(wrong) {
			ps = append(ps, fieldProblem(key, wrong[key]))
		}
		return ps
	}
	text := wanted.Secret()
	made, err := v.store.AddToken(v.r.Context(), v.person(), wanted)
	if err != nil {
		return err
	}
	return v.give(http.StatusCreated, tokenAsGiven(made, text))
}

func (v *visit) apiEndToken() error {
	return v.done204(v.store.EndToken(v.r.Context(), v.person(), v.r.PathValue("id")))
}

// apiAbout tells what a code of a problem means.
func (v *visit) apiAbout() error {
	code := v.r.PathValue("code")
	title, ok := apiTitles[code]
	if !ok {
		return store.ErrNone
	}
	return v.give(http.StatusOK, map[string]string{"code": code, "title": title})
}

func (v *visit) apiNowhere() error {
	return refuse(http.StatusNotFound, "There is nothing at this address.", "The description at "+apiRoot+"/openapi.json lists what there is.")
}
