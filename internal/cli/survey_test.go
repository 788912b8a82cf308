package cli

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"rinsewright/internal/sitefile"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

// ten are the answers of the tutorial, all invented.
const ten = "Gull Point wash\ncity\n60 psi\n428 ppm\nNaCl\n7.4\n12\n2\n1 ft3\nvented\n"

// surveyOf runs survey in the test's own folder with answers piped in.
func surveyOf(t testing.TB, file, answers string, flags ...string) (out string, code int) {
	t.Helper()
	var screen, complaints bytes.Buffer
	desk := Desk{Context: context.Background(), In: strings.NewReader(answers), Out: &screen, Err: &complaints}
	code = Run(desk, append([]string{"survey", file}, flags...))
	return screen.String() + complaints.String(), code
}

func surveyedSite(t testing.TB, file string) *site.Site {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	s, err := sitefile.Read(filepath.Base(file), data)
	if err != nil {
		t.Fatalf("survey wrote what cannot be read: %v\n%s", err, data)
	}
	return s
}

func wantKeys(t *testing.T, s *site.Site, want map[string]string) {
	t.Helper()
	for key, text := range want {
		if got := sitefile.Get(s, key); got != text {
			t.Errorf("%s is %q, want %q", key, got, text)
		}
	}
}

func TestTenAnswersAreEnoughForCheck(t *testing.T) {
	file := filepath.Join(t.TempDir(), "gull-point.toml")
	out, code := surveyOf(t, file, ten)
	if code != ExitGood || !strings.Contains(out, "That is enough for rinsewright check. Go on?") || !strings.Contains(out, "Next: rinsewright check ") {
		t.Fatalf("exit %d after:\n%s", code, out)
	}
	if n := strings.Count(ten, "\n"); n != 10 {
		t.Errorf("%d answers are not ten", n)
	}
	s := surveyedSite(t, file)
	wantKeys(t, s, map[string]string{
		"site.name": "Gull Point wash", "supply.source": "city", "supply.static_pressure": "60 psi", "sample.place": "raw", "sample.strength": "428 ppm",
		"sample.scale": "NaCl", "sample.pH": "7.4", "demand.normal_day": "12", "membrane.count": "2", "resin.volume": "1 ft3", "tank.kind": "vented",
	})
	if got := len(sitefile.KeysOf(s)); got != 11 {
		t.Errorf("the file holds %d values, want the ten answers and the place of the sample: %q", got, sitefile.KeysOf(s))
	}
	if got := s.Supply.StaticPressure.Value.PSI(); got < 59.999 || got > 60.001 {
		t.Errorf("60 psi is %v psi", got)
	}
	checked, err := study.Check(context.Background(), s, study.Options{Seed: 1, Looks: 8})
	if err != nil {
		t.Fatalf("ten answers are not enough: %v", err)
	}
	if len(checked.Assumed) == 0 || len(checked.Promises) == 0 {
		t.Error("check says neither what it assumed nor what it promises")
	}
}

// Each row is what is piped in from the pressure question on, what must be said
// to it, and what the file must hold then.
func TestABadAnswerIsToldInOneLineAndAskedAgain(t *testing.T) {
	for _, row := range []struct{ about, answer, says string }{
		{"a flow", "3 gpm", "a flow; wanted a pressure, such as 60 psi"},
		{"no unit", "60", "a number without a unit"},
		{"no pressure at all", "0 psi", "wanted between"},
		{"not a number", "NaN psi", "wanted a pressure"},
		{"too much", "900 psi", "wanted between"},
		{"a word", "plenty", "wanted a pressure"},
		{"an arrow key", "\x1b[A60 psi", "plain text on one line"},
		{"half a letter", "60 \xffpsi", "plain text on one line"},
		{"a very long line", strings.Repeat("6", 20000), "wanted a pressure"},
	} {
		t.Run(row.about, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "a.toml")
			out, code := surveyOf(t, file, "A\ncity\n"+row.answer+"\n61 psi\n")
			if code != ExitGood || !strings.Contains(flat(out), row.says) {
				t.Errorf("exit %d, want %q in:\n%s", code, row.says, out)
			}
			wantKeys(t, surveyedSite(t, file), map[string]string{"supply.static_pressure": "61 psi", "supply.source": "city"})
		})
	}
}

// flat joins wrapped lines again.
func flat(out string) string { return strings.Join(strings.Fields(out), " ") }

