package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"rinsewright/catalog"
	"rinsewright/internal/grid"
	"rinsewright/internal/paper"
	"rinsewright/internal/store"
	"rinsewright/quantity"
)

// partList is the list of parts in use: somebody's, or the built-in one.
func (s *Server) partList(ctx context.Context) (store.PartList, error) {
	list, err := s.store.Parts(ctx)
	if errors.Is(err, store.ErrNone) {
		return store.PartList{Text: catalog.Text(), Hash: store.Hash(catalog.Text())}, nil
	}
	return list, err
}

// catalogue is the list of parts in use, read.
func (s *Server) catalogue(ctx context.Context) (*catalog.Catalogue, error) {
	list, err := s.partList(ctx)
	if err != nil {
		return nil, err
	}
	return catalog.Read([]byte(list.Text))
}

type partsView struct {
	Rev      int64
	Ages     []int // in months, from which a price can be marked
	Age      int   // the one that is
	Own      bool  // somebody keeps a list; otherwise it is the built-in one
	Currency string
	Kinds    []partKind
	When     time.Time
	Who      string
	Saved    bool
	Text     string   // what was brought in and is wrong
	Wrong    []string // line by line
	Decimal  string
	Form     *partForm
}

type partKind struct {
	Name  string
	Parts []partRow
}

type partRow struct {
	Row                   int
	Name, Figures         string
	Price, Refill, Priced string
	Old                   bool // priced longer ago than was chosen
	Before                []string
	Note                  string
}

// partForm is one part being changed or added.
type partForm struct {
	Row    int // -1 for a new one
	Kind   string
	Kinds  []catalog.Kind
	Fields []field
	Wrong  string
}

// Ages in months from which a price is marked, and the one taken until another is
// chosen.
var oldPrices = []int{3, 6, 12, 24}

const oldPrice = 12

// oldAfter is the age that was chosen.
func (v *visit) oldAfter() int {
	if n, err := strconv.Atoi(v.r.URL.Query().Get("old")); err == nil && slices.Contains(oldPrices, n) {
		return n
	}
	return oldPrice
}

func (v *visit) parts() error {
	return v.showParts(http.StatusOK, partsView{Saved: v.r.URL.Query().Has("saved")})
}

func (v *visit) showParts(status int, page partsView) error {
	list, err := v.partList(v.r.Context())
	if err != nil {
		return err
	}
	read, err := catalog.Read([]byte(list.Text))
	if err != nil {
		return err
	}
	table, err := tableOf(list.Text)
	if err != nil {
		return err
	}
	reads, err := v.reader()
	if err != nil {
		return err
	}
	past, err := v.pastPrices()
	if err != nil {
		return err
	}
	page.Ages, page.Age = oldPrices, v.oldAfter()
	page.Rev, page.Own, page.Currency, page.When, page.Decimal = list.Rev, list.Rev > 0, read.Currency, list.At, reads.Decimal()
	if page.Who, err = v.nameOf(list.Person); err != nil {
		return err
	}
	for _, kind := range kinds {
		group := partKind{Name: capital(string(kind))}
		for i, part := range read.Parts {
			if part.Kind == kind {
				group.Parts = append(group.Parts, v.partRow(table, i, part, past, reads))
			}
		}
		if len(group.Parts) > 0 {
			page.Kinds = append(page.Kinds, group)
		}
	}
	return v.show(status, "catalogue.html", "Parts and prices", "parts", page)
}

// pastPrices are what parts have cost, the latest first, by kind and name.
func (v *visit) pastPrices() (map[[2]string][]store.PartPrice, error) {
	prices, err := v.store.PartPrices(v.r.Context())
	past := map[[2]string][]store.PartPrice{}
	for _, p := range prices {
		key := [2]string{p.Kind, p.Name}
		past[key] = append(past[key], p)
	}
	return past, err
}

func (v *visit) nameOf(person string) (string, error) {
	people, err := v.store.People(v.r.Context())
	for _, p := range people {
		if p.ID == person {
			return p.Name, err
		}
	}
	return "", err
}

