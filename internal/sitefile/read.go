package sitefile

import (
	"fmt"
	"sort"
	"strconv"
	"strings"

	"rinsewright/quantity"
	"rinsewright/site"
)

// file is a site file with what was found where.
type file struct {
	name   string
	places map[string][2]int // "supply.coldest" or "sample.1.pH" -> line, column
	locale quantity.Locale
}

// Read reads the site file named name (used in messages only) from data. The
// error is [Problems] and tells everything that is wrong; the site is then nil.
func Read(name string, data []byte) (*site.Site, error) {
	s, _, err := read(name, data)
	return s, err
}

// Locale tells which decimal mark a site file's quoted numbers use.
func Locale(data []byte) quantity.Locale {
	tables, problems := parse("", data)
	if len(problems) > 0 {
		return quantity.Locale{}
	}
	return quantity.Locale{DecimalComma: tables[0].vals["decimal"].text == "comma"}
}

func read(name string, data []byte) (*site.Site, *file, error) {
	tables, problems := parse(name, data)
	if tables == nil {
		return nil, nil, problems
	}
	f := &file{name: name, places: map[string][2]int{}}
	problems = append(problems, f.head(tables[0])...)
	s, wrong := f.site(tables[1:])
	problems = append(problems, wrong...)
	for _, p := range s.Problems() {
		problems = append(problems, f.located(p))
	}
	if len(problems) > 0 {
		f.sort(problems)
		return nil, nil, problems
	}
	return s, f, nil
}

// site reads the tables of a file, each value judged alone.
func (f *file) site(tables []table) (s *site.Site, problems Problems) {
	s = &site.Site{}
	seen := map[string]int{}
	for _, t := range tables {
		problems = append(problems, f.table(s, t, seen)...)
	}
	return s, problems
}

// head reads the keys above every section: the version and the decimal mark.
func (f *file) head(t table) (problems Problems) {
	wrong := func(key, wanted, example string) {
		v := t.vals[key]
		problems = append(problems, Problem{place(f.name, max(v.line, 1), max(v.col, 1)), v.shown(), wanted, example})
	}
	for _, key := range t.keys {
		v := t.vals[key]
		switch key {
		case "rinsewright":
			if n, err := strconv.Atoi(v.text); err != nil || n < 1 || n > Version {
				wrong(key, fmt.Sprintf("a file version from 1 to %d", Version), fmt.Sprintf("rinsewright = %d", Version))
			}
		case "decimal":
			if v.text != "point" && v.text != "comma" {
				wrong(key, `"point" or "comma"`, `decimal = "point"`)
			}
			f.locale.DecimalComma = v.text == "comma"
		default:
			problems = append(problems, Problem{place(f.name, v.line, v.col), fmt.Sprintf("the key %q above every section", key), "rinsewright or decimal there, everything else under a section", "[site]"})
		}
	}
	if _, told := t.vals["rinsewright"]; !told {
		problems = append(problems, Problem{place(f.name, 1, 1), "no file version", "the version of the format on the first line", fmt.Sprintf("rinsewright = %d", Version)})
	}
	return problems
}

func (f *file) table(s *site.Site, t table, seen map[string]int) Problems {
	sec, known := sectionNamed(t.name)
	at := place(f.name, t.line, t.col)
	switch {
	case !known:
		return Problems{{at, fmt.Sprintf("the section [%s]", t.name), "one of " + strings.Join(sectionNames(), " "), nearest(t.name, sectionNames())}}
	case sec.list != t.array && sec.list:
		return Problems{{at, "[" + t.name + "]", "double brackets, since there may be several", "[[" + t.name + "]]"}}
	case sec.list != t.array:
		return Problems{{at, "[[" + t.name + "]]", "single brackets, since there is one", "[" + t.name + "]"}}
	}
	index := seen[t.name]
	seen[t.name]++
	if sec.list {
		f.places[fmt.Sprintf("%s.%d", t.name, index+1)] = [2]int{t.line, t.col}
	}
	f.places[t.name] = [2]int{t.line, t.col}
	fields := sec.fields(s, index)
	var problems Problems
	for _, key := range t.keys {
		v := t.vals[key]
		f.places[t.name+"."+key] = [2]int{v.line, v.col}
		f.places[fmt.Sprintf("%s.%d.%s", t.name, index+1, key)] = [2]int{v.line, v.col}
		if p, bad := f.key(fields, t.name, key, v); bad {
			problems = append(problems, p)
		}
	}
	return problems
}

func (f *file) key(fields []field, section, key string, v value) (Problem, bool) {
	at := place(f.name, v.line, v.col)
	for _, field := range fields {
		if field.key != key {
			continue
		}
		if err := field.set(v, f.locale); err != nil {
			return Problem{at, fmt.Sprintf("%s = %s", key, v.shown()) + fault(err), wanted(err), key + " = " + field.example}, true
		}
		return Problem{}, false
	}
	names := make([]string, len(fields))
	for i, field := range fields {
		names[i] = field.key
	}
	return Problem{at, fmt.Sprintf("the key %q in [%s]", key, section), "one of " + strings.Join(names, " "), nearest(key, names)}, true
}

// located gives a rule's complaint its place in the file.
func (f *file) located(p site.Problem) Problem {
	at, ok := f.places[p.Key]
	if !ok {
		at, ok = f.places[strings.SplitN(p.Key, ".", 2)[0]]
	}
	if !ok {
		at = [2]int{1, 1}
	}
	return Problem{place(f.name, at[0], at[1]), p.Read, p.Wanted, p.Example}
}

// sort orders problems by line, as a person works through a file.
func (f *file) sort(problems Problems) {
	line := func(p Problem) int {
		parts := strings.Split(strings.TrimPrefix(p.Where, f.name+":"), ":")
		n, err := strconv.Atoi(parts[0])
		if err != nil {
			return 0
		}
		return n
	}
	sort.SliceStable(problems, func(i, j int) bool { return line(problems[i]) < line(problems[j]) })
}

func sectionNamed(name string) (section, bool) {
	for _, s := range sections() {
		if s.name == name {
			return s, true
		}
	}
	return section{}, false
}

func sectionNames() (names []string) {
	for _, s := range sections() {
		names = append(names, s.name)
	}
	return names
}

// nearest is the known name closest to what was read, or "" when none is near.
func nearest(read string, names []string) string {
	best, bestDistance := "", len(read)/2+1
	for _, n := range names {
		if d := distance(strings.ToLower(read), strings.ToLower(n)); d < bestDistance {
			best, bestDistance = n, d
		}
	}
	return best
}

// distance is the number of single-character edits between a and b.
func distance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		diagonal := row[0]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			diagonal, row[j] = row[j], min(row[j]+1, row[j-1]+1, diagonal+cost)
		}
	}
	return row[len(b)]
}