func TestWordsAtThePrompt(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "a.toml")
	out, _ := surveyOf(t, file, "back\nA\n?\nback\nB\nwell\n?\n60 psi\n590 uS/cm\n7.1\n12\nnone\nNONE\nno\ndone\n")
	for _, say := range []string{"This is the first question.", "What for: A utility leaves", "It takes about 2 min.", "Open the valve slowly", "nobody said how many membrane elements"} {
		if !strings.Contains(flat(out), say) {
			t.Errorf("want %q in:\n%s", say, out)
		}
	}
	s := surveyedSite(t, file)
	wantKeys(t, s, map[string]string{"site.name": "B", "supply.source": "well", "sample.conductivity": "590 uS/cm", "sample.strength": "", "sample.pH": "7.1"})
	if s.Rig.Membrane != nil || s.Rig.Tank != nil || s.Rig.Resin != nil {
		t.Errorf("none was said of membrane, resin and tank; the file has %+v", s.Rig)
	}
}

func TestTheWholeSurveyInTheOrderOfTheSite(t *testing.T) {
	file := filepath.Join(t.TempDir(), "whole.toml")
	answers := ten + "yes\n" +
		"boats\n15 ppm\nSpots since May.\n" + // the place
		"chloramine\n6\n70 psi\n50 psi\n4 gpm\n6 C\n21 C\n" + // the tap; 70 is above the static 60
		"14 C\n240 ppm\n14 gpg\n0.3 mg/L\n12 mg/L\n0.5 mg/L\n2 mg/L\n2026-06-13\npen\n" + // raw water
		"no\n" + // report
		"30\nsat\n2\n2\n90 s\n2 gpm\n8am\n8 pm\nmay\noct\n" + // how busy
		"yes\n5 um\n2 psi\n1 gpm\nyes\n1 um\n\nno\n" + // filters
		"y\nblock\n0.04 ft3\n\nno\nno\n" + // carbon, softener, booster
		"no\n2540\n750 gpd\n99 %\n100 psi\n500 mg/L\n77 F\n15 %\n28 ft2\n400 d\n" + // membrane
		"yes\nfixed\n0.5 gpm\n60 psi\n" + // restrictor
		"after\nregen\nno\n" + // resin
		"300 gal\n280 gal\n230 gal\n30 gal\n2 m\nyes\n" + // tank
		"yes\n5 gpm\n60 psi\n90 psi\n0.5 hp\n35 %\n" + // pump
		"yes\n1/2\n60 ft\n4 ft\n3/8\n3 m\n" + // line
		"yes\ninlet valve\nsound\nsound\nabsent\nsound\nstuck on\n0 s\n" + // controls
		"12 ppm\n\n20 min\n14 C\n" + // after the membrane
		"0 ppm\n\n" + // after the resin
		"1 ppm\n\n" + // at the gun
		"5 gpm\n1500 W\n0.8 m\n" + // limits
		"usd\n5.70 per 1000 gal\n1.70\n0.16\n220 per ft3\n9\n45\n220\n0.6\n75\n40\n" // prices
	out, code := surveyOf(t, file, answers)
	if code != ExitGood {
		t.Fatalf("exit %d after:\n%s", code, out)
	}
	s := surveyedSite(t, file)
	wantKeys(t, s, map[string]string{
		"site.use": "boats", "supply.switch_weeks": "6", "supply.running_pressure": "50 psi", "sample.alkalinity": "240 ppm as CaCO3", "demand.busiest_weekday": "Saturday",
		"demand.closes": "20:00", "demand.first_month": "5", "filter.2.rating": "1 um", "filter.3.rating": "", "carbon.volume": "0.04 ft3", "membrane.parallel": "",
		"membrane.age": "400 d", "restrictor.pressure": "60 psi", "resin.place": "after tank", "resin.made": "regenerated", "tank.aerated": "true", "pump.efficiency": "35 %",
		"controls.shut_off_valve": "absent", "controls.vend_timer": "stuck on", "controls.divert": "0 s", "line.permeate_length": "3 m", "sample.2.place": "permeate", "sample.2.scale": "NaCl", "sample.2.running": "20 min", "sample.3.strength": "0 ppm",
		"sample.4.place": "gun", "limits.door": "0.8 m", "prices.currency": "USD", "prices.visit": "40.00", "prices.resin": "7.7692", "prices.water": "1.5058",
	})
	// 5.70 / 3.785411784 and 220 / 28.316846592, by hand: 1.506 and 7.769, kept to a cent.
	if s.Rig.Booster != nil || s.Rig.Softener != nil {
		t.Error("no was said of booster and softener")
	}
	if _, err := study.Check(context.Background(), s, study.Options{Seed: 1, Looks: 4}); err != nil {
		t.Errorf("check refuses the whole survey: %v", err)
	}
	if again, code := surveyOf(t, file, strings.Repeat("\n", 200)); code != ExitGood || !strings.Contains(again, "Nothing changed") {
		t.Errorf("Enter at every question changed something:\n%s", again)
	}
}

