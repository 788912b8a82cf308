package study

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"rinsewright/faults"
)

const (
	faultCases = "testdata/faults"
	scorePage  = "../docs/explanation/faults-scores.md"
)

func faultRows(t testing.TB, name string) (rows []FaultRow) {
	t.Helper()
	f, err := os.Open(filepath.Join(faultCases, name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, record := range all[1:] {
		row := FaultRow{}
		for i, name := range all[0] {
			row[name] = record[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// score is how a ranking does against the truth.
type score struct {
	n, first, three          int
	brier                    float64
	clear, clearOne, clearTh int // without the five causes that the case's fields give away
	bins                     [5][3]float64
	missed                   map[int][3]int
}

var givenAway = map[int]bool{46: true, 15: true, 9: true, 1: true, 25: true}

func (s *score) add(truth int, all []faults.Suspect) {
	s.n++
	at, brier := 99, 1.0
	for i, x := range all {
		hit := 0.0
		if x.Cause.Number == truth {
			at, hit = i, 1
			brier--
		}
		brier += (x.Probability - hit) * (x.Probability - hit)
	}
	s.brier += brier
	b := &s.bins[min(int(5*all[0].Probability), 4)]
	b[0]++
	b[1] += all[0].Probability
	m := s.missed[truth]
	m[0]++
	if at == 0 {
		s.first++
		m[1]++
		b[2]++
	}
	if at < 3 {
		s.three++
		m[2]++
	}
	s.missed[truth] = m
	if !givenAway[truth] {
		s.clear++
		if at == 0 {
			s.clearOne++
		}
		if at < 3 {
			s.clearTh++
		}
	}
}

// stated is how far stated probabilities of the first cause are from how often it
// is right, weighted over fifths.
func (s *score) stated() (e float64) {
	for _, b := range s.bins {
		e += math.Abs(b[1] - b[2])
	}
	return e / float64(s.n)
}

// everyCause is the same over all causes of all cases: the calibration error that
// the simulator's own scorer prints.
type everyCause [10][3]float64

func (e *everyCause) add(truth int, all []faults.Suspect) {
	for _, x := range all {
		b := &e[min(int(10*x.Probability), 9)]
		b[0]++
		b[1] += x.Probability
		if x.Cause.Number == truth {
			b[2]++
		}
	}
}

func (e *everyCause) off() (sum float64) {
	n := 0.0
	for _, b := range e {
		n += b[0]
		sum += math.Abs(b[1] - b[2])
	}
	return sum / n
}

// The 120 cases of an independent simulator, ranked with words and without.
// Agreement with simulated data is not validation in the field.
func TestFaultFinderOnIndependentCases(t *testing.T) {
	ids, cases, err := FaultFolder{
		faultRows(t, "cases.csv"), faultRows(t, "baseline.csv"), faultRows(t, "readings.csv"), faultRows(t, "words.csv"),
	}.FaultCases()
	if err != nil {
		t.Fatal(err)
	}
	truth := map[string]int{}
	for _, row := range faultRows(t, "truth.csv") {
		truth[row["case_id"]], _ = strconv.Atoi(row["cause"])
	}
	with, without := score{missed: map[int][3]int{}}, score{missed: map[int][3]int{}}
	var all, allWithout everyCause
	for i, c := range cases {
		both, err := faults.RankTwice(c)
		if err != nil {
			t.Errorf("case %s: %v", ids[i], err)
			continue
		}
		with.add(truth[ids[i]], both[0])
		without.add(truth[ids[i]], both[1])
		all.add(truth[ids[i]], both[0])
		allWithout.add(truth[ids[i]], both[1])
	}
	for _, row := range []struct {
		name         string
		s            score
		ece          float64
		first, three float64
	}{
		{"readings and nameplate", without, allWithout.off(), readingsFirst, readingsThree},
		{"with words", with, all.off(), wordsFirst, wordsThree},
	} {
		n := float64(row.s.n)
		t.Logf("%s: first %.3f, first three %.3f, Brier %.3f, calibration error %.3f, of the first %.3f", row.name,
			float64(row.s.first)/n, float64(row.s.three)/n, row.s.brier/n, row.ece, row.s.stated())
		if float64(row.s.first) < row.first*n || float64(row.s.three) < row.three*n {
			t.Errorf("%s: first %d, first three %d of %d; floors %.2f and %.2f", row.name, row.s.first, row.s.three, row.s.n, row.first, row.three)
		}
		if row.ece > 0.05 {
			t.Errorf("%s: calibration error %.3f, want at most 0.05", row.name, row.ece)
		}
	}
	scoresPage(t, with, without, all.off(), allWithout.off())
}

// scoresPage keeps the table that people read.
func scoresPage(t *testing.T, with, without score, ece, eceWithout float64) {
	var b strings.Builder
	b.WriteString(scoresHead)
	line := func(name string, s score, ece float64) {
		n, clear := float64(s.n), float64(s.clear)
		fmt.Fprintf(&b, "| %s | %.1f %% | %.1f %% | %.3f | %.3f | %.3f | %.1f %% | %.1f %% |\n", name, 100*float64(s.first)/n, 100*float64(s.three)/n,
			s.brier/n, ece, s.stated(), 100*float64(s.clearOne)/clear, 100*float64(s.clearTh)/clear)
	}
	line("readings and nameplate", without, eceWithout)
	line("with words", with, ece)
	b.WriteString(scoresMiddle)
	for _, c := range faults.Causes() {
		w, r := with.missed[c.Number], without.missed[c.Number]
		if w[0] > 0 {
			fmt.Fprintf(&b, "| %d | %s | %d | %d | %d | %d | %d | %s |\n", c.Number, c.Name, w[0], r[1], r[2], w[1], w[2], missedBecause[c.Number])
		}
	}
	if os.Getenv("UPDATE") != "" {
		if err := os.WriteFile(scorePage, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	kept, err := os.ReadFile(scorePage)
	if err != nil || string(kept) != b.String() {
		t.Errorf("%s is not what the cases say (%v): UPDATE=1 go test ./study -run FaultFinder", scorePage, err)
	}
}
