package cli

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"rinsewright/internal/sitefile"
	"rinsewright/site"
	"rinsewright/water"
)

// take tries an answer and says in one line why it does not fit.
func (a *asker) take(st step, text string) (wrong string) {
	if st.part() {
		return a.takePart(st, text)
	}
	if st.none != "" && meansNone(text) {
		a.hang(st.none, false)
		a.settled[st.none] = true
		return ""
	}
	if strings.HasPrefix(text, `"`) && strings.HasSuffix(text, `"`) && len(text) > 1 {
		text = text[1 : len(text)-1] // as the file has it
	}
	kept, err := sitefile.Copy(a.site, a.locale)
	if err != nil {
		return "This cannot be kept: " + err.Error()
	}
	before := a.site.Problems()
	key := a.key(st, st.key)
	err = a.set(st, key, text)
	if err != nil {
		a.site = kept
		return refused(err)
	}
	if p, broken := a.broken(st, before); broken {
		a.site = kept
		return fmt.Sprintf("That makes %s; wanted %s.", p.Read, p.Wanted)
	}
	if st.none != "" {
		a.hang(st.none, true)
		a.settled[st.none] = true
	}
	a.samePen(st, key)
	return ""
}

// set sets the key of a question, or the other key that the answer fits.
func (a *asker) set(st step, key, text string) error {
	if st.ending != "" {
		if cut, ok := strings.CutSuffix(strings.ToLower(text), st.ending); ok {
			return sitefile.Set(a.site, st.or, cut, a.locale)
		}
		return sitefile.Set(a.site, key, text, a.locale)
	}
	err := a.place(st, key, text)
	switch {
	case err == nil && st.or != "":
		return sitefile.Set(a.site, a.key(st, st.or), "", a.locale)
	case err != nil && st.or != "":
		if a.place(st, a.key(st, st.or), text) == nil {
			return sitefile.Set(a.site, key, "", a.locale)
		}
	case err != nil && st.kit != "":
		if a.place(st, key, text+" "+st.kit) == nil {
			a.out.wrap("    ", "Taken "+st.kit+", as drop kits count.")
			return nil
		}
	}
	return err
}

// place sets a key and, for a sample, where it was taken.
func (a *asker) place(st step, key, text string) error {
	if err := sitefile.Set(a.site, key, text, a.locale); err != nil {
		return err
	}
	if st.place == "" {
		return nil
	}
	return sitefile.Set(a.site, a.key(st, "sample.place"), st.place, a.locale)
}

// key is a question's key with the number of its table.
func (a *asker) key(st step, key string) string {
	section, last, inside := strings.Cut(key, ".")
	if st.place != "" && section == "sample" {
		return fmt.Sprintf("sample.%d.%s", sampleNumber(a.site, st.place), last)
	}
	if st.index == 0 {
		return key
	}
	if !inside {
		return fmt.Sprintf("%s.%d", section, st.index+1)
	}
	return fmt.Sprintf("%s.%d.%s", section, st.index+1, last)
}

// sampleNumber is the number of the newest sample of a place, or that of the
// next new one. A sample without a place is one being begun.
func sampleNumber(s *site.Site, place string) int {
	found := 0
	for i, w := range s.Samples {
		if w.Place == place && (found == 0 || w.Date >= s.Samples[found-1].Date) {
			found = i + 1
		}
	}
	if found == 0 {
		found = len(s.Samples) + 1
		if n := len(s.Samples); n > 0 && s.Samples[n-1].Place == "" {
			found = n
		}
	}
	return found
}

// broken is the first rule that an answer breaks, unless the other half of a
// pair is still to come.
func (a *asker) broken(st step, before []site.Problem) (site.Problem, bool) {
	had := map[site.Problem]bool{}
	for _, p := range before {
		had[p] = true
	}
	whole := a.withPartner(st).Problems()
	for _, p := range a.site.Problems() {
		if !had[p] && slices.Contains(whole, p) {
			return p, true
		}
	}
	return site.Problem{}, false
}

// withPartner is the site as if the other half of a pair had been said too:
// what is then still wrong is not for want of it.
func (a *asker) withPartner(st step) *site.Site {
	if st.with == "" || sitefile.Get(a.site, a.key(st, st.with)) != "" {
		return a.site
	}
	whole, err := sitefile.Copy(a.site, a.locale)
	if err != nil {
		return a.site
	}
	_, example := sitefile.Example(st.with)
	if sitefile.Set(whole, a.key(st, st.with), a.exampleText(example), a.locale) != nil {
		return a.site
	}
	return whole
}

// samePen takes the scale of the pen at the tap for a reading elsewhere.
func (a *asker) samePen(st step, key string) {
	raw := sitefile.Get(a.site, fmt.Sprintf("sample.%d.scale", sampleNumber(a.site, "raw")))
	own := a.key(st, "sample.scale")
	if st.place == "" || st.place == "raw" || raw == "" || !strings.HasSuffix(key, ".strength") || sitefile.Get(a.site, key) == "" || sitefile.Get(a.site, own) != "" {
		return
	}
	if sitefile.Set(a.site, own, raw, a.locale) == nil {
		a.out.wrap("    ", "Its scale is taken as "+raw+", as at the tap.")
	}
}

func (a *asker) takePart(st step, text string) string {
	var yes bool
	switch strings.ToLower(text) {
	case "y", "yes":
		yes = true
	case "n", "no", "none":
	default:
		return "Answer yes or no, or Enter to leave it open."
	}
	key := a.key(st, st.key)
	if st.key == "report" {
		a.report = &yes
		return ""
	}
	a.hang(key, yes)
	return ""
}

// hang notes whether a part is there. What is gone is taken away only at the
// end, so that a slip can be taken back with all its values.
func (a *asker) hang(part string, there bool) {
	a.gone[part] = !there
	if there && !sitefile.Has(a.site, part) {
		if err := sitefile.Set(a.site, part, "yes", a.locale); err != nil {
			a.gone[part] = true
		}
	}
}

func (a *asker) hangs(part string) bool {
	if first, ok := strings.CutSuffix(part, ".1"); ok {
		part = first
	}
	if name, _, ok := strings.Cut(part, "."); ok && a.gone[name] {
		return false
	}
	return sitefile.Has(a.site, part) && !a.gone[part]
}

// forget takes back what a question's key says.
func (a *asker) forget(st step) {
	if st.part() {
		a.takePart(st, "no")
		return
	}
	for _, key := range []string{st.key, st.or} {
		if key == "" {
			continue
		}
		if err := sitefile.Set(a.site, a.key(st, key), "", a.locale); err != nil {
			a.out.wrap("    ", refused(err))
		}
	}
	a.dropEmptySamples()
}

// dropEmptySamples takes away samples that say nothing but their place.
func (s *surveyed) dropEmptySamples() {
	for i := len(s.site.Samples); i > 0; i-- {
		w := s.site.Samples[i-1]
		if sameSample(w, water.Sample{Place: w.Place}) {
			sitefile.Remove(s.site, fmt.Sprintf("sample.%d", i))
		}
	}
}

func meansNone(text string) bool {
	switch strings.ToLower(text) {
	case "none", "no", "n", "0":
		return true
	}
	return false
}

// refused is why the site file does not take an answer, in a line.
func refused(err error) string {
	var ps sitefile.Problems
	if !errors.As(err, &ps) || len(ps) == 0 {
		return err.Error()
	}
	p := ps[0]
	text := "Read " + p.Read + "; wanted " + p.Wanted
	key, example, ok := strings.Cut(p.Example, "=")
	if ok && len(sitefile.Words(strings.TrimSpace(key))) == 0 {
		text += ", such as " + example
	}
	return text + "."
}
