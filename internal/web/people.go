package web

import (
	"errors"
	"net/http"
	"slices"
	"strings"

	"rinsewright/internal/store"
)

type peopleView struct {
	People []personRow
	Roles  []store.Role
	Form   setupForm
	Role   store.Role
	Says   string
	// Invited is whom the link was made for that is shown this once.
	Invited, Link string
}

// personRow is a person, and whether a second step is asked of them.
type personRow struct {
	store.Person
	Step bool
}

func (v *visit) people() error {
	return v.showPeople(http.StatusOK, peopleView{Role: store.Tech})
}

func (v *visit) showPeople(status int, page peopleView) error {
	people, err := v.store.People(v.r.Context())
	if err != nil {
		return err
	}
	for _, p := range people {
		step, err := v.store.SecondStep(v.r.Context(), p.ID)
		if err != nil {
			return err
		}
		page.People = append(page.People, personRow{p, step.On})
	}
	page.Roles = store.Roles
	return v.show(status, "people.html", "People", "people", page)
}

func (v *visit) addPerson() error {
	if err := v.form(); err != nil {
		return err
	}
	page := peopleView{Role: store.Role(v.r.PostFormValue("role")), Form: setupForm{Name: strings.TrimSpace(v.r.PostFormValue("name")), Login: strings.TrimSpace(v.r.PostFormValue("login"))}}
	password := v.r.PostFormValue("password")
	page.Form.Wrong = wrongPerson(page.Form.Name, page.Form.Login, password)
	invited := password == ""
	if invited {
		delete(page.Form.Wrong, "password")
	}
	if !slices.Contains(store.Roles, page.Role) {
		page.Form.Wrong["role"] = "Choose a role."
	}
	if len(page.Form.Wrong) == 0 {
		person := store.Person{Login: page.Form.Login, Name: page.Form.Name, Role: page.Role}
		if !invited {
			var err error
			if person.Password, err = v.hashed(v.r.Context(), password); err != nil {
				return err
			}
		}
		person, err := v.store.AddPerson(v.r.Context(), v.person(), person)
		if err == nil && invited {
			return v.showInvited(person)
		}
		if err == nil {
			return v.redirect("/people")
		}
		if !errors.Is(err, store.ErrTaken) {
			return err
		}
		page.Form.Wrong["login"] = "Somebody has this one already."
	}
	return v.showPeople(http.StatusUnprocessableEntity, page)
}

func (v *visit) changePerson() error {
	if err := v.form(); err != nil {
		return err
	}
	p := store.Person{ID: v.r.PathValue("id"), Role: store.Role(v.r.PostFormValue("role")), Gone: v.r.PostFormValue("gone") == "yes"}
	if !slices.Contains(store.Roles, p.Role) {
		return refuse(http.StatusUnprocessableEntity, "That is no role.", "Choose owner, tech or read-only.")
	}
	if v.r.PostFormValue("step") == "off" {
		if err := v.store.EndSecondStep(v.r.Context(), v.person(), p.ID); err != nil {
			return err
		}
	}
	err := v.store.ChangePerson(v.r.Context(), v.person(), p)
	if errors.Is(err, store.ErrConflict) {
		return v.showPeople(http.StatusConflict, peopleView{Role: store.Tech, Says: "There must be an owner. Make somebody else an owner first."})
	}
	if err != nil {
		return err
	}
	return v.redirect("/people")
}

type auditView struct {
	Entries []auditLine
	Sound   bool
	Why     string
}

type auditLine struct {
	store.Entry
	Who string
}

// audit shows the latest entries and whether the whole chain is sound.
func (v *visit) audit() error {
	var page auditView
	err := v.store.CheckAudit(v.r.Context())
	switch {
	case errors.Is(err, store.ErrAudit):
		page.Why = err.Error()
	case err != nil:
		return err
	default:
		page.Sound = true
	}
	entries, err := v.store.LastAudit(v.r.Context(), 200)
	if err != nil {
		return err
	}
	people, err := v.store.People(v.r.Context())
	if err != nil {
		return err
	}
	names := map[string]string{}
	for _, p := range people {
		names[p.ID] = p.Name
	}
	for _, e := range entries {
		page.Entries = append(page.Entries, auditLine{e, names[e.Person]})
	}
	return v.show(http.StatusOK, "audit.html", "Audit", "audit", page)
}
