package web

import (
	"context"
	"strings"

	"rinsewright/internal/store"
	"rinsewright/quantity"
)

// reader is how a person reads units and writes decimals.
type reader struct {
	units    quantity.System
	locale   quantity.Locale
	language string // empty is English
}

// word names a reader where glances are kept, which are put into words later.
func (r reader) word() string { return r.units.String() + " " + r.Decimal() }

// Decimal is the word of the reader's decimal mark.
func (r reader) Decimal() string {
	if r.locale.DecimalComma {
		return "comma"
	}
	return "point"
}

// readerOf is how a person reads: as they said, otherwise as everyone does.
func (s *Server) readerOf(ctx context.Context, p store.Person) (r reader, err error) {
	units, decimal := p.Units, p.Decimal
	if units == "" {
		if units, err = s.store.Setting(ctx, "units", "us"); err != nil {
			return r, err
		}
	}
	if decimal == "" {
		if decimal, err = s.store.Setting(ctx, "decimal", "point"); err != nil {
			return r, err
		}
	}
	r.units = quantity.US
	if units == "si" {
		r.units = quantity.SI
	}
	r.locale.DecimalComma = decimal == "comma"
	return r, nil
}

// reader is how the visitor reads.
func (v *visit) reader() (reader, error) {
	r, err := v.readerOf(v.r.Context(), v.session.Person)
	if language := v.language(); language != "en" {
		r.language = language
	}
	return r, err
}

// readers are all ways of reading that somebody has.
func (s *Server) readers(ctx context.Context) ([]reader, error) {
	people, err := s.store.People(ctx)
	if err != nil {
		return nil, err
	}
	ways, seen := []reader{}, map[reader]bool{}
	for _, p := range append([]store.Person{{}}, people...) {
		r, err := s.readerOf(ctx, p)
		if err != nil {
			return nil, err
		}
		if !p.Gone && !seen[r] {
			seen[r] = true
			ways = append(ways, r)
		}
	}
	return ways, nil
}

// typedIn is how the numbers of a form are written: as its page said, since the
// visitor may read otherwise by the time a phone sends it.
func (v *visit) typedIn() (quantity.Locale, error) {
	switch v.r.PostFormValue("decimal") {
	case "comma":
		return quantity.Locale{DecimalComma: true}, nil
	case "point":
		return quantity.Locale{}, nil
	}
	r, err := v.reader()
	return r.locale, err
}

// numeric tells whether a field of a site file holds a number, so that its
// text is written with a decimal mark.
func (f field) numeric() bool {
	return len(f.Words) == 0 && f.Example != "" && strings.Contains("0123456789", f.Example[:1])
}

// spoken shows the fields of a survey, written as the file is, as the reader
// writes.
func spoken(all []chapter, file, reader quantity.Locale) {
	each(all, func(f *field) {
		if f.numeric() {
			f.Value = quantity.Rewrite(f.Value, file, reader)
			f.Example = quantity.Rewrite(f.Example, quantity.Locale{}, reader)
		}
	})
}

// settled is what somebody typed in a field as the file writes it.
func (f field) settled(typed string, reader, file quantity.Locale) string {
	if f.numeric() {
		return quantity.Rewrite(typed, reader, file)
	}
	return typed
}
