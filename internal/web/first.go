package web

import (
	"crypto/subtle"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"unicode/utf8"

	"rinsewright/internal/store"
)

type setupForm struct {
	Token, Name, Login, Units, Language, Decimal string
	Wrong                                        map[string]string
}

// open tells whether the first account may still be made, and by this visitor.
func (v *visit) open() error {
	people, err := v.store.People(v.r.Context())
	if err != nil {
		return err
	}
	if len(people) > 0 {
		return v.redirect("/sign-in")
	}
	token := v.r.FormValue("token")
	if v.options.Setup == "" || subtle.ConstantTimeCompare([]byte(token), []byte(v.options.Setup)) != 1 {
		return refuse(http.StatusForbidden, "The first account is made with the setup link.", "It stands where the program was started, on the line that begins with Setup.")
	}
	return nil
}

func (v *visit) setupPage() error {
	if err := v.open(); err != nil || v.done {
		return err
	}
	return v.show(http.StatusOK, "setup.html", "Begin", "", setupForm{Token: v.r.FormValue("token"), Units: "us", Language: v.language()})
}

func (v *visit) setup() error {
	if err := v.form(); err != nil {
		return err
	}
	if err := v.open(); err != nil || v.done {
		return err
	}
	form := setupForm{Token: v.r.PostFormValue("token"), Name: strings.TrimSpace(v.r.PostFormValue("name")), Login: strings.TrimSpace(v.r.PostFormValue("login")), Units: v.r.PostFormValue("units"), Language: v.r.PostFormValue("language"), Decimal: v.r.PostFormValue("decimal")}
	v.keepLanguage(form.Language)
	password := v.r.PostFormValue("password")
	if form.Wrong = wrongPerson(form.Name, form.Login, password); len(form.Wrong) > 0 {
		return v.show(http.StatusUnprocessableEntity, "setup.html", "Begin", "", form)
	}
	kept, err := v.hashed(v.r.Context(), password)
	if err != nil {
		return err
	}
	person, err := v.store.AddFirst(v.r.Context(), store.Person{Login: form.Login, Name: form.Name, Password: kept})
	if errors.Is(err, store.ErrTaken) {
		return v.redirect("/sign-in")
	}
	if err != nil {
		return err
	}
	for _, set := range [][3]string{{"units", form.Units, "si"}, {"decimal", form.Decimal, "comma"}, {"language", form.Language, "es"}} {
		if set[1] == set[2] {
			if err := v.store.Set(v.r.Context(), person.ID, set[0], set[1]); err != nil {
				return err
			}
		}
	}
	if err := v.begin(person); err != nil {
		return err
	}
	return v.redirect("/")
}

// wrongPerson says what is wrong with a new person's fields, by field.
func wrongPerson(name, login, password string) map[string]string {
	wrong := map[string]string{}
	if name == "" || len(name) > 100 {
		wrong["name"] = "Give a name of at most 100 characters."
	}
	if login == "" || len(login) > 60 || strings.ContainsAny(login, " \t\r\n") {
		wrong["login"] = "Give a word without blanks, such as kit."
	}
	if why := wrongPassword(password, login); why != "" {
		wrong["password"] = why
	}
	return wrong
}

func wrongPassword(password, login string) string {
	switch {
	case utf8.RuneCountInString(password) < shortest:
		return fmt.Sprintf("At least %d characters: a short sentence is easy to keep in mind.", shortest)
	case len(password) > 500:
		return "At most 500 characters."
	case easyPassword(strings.ToLower(password), strings.ToLower(login)):
		return "Too easy to guess."
	}
	return ""
}

// practice brings in the example sites; those that are there already stay as
// they are.
func (v *visit) practice() error {
	list, _, err := v.store.Sites(v.r.Context(), "", 0, 10_000)
	if err != nil {
		return err
	}
	there := map[string]bool{}
	for _, row := range list {
		there[row.Hash] = row.Practice
	}
	for _, name := range v.options.Examples {
		file, err := v.options.Example(name)
		if err != nil {
			return err
		}
		if there[store.Hash(string(file))] {
			continue
		}
		if _, err := v.store.AddSite(v.r.Context(), v.person(), string(file), true); err != nil {
			return err
		}
	}
	v.wake()
	return v.redirect("/")
}

func (v *visit) clearPractice() error {
	if _, err := v.store.ClearPractice(v.r.Context(), v.person()); err != nil {
		return err
	}
	return v.redirect("/")
}
