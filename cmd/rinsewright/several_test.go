package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"rinsewright/internal/store"
	"rinsewright/internal/store/archive"
	"rinsewright/internal/store/storetest"
	"rinsewright/internal/web"
	"rinsewright/testdata/sites"
)

// Three programs serve one PostgreSQL database, and one is killed under load:
// whoever was answered finds what they sent, once, and the others go on.
func TestOneOfThreeProgramsIsKilled(t *testing.T) {
	address := storetest.StartPostgres(t).Database(t)
	program := filepath.Join(t.TempDir(), "rinsewright")
	if said, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, said)
	}
	kept, err := store.Open(t.Context(), address, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = kept.Close() }()
	kit, err := kept.AddFirst(t.Context(), store.Person{Login: "kit", Name: "Kit", Password: "x"})
	if err != nil {
		t.Fatal(err)
	}
	token := store.Token{Name: "test", Scopes: []store.Scope{store.LogScope}, Expires: time.Now().Add(time.Hour)}
	text := token.Secret()
	if _, err := kept.AddToken(t.Context(), kit.ID, token); err != nil {
		t.Fatal(err)
	}
	site, err := kept.AddSite(t.Context(), kit.ID, storetest.File("Gull Point"), false)
	if err != nil {
		t.Fatal(err)
	}
	var offices []string
	var processes []*exec.Cmd
	for range 3 {
		at, process := serving(t, program, address)
		offices, processes = append(offices, at), append(processes, process)
	}

	load := &load{token: text, site: site.ID, offices: offices}
	var hands sync.WaitGroup
	for i := range 6 {
		hands.Go(func() { load.hand(t, i) })
	}
	load.until(t, 150)
	if err := processes[0].Process.Kill(); err != nil {
		t.Fatal(err)
	}
	killed := time.Now()
	time.Sleep(time.Second) // what comes after is held against what came before
	load.until(t, load.count()+150)
	load.over.Store(true)
	hands.Wait()

	there := map[string]int{}
	samples, err := kept.Samples(t.Context(), site.ID, 1_000_000)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range samples {
		there[x.ID]++
	}
	for _, a := range load.answered {
		if there[a.id] != 1 {
			t.Errorf("%s was answered as kept and is there %d times", a.id, there[a.id])
		}
	}
	if len(samples) != len(load.answered) {
		t.Errorf("%d are there, %d were answered in the end", len(samples), len(load.answered))
	}
	if err := kept.CheckAudit(t.Context()); err != nil {
		t.Error(err)
	}
	before, after := load.took(time.Time{}, killed), load.took(killed.Add(time.Second), time.Now())
	if len(before) < 100 || len(after) < 100 {
		t.Fatalf("%d answers before, %d after: too few to tell", len(before), len(after))
	}
	// How quick is told, not judged: the machine is shared.
	p99 := func(all []time.Duration) time.Duration { return all[len(all)*99/100] }
	t.Logf("%d answered, %d of them sent again elsewhere; 99th percentile %v before, %v from a second after", len(load.answered), load.again.Load(), p99(before), p99(after))
}

// serving starts a program of its own and returns where it listens.
func serving(t *testing.T, program, address string) (string, *exec.Cmd) {
	t.Helper()
	args := []string{"serve", "--data", filepath.Dir(address), "--listen", "127.0.0.1:0", "--no-nights"}
	if strings.HasPrefix(address, "postgres") {
		args = append(args, "--database", address, "--data", t.TempDir())
	}
	c := exec.Command(program, args...)
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = c.Process.Kill() // one is dead already
		_ = c.Wait()
	})
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if at, ok := strings.CutPrefix(lines.Text(), "Listening  "); ok {
			return at, c
		}
	}
	t.Fatal("it does not say where it listens")
	return "", nil
}

// load is what hands do, and what they were answered.
type load struct {
	token, site string
	offices     []string
	over        atomic.Bool
	again       atomic.Int64
	mu          sync.Mutex
	answered    []answer
}

type answer struct {
	id   string
	at   time.Time
	took time.Duration
}

// count is how many were answered.
func (l *load) count() int {
	l.mu.Lock()
	defer l.mu.Unlock()
	return len(l.answered)
}

// until waits for so many answers.
func (l *load) until(t *testing.T, n int) {
	t.Helper()
	for deadline := time.Now().Add(2 * time.Minute); time.Now().Before(deadline); time.Sleep(20 * time.Millisecond) {
		if l.count() >= n {
			return
		}
	}
	t.Errorf("fewer than %d answers in two minutes", n)
}

