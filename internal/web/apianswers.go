package web

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"rinsewright/internal/sitefile"
	"rinsewright/internal/store"
	"rinsewright/quantity"
	"rinsewright/site"
)

// Asked is what the command line is asked for a program.
type Asked struct {
	Verb  string
	Flags []string    // "--seed=1"
	Sites []AskedFile // site files, in order
	Parts string      // list of parts, "" for the verb's own
	// Table is a file that somebody else made, after the flag or, without one,
	// after the site.
	Table     *AskedFile
	TableFlag string // "--import="
}

// AskedFile is one file by name.
type AskedFile struct{ Name, Text string }

// Answer is what the command line printed with --json, and its exit code.
type Answer struct {
	JSON []byte
	Exit int
	Site string // the first site file as the command left it
}

// BadQuestion is a question that the command line could not read.
type BadQuestion struct{ Says string }

func (b *BadQuestion) Error() string { return b.Says }

// verb is one question that the engine answers, as the command line does.
type verb struct {
	name  string
	says  string
	flags []apiAsk
	parts bool // the list of parts goes with it
}

var (
	seedAsk  = apiAsk{"seed", "integer", "Seed of the bands: the same seed gives the same answer.", "1"}
	drawsAsk = apiAsk{"draws", "integer", "Draws behind each band, 16 to 4000.", "64"}
	yearsAsk = apiAsk{"years", "integer", "Years that cost is counted over.", "5"}
	onAsk    = apiAsk{"on", "string", "As of this day.", "2026-09-01"}
)

// verbs are the questions about one site.
var verbs = []verb{
	{"check", "Judge the rig of a site as it hangs.", []apiAsk{{"busy", "boolean", "Ask as well whether the busiest day keeps up.", "true"}, seedAsk, drawsAsk}, false},
	{"water", "Tell what is known of a site's water, and how surely.", []apiAsk{seedAsk}, false},
	{"size", "Find systems for a survey: three picks, what binds them, what they cost. It may take minutes.", []apiAsk{yearsAsk, seedAsk}, true},
	{"compare", "Set ways to make the water side by side.", []apiAsk{yearsAsk, seedAsk}, true},
	{"quote", "Make an offer: options, what is not in the price, consumables of a year. It may take minutes.", []apiAsk{onAsk, {"months", "integer", "Age in months from which prices are flagged.", "6"}, yearsAsk, seedAsk}, true},
	{"faults", "Tell what may be wrong, how surely, and what to test next.", []apiAsk{{"said", "string", "What people say is wrong, in their words; as often as needed.", "spots since May"}, {"read", "string", "A reading of today, as the log has it; as often as needed.", "permeate_strength = 34 ppm NaCl"}}, false},
	{"forecast", "Tell what comes due and when, from the log.", []apiAsk{onAsk}, false},
	{"prove", "Judge the day the rig started, from what is on record.", []apiAsk{seedAsk, drawsAsk}, false},
}

var tripsVerb = verb{"trips", "Plan the drives that the sites want: one van load a week, and why.", []apiAsk{onAsk, {"weeks", "integer", "Weeks to tell, 1 to 52.", "8"}}, false}

// longestAnswer bounds what the engine may take for a program.
const longestAnswer = 10 * time.Minute

// apiAnswer answers a question about the site of the address, with all that was
// logged.
func (q verb) apiAnswer(v *visit) error {
	kept, record, locale, err := v.found()
	if err != nil {
		return err
	}
	text, err := v.withLog(kept, record, locale)
	if err != nil {
		return err
	}
	return v.ask(q, []AskedFile{{"site.toml", text}})
}

// apiAsk answers a question about a site file that is sent and not kept.
func (q verb) apiAsk(v *visit) error {
	text, err := v.body()
	if err != nil {
		return err
	}
	if _, err := sitefile.Read("site.toml", []byte(text)); err != nil {
		return err
	}
	return v.ask(q, []AskedFile{{"site.toml", text}})
}

// mostOnTrips is how many sites one plan may hold.
const mostOnTrips = 2000

func (v *visit) apiTrips() error {
	var files []AskedFile
	for after := ""; len(files) < mostOnTrips; {
		page, err := v.store.SitesAfter(v.r.Context(), after, mostPage)
		if err != nil {
			return err
		}
		if len(page) == 0 {
			break
		}
		for _, kept := range page {
			record, err := sitefile.Read("site.toml", []byte(kept.File))
			if err != nil {
				return err
			}
			text, err := v.withLog(kept, record, sitefile.Locale([]byte(kept.File)))
			if err != nil {
				return err
			}
			files = append(files, AskedFile{kept.ID + ".toml", text})
		}
		after = page[len(page)-1].ID
	}
	if len(files) == 0 {
		return refuseCoded("no-answer", http.StatusUnprocessableEntity, "There is no site yet.", "POST one to "+apiRoot+"/sites.")
	}
	return v.ask(tripsVerb, files)
}

// withLog is a site's file with what was logged on the pages.
func (v *visit) withLog(kept store.Site, record *site.Site, locale quantity.Locale) (string, error) {
	samples, err := v.store.Samples(v.r.Context(), kept.ID, 1000)
	if err != nil || len(samples) == 0 {
		return kept.File, err
	}
	withSamples(record, samples, locale)
	return string(sitefile.Update([]byte(kept.File), record, locale)), nil
}

// flagsFor reads the questions of the address; one that the verb does not know
// is refused, since it may be a known one mistyped.
func (v *visit) flagsFor(q verb) (flags []string, err error) {
	asked := v.r.URL.Query()
	for _, name := range sortedKeys(asked) {
		i := slices.IndexFunc(q.flags, func(a apiAsk) bool { return a.name == name })
		if i < 0 {
			return nil, refuse(http.StatusUnprocessableEntity, fmt.Sprintf("Nothing here is asked by the name %q.", name), "The description at "+apiRoot+"/openapi.json lists what may be asked.")
		}
		for _, value := range asked[name] {
			if q.flags[i].kind == "boolean" && value == "false" {
				continue
			}
			flags = append(flags, "--"+name+"="+oneLine(value))
		}
	}
	return flags, nil
}

// ask asks the engine, one question at a time, and gives its answer as the
// command line prints it.
func (v *visit) ask(q verb, sites []AskedFile) error {
	if v.options.Ask == nil {
		return refuseCoded("no-answer", http.StatusNotImplemented, "This program was started without the engine's answers.", "rinsewright serve has them.")
	}
	flags, err := v.flagsFor(q)
	if err != nil {
		return err
	}
	asked := Asked{Verb: q.name, Flags: flags, Sites: sites}
	if q.parts {
		list, err := v.partList(v.r.Context())
		if err != nil {
			return err
		}
		asked.Parts = list.Text
	}
	mark := v.markOf(asked)
	if v.has(mark) && q.name != "trips" { // trips hang on the day as well
		v.w.Header().Set("ETag", `"`+mark+`"`)
		v.w.WriteHeader(http.StatusNotModified)
		return nil
	}
	if err := v.longer(longestAnswer + time.Minute); err != nil {
		return err
	}
	ctx, stop := context.WithTimeout(v.r.Context(), longestAnswer)
	defer stop()
	select {
	case v.asking <- struct{}{}:
		defer func() { <-v.asking }()
	case <-ctx.Done():
		return ctx.Err()
	}
	answer, err := v.options.Ask(ctx, asked)
	var bad *BadQuestion
	if errors.As(err, &bad) {
		return refuse(http.StatusUnprocessableEntity, capital(bad.Says)+".", "The description at "+apiRoot+"/openapi.json shows how each is written.")
	}
	if err != nil {
		return err
	}
	if answer.Exit > 1 {
		return unansweredAPI(answer.JSON)
	}
	if q.name != "trips" {
		v.w.Header().Set("ETag", `"`+mark+`"`)
	}
	v.w.Header().Set("Content-Type", jsonKind)
	v.w.WriteHeader(http.StatusOK)
	_, err = v.w.Write(answer.JSON)
	return err
}

// markOf is the same for the same question of the same program.
func (v *visit) markOf(a Asked) string {
	h := sha256.New()
	for _, part := range append([]string{v.options.Version, a.Verb, a.Parts, strings.Join(a.Flags, "\x00")}, textsOf(a.Sites)...) {
		fmt.Fprintf(h, "%d %s", len(part), part)
	}
	return hex.EncodeToString(h.Sum(nil))
}

func textsOf(files []AskedFile) (texts []string) {
	for _, f := range files {
		texts = append(texts, f.Name, f.Text)
	}
	return texts
}

// unansweredAPI turns the command line's refusal into a problem.
func unansweredAPI(refusal []byte) error {
	var said struct {
		Errors []sitefile.Problem `json:"errors"`
	}
	if err := json.Unmarshal(refusal, &said); err != nil || len(said.Errors) == 0 {
		return errors.Join(errors.New("the engine refused without a reason"), err)
	}
	return noAnswer{fieldProblems(said.Errors)}
}

// noAnswer says why the engine has none.
type noAnswer struct{ fieldProblems }

func (n noAnswer) Unwrap() error {
	first := n.fieldProblems[0]
	fix := first.Wanted
	if fix == "" {
		fix = "The survey is where to say it."
	}
	return refuseCoded("no-answer", http.StatusUnprocessableEntity, capital(strings.TrimSuffix(first.Read, "."))+".", fix)
}
