package web

import (
	_ "embed"
	"net/http"

	"rinsewright/internal/sitefile"
	"rinsewright/internal/store"
	"rinsewright/quantity"
)

//go:embed assets/whatif.js
var whatIfScript string

//go:embed assets/whatif.css
var whatIfStyle string

// whatIfView is the page on which numbers are changed to see what follows.
// The browser has all it needs in it, so that it works without signal.
type whatIfView struct {
	Site    store.Site
	File    string // the record as the site's own page shows it
	Units   string
	Decimal string
}

func (v *visit) whatIf() error {
	kept, record, locale, err := v.found()
	if err != nil {
		return err
	}
	reads, err := v.reader()
	if err != nil {
		return err
	}
	samples, err := v.store.Samples(v.r.Context(), kept.ID, 200)
	if err != nil {
		return err
	}
	page := whatIfView{Site: kept, File: kept.File, Units: reads.unitsWord(), Decimal: reads.Decimal()}
	if withSamples(record, samples, locale) {
		page.File = string(sitefile.Write(record, locale))
	}
	return v.show(http.StatusOK, "whatif.html", "What if, at "+kept.Name, "sites", page)
}

// unitsWord is how a question names the reader's units.
func (r reader) unitsWord() string {
	if r.units == quantity.SI {
		return "si"
	}
	return "us"
}