func (v *visit) partRow(table partsTable, i int, part catalog.Part, past map[[2]string][]store.PartPrice, reads reader) partRow {
	row := partRow{Row: i, Name: part.Name, Note: part.Note, Priced: "built in, invented"}
	var figures []string
	for _, c := range partColumns {
		value := table.cell(i, c.name)
		if value == "" || slices.Contains([]string{"name", "price", "refill", "priced", "note"}, c.name) {
			continue
		}
		if c.name == "hours" {
			value = fmt.Sprintf("%s h to put up", value)
		}
		figures = append(figures, quantity.Rewrite(value, quantity.Locale{}, reads.locale))
	}
	row.Figures = strings.Join(figures, " · ")
	row.Price, row.Refill = amount(int64(part.Price), reads.locale), ""
	if part.Refill > 0 {
		row.Refill = amount(int64(part.Refill), reads.locale)
	}
	for k, p := range past[[2]string{string(part.Kind), part.Name}] {
		if k == 0 {
			row.Priced, row.Old = v.speaker().Date(p.Since), p.Since.AddDate(0, v.oldAfter(), 0).Before(v.options.Now())
			continue
		}
		row.Before = append(row.Before, v.sayf("%s since %s", amount(p.Price, reads.locale)+" "+p.Currency, v.speaker().Date(p.Since)))
	}
	if told, err := time.Parse(time.DateOnly, part.Priced); err == nil { // the list says it itself
		row.Priced, row.Old = v.speaker().Date(told), told.AddDate(0, v.oldAfter(), 0).Before(v.options.Now())
	}
	return row
}

// amount is an amount of minor units as a person writes it, without groups.
func amount(minor int64, locale quantity.Locale) string {
	return quantity.Rewrite(fmt.Sprintf("%d.%02d", minor/100, minor%100), quantity.Locale{}, locale)
}

// setPrices changes prices where they stand.
func (v *visit) setPrices() error {
	if err := v.form(); err != nil {
		return err
	}
	locale, err := v.typedIn()
	if err != nil {
		return err
	}
	return v.changeParts(func(t partsTable) (string, error) {
		text := t.text
		for i := len(t.rows) - 1; i >= 0; i-- { // from the end, so that what stands before stays where it is
			said := map[string]string{}
			for _, name := range []string{"price", "refill"} {
				typed, sent := v.r.PostForm[fmt.Sprintf("%s.%d", name, i)]
				now := strings.TrimSpace(typedPrice(typed, locale))
				if sent && now != plainPrice(t.cell(i, name)) && (now != "" || t.cell(i, name) != "") {
					said[name] = now
				}
			}
			if _, ok := said["price"]; ok && slices.Contains(t.names, "priced") {
				said["priced"] = v.options.Now().UTC().Format(time.DateOnly)
			}
			if len(said) > 0 {
				text = text[:t.rows[i].from] + t.line(i, said) + text[t.rows[i].to:]
			}
		}
		return text, nil
	})
}

func typedPrice(typed []string, locale quantity.Locale) string {
	if len(typed) == 0 {
		return ""
	}
	return quantity.Rewrite(typed[0], locale, quantity.Locale{})
}

// plainPrice is a cell as the form shows it with a decimal point.
func plainPrice(cell string) string {
	x, err := quantity.ParseNumber(cell, quantity.Locale{})
	if err != nil {
		return strings.TrimSpace(cell)
	}
	return fmt.Sprintf("%.2f", x)
}

// changeParts keeps the list as change makes it from the one that the form was
// made for.
func (v *visit) changeParts(change func(partsTable) (string, error)) error {
	list, err := v.partList(v.r.Context())
	if err != nil {
		return err
	}
	if rev, err := strconv.ParseInt(v.r.PostFormValue("rev"), 10, 64); err != nil || rev != list.Rev {
		return store.ErrConflict
	}
	table, err := tableOf(list.Text)
	if err != nil {
		return err
	}
	text, err := change(table)
	if err != nil {
		return err
	}
	if text == list.Text {
		return v.redirect("/parts")
	}
	return v.keepParts(list.Rev, text)
}