func TestEnterKeepsAndMinusForgets(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a.toml")
	surveyOf(t, file, "A\ncity\n4.1 bar\n428 ppm\nnacl\n7.4\n12\n2\n1 cu ft\nvented\n")
	before, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	out, code := surveyOf(t, file, "\n\n\n\n\n\n")
	after, _ := os.ReadFile(file)
	if code != ExitGood || !bytes.Equal(before, after) || !strings.Contains(out, "[4.1 bar] >") {
		t.Errorf("Enter changed the file, or does not show what it says:\n%s", out)
	}
	surveyOf(t, file, "\n\n-\n\n-\n7.6\n")
	s := surveyedSite(t, file)
	wantKeys(t, s, map[string]string{"supply.static_pressure": "", "sample.scale": "", "sample.pH": "7.6", "resin.volume": "1 cu ft", "sample.strength": "428 ppm"})
}

func TestAPartThatIsSaidToBeGoneComesBackWithItsValues(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a.toml")
	surveyOf(t, file, ten)
	surveyOf(t, file, strings.Repeat("\n", 9)+"none\nback\nvented\ndone\n")
	wantKeys(t, surveyedSite(t, file), map[string]string{"tank.kind": "vented"})
	surveyOf(t, file, strings.Repeat("\n", 8)+"none\ndone\n")
	if s := surveyedSite(t, file); sitefile.Has(s, "resin") || !sitefile.Has(s, "tank") {
		t.Errorf("none was said of resin only: %+v", s.Rig)
	}
}

func TestWhatMakesNoSenseAloneIsLeftOutAndSaid(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a.toml")
	out, code := surveyOf(t, file, ten+"yes\n\n\n\n\n50 psi\ndone\n")
	if code != ExitGood || !strings.Contains(flat(out), `Left out: supply.running_pressure "50 psi"`) {
		t.Errorf("exit %d:\n%s", code, out)
	}
	wantKeys(t, surveyedSite(t, file), map[string]string{"supply.running_pressure": "", "tank.kind": "vented"})
	out, _ = surveyOf(t, file, strings.Repeat("\n", 10)+"yes\n\n\n\n\n70 psi\n50 psi\n4 gpm\ndone\n")
	if !strings.Contains(flat(out), "above static_pressure") {
		t.Errorf("70 psi running at 60 psi static was not told at once:\n%s", out)
	}
	wantKeys(t, surveyedSite(t, file), map[string]string{"supply.running_pressure": "50 psi", "supply.running_flow": "4 gpm"})
}

func TestADecimalComma(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a.toml")
	out, code := surveyOf(t, file, "A\ncity\n4,1 bar\n428 ppm\n0,5\n7,4\n12\n1\n28,3 L\nvented\n", "--decimal", "comma")
	if code != ExitGood {
		t.Fatalf("exit %d:\n%s", code, out)
	}
	s := surveyedSite(t, file)
	if got := s.Supply.StaticPressure.Value.Bar(); got < 4.0999 || got > 4.1001 {
		t.Errorf("4,1 bar is %v bar", got)
	}
	wantKeys(t, s, map[string]string{"supply.static_pressure": "4,1 bar", "sample.pH": "7.4", "sample.scale": "0.5"})
	if out, _ = surveyOf(t, file, "\n\n\n\n\n\n7,6\n"); !strings.Contains(out, "[7,4] >") {
		t.Errorf("the file's own mark is not used:\n%s", out)
	}
	if out, code = surveyOf(t, file, "", "--decimal", "point"); code != ExitBad {
		t.Errorf("exit %d for the other mark:\n%s", code, out)
	}
}

func TestEveryLineFitsTheScreen(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a.toml")
	out, _ := surveyOf(t, file, strings.Repeat("?\n\n", 11)+"yes\n"+strings.Repeat("?\nyes\n?\n\n", 60))
	long, _ := surveyOf(t, file, strings.Repeat("w", 4000)+"\n"+strings.Repeat("x ", 3000)+"\ncity\n"+strings.Repeat("9", 7000)+" psi\n")
	for _, line := range strings.Split(strings.ReplaceAll(out+long, file, "a.toml"), "\n") {
		if utf8.RuneCountInString(line) > surveyWidth {
			t.Errorf("%d characters: %q", utf8.RuneCountInString(line), line)
		}
	}
}

