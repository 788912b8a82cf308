package web

import (
	"errors"
	"net/http"
	"slices"
	"strings"

	"rinsewright/internal/store"
)

type peopleView struct {
	People []store.Person
	Roles  []store.Role
	Form   setupForm
	Role   store.Role
	Says   string
}

func (v *visit) people() error {
	return v.showPeople(http.StatusOK, peopleView{Role: store.Tech})
}

func (v *visit) showPeople(status int, page peopleView) error {
	var err error
	if page.People, err = v.store.People(v.r.Context()); err != nil {
		return err
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
	if !slices.Contains(store.Roles, page.Role) {
		page.Form.Wrong["role"] = "Choose a role."
	}
	if len(page.Form.Wrong) == 0 {
		kept, err := v.hashed(v.r.Context(), password)
		if err != nil {
			return err
		}
		_, err = v.store.AddPerson(v.r.Context(), v.person(), store.Person{Login: page.Form.Login, Name: page.Form.Name, Role: page.Role, Password: kept})
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
	if password := v.r.PostFormValue("password"); password != "" {
		if why := wrongPassword(password, ""); why != "" {
			return v.showPeople(http.StatusUnprocessableEntity, peopleView{Role: store.Tech, Says: "The new password was not set: " + why})
		}
		var err error
		if p.Password, err = v.hashed(v.r.Context(), password); err != nil {
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
