package store_test

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rinsewright/internal/check"
	"rinsewright/internal/store"
	"rinsewright/internal/store/storetest"
)

const (
	killPath  = "STORE_KILL_PATH"
	killOrder = "STORE_KILL_ORDER" // "tell after" its commit, or the control: "tell before"
)

// TestMain lets a test start this binary again as the program that is killed.
func TestMain(m *testing.M) {
	if path := os.Getenv(killPath); path != "" {
		os.Exit(logForEver(path))
	}
	if address := os.Getenv(upgradeAddress); address != "" {
		os.Exit(upgrade(address))
	}
	os.Exit(m.Run())
}

// logForEver logs samples from four hands and tells on standard output which
// were answered as kept.
func logForEver(path string) int {
	s, err := store.Open(context.Background(), path, store.Options{})
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	sites, _, err := s.Sites(context.Background(), "", 0, 1)
	if err != nil || len(sites) == 0 {
		fmt.Fprintln(os.Stderr, "no site", err)
		return 1
	}
	before := os.Getenv(killOrder) == "tell before"
	failed := make(chan error)
	for range 4 {
		go func() {
			device := store.NewID(time.Now())
			for n := int64(1); ; n++ {
				x := storetest.Taken(sites[0].ID, device, n)
				if before {
					fmt.Println(x.ID)
				}
				receipts, err := s.Log(context.Background(), "", []store.Sample{x})
				if err != nil || !receipts[0].Kept {
					failed <- fmt.Errorf("%w, %+v", err, receipts)
					return
				}
				if !before {
					fmt.Println(x.ID)
				}
			}
		}()
	}
	fmt.Fprintln(os.Stderr, <-failed)
	return 1
}

func TestNothingAnsweredIsLostWhenTheProgramIsKilled(t *testing.T) {
	rounds := check.Often(8, 10_000)
	told, lost := killed(t, rounds, "tell after")
	t.Logf("killed %d times: %d samples answered as kept, %d lost", rounds, told, lost)
	if lost != 0 || told < 50 {
		t.Errorf("%d of %d samples that were answered as kept are lost", lost, told)
	}
}

// The control answers before the commit, so it must lose something.
func TestKillControl(t *testing.T) {
	told, lost := killed(t, 8, "tell before")
	t.Logf("killed 8 times: %d samples answered too early, %d lost", told, lost)
	if lost == 0 {
		t.Error("answering before the commit loses nothing: the test sees nothing")
	}
}

func killed(t *testing.T, rounds int, order string) (told, lost int) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "data.sqlite")
	s := reopened(t, path)
	if _, err := s.AddSite(t.Context(), "", storetest.File("x"), false); err != nil {
		t.Fatal(err)
	}
	all := map[string]bool{}
	for round := range rounds {
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		for _, id := range oneLife(t, path, order, time.Duration(20+25*(round%8))*time.Millisecond) {
			all[id] = true
		}
		s = reopened(t, path)
		if round%25 == 24 {
			if err := s.CheckSound(t.Context()); err != nil {
				t.Fatal(err)
			}
		}
	}
	defer func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	}()
	if err := s.CheckAudit(t.Context()); err != nil {
		t.Error(err)
	}
	sites, _, err := s.Sites(t.Context(), "", 0, 1)
	if err != nil {
		t.Fatal(err)
	}
	samples, err := s.Samples(t.Context(), sites[0].ID, 1_000_000)
	if err != nil {
		t.Fatal(err)
	}
	there := map[string]int{}
	for _, x := range samples {
		if there[x.ID]++; there[x.ID] > 1 || len(x.Readings) != 1 {
			t.Errorf("sample %s is there %d times with %d readings", x.ID, there[x.ID], len(x.Readings))
		}
	}
	for id := range all {
		if there[id] == 0 {
			lost++
		}
	}
	return len(all), lost
}

func reopened(t *testing.T, path string) *store.Store {
	t.Helper()
	s, err := store.Open(t.Context(), path, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// oneLife starts the program, kills it some time after its first answer, and
// returns what it told until then.
func oneLife(t *testing.T, path, order string, after time.Duration) (ids []string) {
	t.Helper()
	c := exec.Command(os.Args[0])
	c.Env = append(os.Environ(), killPath+"="+path, killOrder+"="+order)
	c.Stderr = os.Stderr
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewReader(out)
	for {
		line, err := lines.ReadString('\n')
		if len(ids) == 0 {
			time.AfterFunc(after, func() { _ = c.Process.Kill() }) // Wait tells whether it worked
		}
		if err != nil {
			break // what is left is half a line
		}
		ids = append(ids, strings.TrimSpace(line))
	}
	if err := c.Wait(); err == nil || len(ids) == 0 {
		t.Fatalf("the program ended by itself: %v after %d answers", err, len(ids))
	}
	return ids
}
