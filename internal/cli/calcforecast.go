package cli

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"os"
	"runtime"
	"slices"
	"strconv"
	"sync"

	"rinsewright/service"
	"rinsewright/study"
)

// forecastAnswer is one row that calc forecast answers, in the order asked.
type forecastAnswer struct {
	when service.When
	err  error
}

// forecast answers every query of a folder of logs.
func (c CalcCommand) forecast(desk Desk) error {
	if c.File == "" {
		return bad(errors.New("calc forecast: no folder named"), "rinsewright calc forecast logs, where logs holds sites.csv, visits.csv, events.csv and queries.csv")
	}
	folder, err := readLogFolder(os.DirFS(c.File))
	if err != nil {
		return bad(fmt.Errorf("calc forecast: %w", err), "docs/reference/forecast.md tells the columns")
	}
	out := bufio.NewWriter(desk.Out)
	w := csv.NewWriter(out)
	answer := writeDates
	if c.State {
		answer = writeStates
	}
	rows, failed := answer(w, folder)
	w.Flush()
	if err := out.Flush(); err != nil {
		return fmt.Errorf("calc forecast: write rows: %w", err)
	}
	if failed > 0 && failed == rows {
		return bad(errors.New("calc forecast: no row could be computed"), "the column error says why")
	}
	return nil
}

func writeDates(w *csv.Writer, f *logFolder) (rows, failed int) {
	_ = w.Write([]string{"site_id", "as_of_date", "q05", "q50", "q95", "error"})
	for i, a := range forecastFolder(f) {
		row := []string{f.queries[i].site, f.queries[i].asOf, "", "", "", ""}
		if a.err != nil {
			failed++
			row[5] = a.err.Error()
		} else {
			row[2], row[3], row[4] = dateOf(a.when.Low), dateOf(a.when.Likely), dateOf(a.when.High)
		}
		_ = w.Write(row)
	}
	return len(f.queries), failed
}

// forecastFolder follows every site once and asks on the way.
func forecastFolder(f *logFolder) []forecastAnswer {
	answers := make([]forecastAnswer, len(f.queries))
	bySite := map[string][]int{}
	for i, q := range f.queries {
		bySite[q.site] = append(bySite[q.site], i)
		answers[i].err = fmt.Errorf("site %s: not in sites.csv", shortened(q.site))
	}
	inParallel(len(f.sites), func(i int) { f.followSite(f.sites[i], bySite[f.sites[i].ID], answers) })
	return answers
}

func (f *logFolder) followSite(s study.LoggedSite, queries []int, answers []forecastAnswer) {
	days := make([]service.Day, len(queries))
	for i, q := range queries {
		days[i] = f.queries[q].day
	}
	whens, errs := study.ExhaustionsOf(s, f.entries[s.ID], days)
	for i, q := range queries {
		answers[q] = forecastAnswer{when: whens[i], err: errs[i]}
	}
}

// stateAnswer is one row that calc forecast --state answers.
type stateAnswer struct {
	site, quantity string
	day            service.Day
	band           service.Band
	err            error
}

// statesOf answers the state of every site on every first of a month.
func statesOf(f *logFolder) []stateAnswer {
	all := make([][]stateAnswer, len(f.sites))
	inParallel(len(f.sites), func(i int) {
		s := f.sites[i]
		states, err := study.StatesOf(s, f.entries[s.ID], f.last)
		if err != nil {
			all[i] = []stateAnswer{{site: s.ID, err: err}}
		}
		for _, state := range states {
			for _, q := range []struct {
				name  string
				known bool
				band  service.Band
			}{
				{"A_ratio", true, state.AShare},
				{"B_ratio", true, state.BShare},
				{"lead_used_fraction", s.Lead > 0, state.LeadUsed},
				{"lag_used_fraction", s.Lag > 0, state.LagUsed},
				{"carbon_used_fraction", s.CarbonVolume > 0, state.CarbonUsed},
			} {
				if q.known {
					all[i] = append(all[i], stateAnswer{site: s.ID, quantity: q.name, day: state.Day, band: q.band})
				}
			}
		}
	})
	return slices.Concat(all...)
}

// inParallel does n things, as many at once as there are cores.
func inParallel(n int, do func(int)) {
	var group sync.WaitGroup
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i := range n {
		slots <- struct{}{}
		group.Go(func() {
			defer func() { <-slots }()
			do(i)
		})
	}
	group.Wait()
}

func writeStates(w *csv.Writer, f *logFolder) (rows, failed int) {
	_ = w.Write([]string{"site_id", "date", "quantity", "q05", "q50", "q95", "error"})
	for _, s := range statesOf(f) {
		rows++
		if s.err != nil {
			failed++
			_ = w.Write([]string{s.site, "", "", "", "", "", s.err.Error()})
			continue
		}
		_ = w.Write([]string{s.site, dateOf(s.day), s.quantity, sixDigits(s.band.Low), sixDigits(s.band.Likely), sixDigits(s.band.High), ""})
	}
	return rows, failed
}

func sixDigits(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }
