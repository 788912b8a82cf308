package quantity

import (
	"errors"
	"strings"
)

// ErrUnit marks text whose unit is missing, unknown, or of another kind.
var ErrUnit = errors.New("not a unit that fits")

// A unit converts between a number that people write and SI:
//
//	SI = (x - zero) factor / per + origin
//
// Factor and per are apart because x/1000 is rounded once, x·0.001 twice.
type unit struct {
	name     string   // as printed for people
	plain    string   // in ASCII, for keys and files; name if empty
	spelling []string // other spellings, in any case
	cased    []string // other spellings in which M and m differ
	factor   float64  // 1 if zero
	per      float64  // 1 if zero
	zero     float64  // reading at the origin, in this unit
	origin   float64  // SI value there
	kind     Kind     // filled from the table's heading
}

func (u *unit) toSI(x float64) float64 {
	if u.origin == 0 {
		return x * u.factor / u.per // keeps the sign of zero
	}
	return (x-u.zero)*u.factor/u.per + u.origin
}

func (u *unit) fromSI(si float64) float64 {
	if u.origin == 0 {
		return si * u.per / u.factor
	}
	return (si-u.origin)*u.per/u.factor + u.zero
}

// An index finds the unit of one kind by its spelling.
type index struct {
	units  []*unit
	exact  map[string]*unit // as spelt
	cased  map[string]*unit // all but the first letter in lower case
	folded map[string]*unit // in lower case
}

var indexes = indexAll(unitTable)

// indexAll is run once; nothing writes to its result afterwards.
func indexAll(table []unitsOfKind) map[Kind]*index {
	all := make(map[Kind]*index, len(table))
	for _, group := range table {
		ix := &index{exact: map[string]*unit{}, cased: map[string]*unit{}, folded: map[string]*unit{}}
		for _, row := range group.units {
			ix.add(row.complete(group.kind))
		}
		all[group.kind] = ix
	}
	return all
}

func (u unit) complete(k Kind) *unit {
	u.kind = k
	if u.plain == "" {
		u.plain = u.name
	}
	if u.factor == 0 {
		u.factor = 1
	}
	if u.per == 0 {
		u.per = 1
	}
	return &u
}

func (ix *index) add(u *unit) {
	ix.units = append(ix.units, u)
	for _, s := range append([]string{u.name, u.plain}, append(u.spelling, u.cased...)...) {
		ix.exact[unitKey(plainText(s))] = u
	}
	for _, s := range u.casedSpellings() {
		ix.cased[foldTail(unitKey(plainText(s)))] = u
	}
	for _, s := range u.spelling {
		ix.folded[strings.ToLower(unitKey(plainText(s)))] = u
	}
	for _, s := range []string{u.name, u.plain} {
		if !startsWithM(s) {
			ix.folded[strings.ToLower(unitKey(plainText(s)))] = u
		}
	}
}

// casedSpellings are those in which M (mega) and m (milli, metre) differ.
func (u *unit) casedSpellings() []string {
	all := u.cased
	for _, s := range []string{u.name, u.plain} {
		if startsWithM(s) {
			all = append(all[:len(all):len(all)], s)
		}
	}
	return all
}

func startsWithM(s string) bool { return s != "" && (s[0] == 'm' || s[0] == 'M') }

func foldTail(s string) string {
	if s == "" {
		return s
	}
	return s[:1] + strings.ToLower(s[1:])
}

// find returns the unit spelt by key, or nil: exactly as spelt first, then in
// another case where that cannot change the meaning.
func (ix *index) find(key string) *unit {
	if u := ix.exact[key]; u != nil {
		return u
	}
	if u := ix.cased[foldTail(key)]; u != nil {
		return u
	}
	return ix.folded[strings.ToLower(key)]
}

// findUnit reads a unit of kind k. If it belongs to another kind, it says which.
func findUnit(k Kind, text string) (u *unit, other Kind) {
	key := unitKey(plainText(text))
	if key == "" && text != "" {
		return nil, "" // brackets or points alone
	}
	if u := indexes[k].find(key); u != nil {
		return u, ""
	}
	for _, group := range unitTable {
		if indexes[group.kind].find(key) != nil {
			return nil, group.kind
		}
	}
	return nil, ""
}