// keepParts keeps a text that is a list of parts, or shows what is wrong with
// it.
func (v *visit) keepParts(base int64, text string) error {
	prices, err := pricesIn(text)
	if err != nil {
		return v.showParts(http.StatusUnprocessableEntity, partsView{Text: text, Wrong: wrongParts(err)})
	}
	if _, err := v.store.SaveParts(v.r.Context(), v.person(), base, text, prices); err != nil {
		return err
	}
	return v.redirect("/parts?saved")
}

// pricesIn are the prices that a list of parts names.
func pricesIn(text string) (prices []store.PartPrice, err error) {
	read, err := catalog.Read([]byte(text))
	if err != nil {
		return nil, err
	}
	for _, p := range read.Parts {
		prices = append(prices, store.PartPrice{Kind: string(p.Kind), Name: p.Name, Price: int64(p.Price), Refill: int64(p.Refill), Currency: read.Currency})
	}
	return prices, nil
}

// mostWrong is how many lines that cannot be used are told.
const mostWrong = 10

// wrongParts says what cannot be used, line by line.
func wrongParts(err error) (says []string) {
	var all catalog.Problems
	var one *catalog.Problem
	if !errors.As(err, &all) && errors.As(err, &one) {
		all = catalog.Problems{one}
	}
	for _, p := range all[:min(len(all), mostWrong)] {
		says = append(says, fmt.Sprintf("Line %d, column %s says %q; wanted %s.", p.Line, p.Column, p.Read, p.Wanted))
	}
	if more := len(all) - mostWrong; more > 0 {
		says = append(says, fmt.Sprintf("%d more lines cannot be used.", more))
	}
	if len(says) == 0 {
		says = []string{capital(strings.TrimPrefix(err.Error(), catalog.ErrRead.Error()+": ")) + "."}
	}
	return says
}

// exportParts hands out the list as it is kept, to the letter but for cells that a
// spreadsheet would take for formulas; or as a workbook.
func (v *visit) exportParts() error {
	list, err := v.partList(v.r.Context())
	if err != nil {
		return err
	}
	h := v.w.Header()
	h.Set("Cache-Control", "no-store")
	if v.r.URL.Query().Get("as") == "xlsx" {
		return v.exportWorkbook(list)
	}
	text, err := paper.PriceText(list.Text)
	if err != nil {
		return err
	}
	h.Set("Content-Type", "text/csv; charset=utf-8")
	h.Set("Content-Disposition", `attachment; filename="parts.csv"`)
	h.Set("ETag", `"`+list.Hash+`"`)
	_, err = io.WriteString(v.w, text)
	return err
}

func (v *visit) exportWorkbook(list store.PartList) error {
	text := list.Text
	if !list.At.IsZero() {
		text = paper.Dated(text, list.At.Format(time.DateOnly))
	}
	g, err := paper.PriceList(text)
	if err != nil {
		return err
	}
	book, err := g.XLSX()
	if err != nil {
		return err
	}
	h := v.w.Header()
	h.Set("Content-Type", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet")
	h.Set("Content-Disposition", `attachment; filename="parts.xlsx"`)
	_, err = v.w.Write(book)
	return err
}

// importParts keeps a list that a spreadsheet has written, or the built-in one
// again.
func (v *visit) importParts() error {
	if err := v.form(); err != nil {
		return err
	}
	list, err := v.partList(v.r.Context())
	if err != nil {
		return err
	}
	if v.r.PostFormValue("again") == "yes" {
		return v.keepParts(list.Rev, catalog.Text())
	}
	text, err := v.imported()
	if err != nil {
		return err
	}
	table, err := grid.Text([]byte(text))
	if err != nil {
		return refuse(http.StatusUnprocessableEntity, "The file is no table that can be read.", "Choose a CSV file or a workbook, such as one that Export gave you.")
	}
	return v.keepParts(list.Rev, string(table))
}