// Whatever is typed, the survey ends, says something, and leaves either no file
// or one that can be read.
func FuzzSurvey(f *testing.F) {
	for _, s := range []string{
		"", ten, "back\nback\n?\n", "\x00\xff\n", "A\n" + strings.Repeat("yes\n", 200), strings.Repeat("back\n", 300), strings.Repeat("yes\n?\nback\n-\n", 100),
		ten + "yes\n" + strings.Repeat("-\n", 150), ten + strings.Repeat("none\n", 100), "A\nwell\nNaN psi\n1e999 psi\nInf\n", `"done"` + "\n", ten + "yes\n\n\n\n\n50 psi\n\n", strings.Repeat("6", 9000),
	} {
		f.Add(s, false)
		f.Add(s, true)
	}
	f.Fuzz(func(t *testing.T, said string, comma bool) {
		loc := quantity.Locale{DecimalComma: comma}
		first := askedOf(t, &site.Site{}, said, loc)
		if again := askedOf(t, first, said, loc); again.Name == "" {
			t.Fatal("a second time the name is lost")
		}
	})
}

// askedOf asks about a site, without a disk, and reads what would be written.
func askedOf(t *testing.T, from *site.Site, said string, loc quantity.Locale) *site.Site {
	t.Helper()
	copied, err := sitefile.Copy(from, loc)
	if err != nil {
		t.Fatal(err)
	}
	s := &surveyed{file: "a.toml", site: copied, start: from, locale: loc, asked: true}
	answers := readAnswers(context.Background(), strings.NewReader(said))
	defer answers.stop()
	var screen bytes.Buffer
	a := newAsker(s, answers, newSheet(&screen))
	if err := a.run(); err != nil {
		t.Fatal(err)
	}
	s.settle(a.gone)
	s.sayResult(a.out)
	for _, line := range strings.Split(screen.String(), "\n") {
		if utf8.RuneCountInString(line) > surveyWidth || !utf8.ValidString(line) {
			t.Fatalf("a line of %d characters: %q", utf8.RuneCountInString(line), line)
		}
	}
	read, err := sitefile.Read("a.toml", sitefile.Write(s.site, loc))
	if err != nil {
		t.Fatalf("what would be written cannot be read: %v", err)
	}
	if whole, err := sitefile.Read("a.toml", sitefile.Update(sitefile.Write(from, loc), s.site, loc)); from.Name != "" && (err != nil || !sameSite(whole, read, loc)) {
		t.Fatalf("an update would hold something else: %v", err)
	}
	return read
}

// A stream that never ends is a script gone wrong; the survey still ends.
func TestAnEndlessStreamEnds(t *testing.T) {
	for _, word := range []string{"x\n", "back\n", "?\n", "yes\n", "\n", "-\n", "x"} {
		s := &surveyed{file: "a.toml", site: &site.Site{}, start: &site.Site{}}
		answers := readAnswers(context.Background(), &endless{word: word, limit: 50e6})
		var screen bytes.Buffer
		a := newAsker(s, answers, newSheet(&screen))
		if err := a.run(); err != nil {
			t.Error(err)
		}
		answers.stop()
		s.settle(a.gone)
		if _, err := sitefile.Read("a", sitefile.Write(s.site, quantity.Locale{})); err != nil {
			t.Errorf("%q for ever: %v", word, err)
		}
	}
}

// endless repeats a word; a limit far beyond what is read keeps a stream
// without line ends from running for ever.
type endless struct {
	word  string
	read  int
	limit int
}

func (e *endless) Read(p []byte) (int, error) {
	if e.read > e.limit {
		return 0, os.ErrClosed
	}
	n := copy(p, strings.Repeat(e.word, len(p)/len(e.word)+1))
	n -= n % len(e.word)
	e.read += n
	return n, nil
}

func TestAnInterruptWritesNothing(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a.toml")
	surveyOf(t, file, ten)
	before, _ := os.ReadFile(file)
	ctx, stop := context.WithCancel(context.Background())
	in := &interrupting{stop: stop}
	var screen, complaints bytes.Buffer
	code := Run(Desk{Context: ctx, In: in, Out: &screen, Err: &complaints}, []string{"survey", file})
	after, _ := os.ReadFile(file)
	if code != ExitBad || !bytes.Equal(before, after) || !strings.Contains(complaints.String(), "nothing was written") {
		t.Errorf("exit %d, %q", code, complaints.String())
	}
}

// interrupting answers once, then the person presses Ctrl-C.
type interrupting struct {
	stop  func()
	asked bool
}

func (i *interrupting) Read(p []byte) (int, error) {
	if !i.asked {
		i.asked = true
		return copy(p, "Another name\n"), nil
	}
	i.stop()
	select {} // a terminal would wait, and so does this
}