// hand logs sample after sample. One that is not answered goes to the next
// office, with the same id.
func (l *load) hand(t *testing.T, i int) {
	device := store.NewID(time.Now())
	for n := int64(1); !l.over.Load(); n++ {
		id, begun := store.NewID(time.Now()), time.Now()
		body := fmt.Sprintf(`{"samples":[{"id":%q,"place":"permeate","taken":"2026-06-13T09:30:00Z","device":%q,"number":%d,"readings":[{"name":"strength","value":"9 ppm"}]}]}`, id, device, n) // invented
		for !l.send(l.offices[i%len(l.offices)], body) {
			i++
			l.again.Add(1)
			if time.Since(begun) > 20*time.Second {
				t.Errorf("%s is never answered", id)
				return
			}
		}
		l.mu.Lock()
		l.answered = append(l.answered, answer{id, begun, time.Since(begun)})
		l.mu.Unlock()
		time.Sleep(10 * time.Millisecond)
	}
}

func (l *load) send(office, body string) bool {
	ctx, stop := context.WithTimeout(context.Background(), 5*time.Second)
	defer stop()
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, office+"/api/v1/sites/"+l.site+"/samples", bytes.NewReader([]byte(body)))
	if err != nil {
		return false
	}
	r.Header.Set("Authorization", "Bearer "+l.token)
	got, err := http.DefaultClient.Do(r)
	if err != nil {
		return false
	}
	defer func() { _ = got.Body.Close() }() // it was read
	var told struct{ Receipts []struct{ Kept bool } }
	return json.NewDecoder(got.Body).Decode(&told) == nil && len(told.Receipts) == 1 && told.Receipts[0].Kept
}

// took are the times of answers to what was sent in a span, the quickest first.
func (l *load) took(from, to time.Time) (all []time.Duration) {
	for _, a := range l.answered {
		if a.at.After(from) && a.at.Before(to) {
			all = append(all, a.took)
		}
	}
	slices.Sort(all)
	return all
}

// A program is killed in the middle of its forecasts. Another, after the time that
// claims last, does what is left and nothing twice.
func TestAProgramIsKilledAtItsForecasts(t *testing.T) {
	program := filepath.Join(t.TempDir(), "rinsewright")
	if said, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, said)
	}
	for name, address := range map[string]string{"SQLite": filepath.Join(t.TempDir(), archive.DataFile), "PostgreSQL": storetest.StartPostgres(t).Database(t)} {
		t.Run(name, func(t *testing.T) { killedAtForecasts(t, program, address) })
	}
}

func killedAtForecasts(t *testing.T, program, address string) {
	const many = 60
	later := func() time.Time { return time.Now().Add(3 * time.Minute) }
	kept, err := store.Open(t.Context(), address, store.Options{Now: later})
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = kept.Close() }()
	text, err := sites.File("cormorant-reach")
	if err != nil {
		t.Fatal(err)
	}
	for i := range many {
		if _, err := kept.AddSite(t.Context(), "", strings.Replace(string(text), "Cormorant Reach", fmt.Sprint("Dock ", i), 1), false); err != nil {
			t.Fatal(err)
		}
	}
	now := time.Now()
	day := time.Date(now.Year(), now.Month(), now.Day(), 0, 0, 0, 0, time.UTC)
	word := version + " " + day.Format(time.DateOnly)
	_, process := serving(t, program, address)
	told := func() (n int, old int64) {
		all, old, err := kept.Forecasts(t.Context(), word)
		if err != nil {
			t.Fatal(err)
		}
		return len(all), old
	}
	for deadline := time.Now().Add(time.Minute); time.Now().Before(deadline); time.Sleep(5 * time.Millisecond) {
		if n, _ := told(); n >= 3 {
			break
		}
	}
	if err := process.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = process.Wait() // it was killed
	done, left := told()
	if done < 3 || left < 3 {
		t.Fatalf("%d were done and %d left when it was killed: that shows nothing", done, left)
	}
	n, err := web.Foresee(t.Context(), kept, "another program", version, day)
	if err != nil || int64(n) != left {
		t.Errorf("the other did %d of the %d that were left, %v", n, left, err)
	}
	if all, old := told(); all != many || old != 0 {
		t.Errorf("%d are told, %d are old", all, old)
	}
	t.Logf("%d done by the one that was killed, %d by the other", done, n)
}
