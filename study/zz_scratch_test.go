package study

import (
	"context"
	"fmt"
	"os"
	"syscall"
	"testing"
	"time"

	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/internal/sitefile"
)

func cpuNow() float64 {
	var r syscall.Rusage
	syscall.Getrusage(0, &r)
	return float64(r.Utime.Sec+r.Stime.Sec) + float64(r.Utime.Usec+r.Stime.Usec)/1e6
}

func TestZZ(t *testing.T) {
	names := []string{"cormorant-reach", "city", "harrow-field", "fennel-lane", "brightmere", "long-barrow"}
	if n := os.Getenv("ZZ"); n != "" {
		names = []string{n}
	}
	for _, name := range names {
		var s *site.Site
		if name == "city" {
			var err error
			s, err = sitefile.Read("x", []byte(os.Getenv("CITY")))
			if err != nil {
				t.Fatal(err)
			}
		} else {
			s = surveyed(t, name)
		}
		if os.Getenv("BARE") != "" { s.Rig = site.Rig{} }
		o := SizeDefaults()
		n := &notes{}
		c0, t0 := cpuNow(), time.Now()
		z, err := newSizer(s, parts(t), o, n)
		if err != nil {
			fmt.Println(name, err)
			continue
		}
		found, err := zzFind(z)
		c1 := cpuNow()
		if err != nil {
			fmt.Println(name, err)
			continue
		}
		r, err := z.result(context.Background(), s, found, n)
		fmt.Printf("%s: find cpu %.2f total %.2f wall %.2f; trials %d feasible %d paths %d %v\n", name, c1-c0, cpuNow()-c0, time.Since(t0).Seconds(), found.Trials, found.Feasible, len(z.paths), err)
		if err != nil { continue }
		for _, p := range r.Picks {
			fmt.Printf("   %s first %v over %v yearly %v room %.3f: %s\n", p.Name, p.First.Text(quantity.US, quantity.Locale{}), p.Over.Text(quantity.US, quantity.Locale{}), p.Yearly.Text(quantity.US, quantity.Locale{}), float64(p.Headroom), p.Short)
			for _, b := range p.Binds { fmt.Println("        binds", b.Constraint, b.Says) }
		}
		for _, w := range r.Ways { fmt.Println("   way", w.Constraint, w.Says, w.Short) }
		if r.Together != "" { fmt.Println("  together", r.Together) }
	}
}
