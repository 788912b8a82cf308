package web

import (
	"errors"
	"io"
	"net/http"
	"strings"
	"unicode"

	"rinsewright/internal/store"
	"rinsewright/site"
)

// exportSite hands out the site file as it is kept, to the letter.
func (v *visit) exportSite() error {
	kept, err := v.store.Site(v.r.Context(), v.r.PathValue("id"))
	if err != nil {
		return err
	}
	h := v.w.Header()
	h.Set("Content-Type", "application/toml; charset=utf-8")
	h.Set("Content-Disposition", `attachment; filename="`+fileName(kept.Name)+`.toml"`)
	h.Set("ETag", `"`+kept.Hash+`"`)
	h.Set("Cache-Control", "no-store")
	_, err = io.WriteString(v.w, kept.File)
	return err
}

// fileName makes a site's name fit for a file on any machine.
func fileName(name string) string {
	plain := strings.Map(func(r rune) rune {
		switch {
		case r < unicode.MaxASCII && (unicode.IsLetter(r) || unicode.IsDigit(r)):
			return unicode.ToLower(r)
		case r == ' ' || r == '-' || r == '_':
			return '-'
		}
		return -1
	}, name)
	plain = strings.Trim(plain, "-")
	if plain == "" {
		return "site"
	}
	return plain[:min(len(plain), 60)]
}

// importSite keeps a site file as it came, to the letter. One that is here
// already is shown instead of kept twice.
func (v *visit) importSite() error {
	if err := v.form(); err != nil {
		return err
	}
	text, err := v.imported()
	if err != nil {
		return err
	}
	there, err := v.store.SiteByHash(v.r.Context(), store.Hash(text))
	if err == nil {
		return v.redirect("/sites/" + there.ID)
	}
	if !errors.Is(err, store.ErrNone) {
		return err
	}
	kept, err := v.store.AddSite(v.r.Context(), v.person(), text, false)
	if ps := problemsOf(err); ps != nil {
		return v.show(http.StatusUnprocessableEntity, "new.html", "New site", "sites", newSiteForm{Uses: site.Uses, Text: text, Problems: ps})
	}
	if err != nil {
		return err
	}
	v.wake()
	return v.redirect("/sites/" + kept.ID)
}

// imported is the file that was chosen, or the text that was pasted. A browser
// makes line ends of its own in pasted text; a file it leaves alone.
func (v *visit) imported() (string, error) {
	f, _, err := v.r.FormFile("file")
	if err == nil {
		b, err := io.ReadAll(f)
		if err := errors.Join(err, f.Close()); err != nil {
			return "", err
		}
		if len(b) > 0 {
			return string(b), nil
		}
	}
	text := strings.ReplaceAll(v.r.FormValue("text"), "\r\n", "\n")
	if strings.TrimSpace(text) == "" {
		return "", refuse(http.StatusUnprocessableEntity, "No file was chosen and nothing was pasted.", "Choose a file, such as one that Export gave you.")
	}
	return text, nil
}
