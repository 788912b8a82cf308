package web

import (
	"net/http"
	"slices"
	"strconv"
	"strings"

	"rinsewright/catalog"
	"rinsewright/internal/store"
	"rinsewright/quantity"
)

// partPage shows one part to be changed, or a new one like it.
func (v *visit) partPage() error {
	list, err := v.partList(v.r.Context())
	if err != nil {
		return err
	}
	table, row, err := v.partOf(list)
	if err != nil {
		return err
	}
	form, err := v.partForm(table, row)
	if err != nil {
		return err
	}
	return v.showPart(http.StatusOK, list.Rev, form)
}

func (v *visit) showPart(status int, rev int64, form partForm) error {
	reads, err := v.reader()
	if err != nil {
		return err
	}
	return v.show(status, "part.html", "Part", "parts", partsView{Rev: rev, Form: &form, Decimal: reads.Decimal()})
}

// partOf is the row that the address names.
func (v *visit) partOf(list store.PartList) (partsTable, int, error) {
	table, err := tableOf(list.Text)
	if err != nil {
		return table, 0, err
	}
	row, err := strconv.Atoi(v.r.PathValue("row"))
	if err != nil || row < 0 || row >= len(table.rows) {
		return table, 0, store.ErrNone
	}
	return table, row, nil
}

func (v *visit) partForm(table partsTable, row int) (partForm, error) {
	reads, err := v.reader()
	form := partForm{Row: row, Kind: strings.ToLower(strings.TrimSpace(table.cell(row, "kind"))), Kinds: kinds}
	for _, c := range partColumns {
		if !slices.Contains(table.names, c.name) {
			continue
		}
		f := field{Key: c.name, Label: label(c.name), Says: c.says, Example: quantity.Rewrite(c.example, quantity.Locale{}, reads.locale), Value: table.cell(row, c.name)}
		if f.numeric() && c.name != "name" && c.name != "size" {
			f.Value = quantity.Rewrite(f.Value, quantity.Locale{}, reads.locale)
		}
		form.Fields = append(form.Fields, f)
	}
	return form, err
}

// setPart keeps one part as it was typed, takes it off the list, or adds one.
func (v *visit) setPart() error {
	if err := v.form(); err != nil {
		return err
	}
	list, err := v.partList(v.r.Context())
	if err != nil {
		return err
	}
	if v.r.PostFormValue("rev") != strconv.FormatInt(list.Rev, 10) {
		return store.ErrConflict
	}
	table, row, err := v.partOf(list)
	if err != nil {
		return err
	}
	if v.r.PostFormValue("do") == "remove" {
		return v.keepParts(list.Rev, table.without(row))
	}
	said, form, err := v.typedPart(table, row)
	if err != nil {
		return err
	}
	text := table.with(row, said)
	if v.r.PostFormValue("do") == "add" {
		text = table.after(row, said)
	}
	if _, err := catalog.Read([]byte(text)); err != nil {
		form.Wrong = strings.Join(wrongParts(err), " ")
		return v.showPart(http.StatusUnprocessableEntity, list.Rev, form)
	}
	return v.keepParts(list.Rev, text)
}

// typedPart is what the form says, by column, and the form as it was typed.
func (v *visit) typedPart(table partsTable, row int) (map[string]string, partForm, error) {
	form, err := v.partForm(table, row)
	if err != nil {
		return nil, form, err
	}
	locale, err := v.typedIn()
	if err != nil {
		return nil, form, err
	}
	form.Kind = v.r.PostFormValue("kind")
	said := map[string]string{"kind": form.Kind}
	for i := range form.Fields {
		f := &form.Fields[i]
		f.Value = oneLine(v.r.PostFormValue(f.Key))
		said[f.Key] = f.Value
		if f.numeric() && f.Key != "name" && f.Key != "size" {
			said[f.Key] = quantity.Rewrite(f.Value, locale, quantity.Locale{})
		}
	}
	return said, form, nil
}
