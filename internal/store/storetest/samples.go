package storetest

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"
	"time"

	"rinsewright/internal/store"
)

const phone = "0192f0c1-2345-7abc-8def-00000000000a" // invented

// sampleKeptOnce plays a bad network: every sample is sent by several tries,
// in any order, some at once, some in batches with others.
func sampleKeptOnce(t *testing.T, p place) {
	s := p.open(t)
	site := must[store.Site](t)(s.AddSite(t.Context(), by, File("x"), false))
	var all []store.Sample
	for i := range 30 {
		all = append(all, Taken(site.ID, phone, int64(i+1)))
	}
	var wait sync.WaitGroup
	for try := range 12 {
		wait.Go(func() {
			rng := rand.New(rand.NewPCG(7, uint64(try)))
			for range 4 {
				var batch []store.Sample
				for _, i := range rng.Perm(len(all))[:12] {
					batch = append(batch, all[i])
				}
				receipts, err := s.Log(t.Context(), by, batch)
				if err != nil {
					t.Error(err)
				}
				for i, r := range receipts {
					if !r.Kept || r.ID != batch[i].ID {
						t.Errorf("receipt %+v", r)
					}
				}
			}
		})
	}
	wait.Wait()
	if _, err := s.Log(t.Context(), by, all); err != nil {
		t.Fatal(err)
	}
	got := must[[]store.Sample](t)(s.Samples(t.Context(), site.ID, 100))
	if len(got) != len(all) {
		t.Fatalf("%d samples are there, want %d", len(got), len(all))
	}
	for i, x := range got {
		want := all[len(all)-1-i]
		if x.ID != want.ID || len(x.Readings) != 1 || x.Readings[0] != want.Readings[0] || !x.Taken.Equal(want.Taken) || x.Person != by {
			t.Errorf("sample %d came back as %+v", i, x)
		}
	}
	if entries := must[[]store.Entry](t)(s.Audit(t.Context(), 0, 100)); len(entries) != 1+len(all) {
		t.Errorf("%d entries in the audit, want %d", len(entries), 1+len(all))
	}
}

func otherContentIsConflict(t *testing.T, p place) {
	s := p.open(t)
	site := must[store.Site](t)(s.AddSite(t.Context(), by, File("x"), false))
	first := Taken(site.ID, phone, 1)
	other := first
	other.Readings = []store.Reading{{Name: "strength", Typed: "90 ppm", SI: 0.09, Unit: "kg/m3"}}
	receipts := must[[]store.Receipt](t)(s.Log(t.Context(), by, []store.Sample{first}))
	if !receipts[0].Kept {
		t.Fatal(receipts[0].Err)
	}
	receipts = must[[]store.Receipt](t)(s.Log(t.Context(), by, []store.Sample{other, first}))
	if receipts[0].Kept || !errors.Is(receipts[0].Err, store.ErrConflict) || !receipts[1].Kept {
		t.Errorf("answered %+v", receipts)
	}
	correction := Taken(site.ID, phone, 2)
	correction.Corrects, correction.Reason, correction.Readings = first.ID, "read the wrong line", other.Readings
	if receipts = must[[]store.Receipt](t)(s.Log(t.Context(), by, []store.Sample{correction})); !receipts[0].Kept {
		t.Fatal(receipts[0].Err)
	}
	if got := must[[]store.Sample](t)(s.Samples(t.Context(), site.ID, 10)); len(got) != 2 || got[1].Readings[0].Typed != "9 ppm" {
		t.Errorf("both versions must be there: %+v", got)
	}
	if last := must[map[string]store.Reading](t)(s.Last(t.Context(), site.ID, "permeate")); last["strength"].Typed != "90 ppm" {
		t.Errorf("last is %+v", last)
	}
}

func deviceNumberOnce(t *testing.T, p place) {
	s := p.open(t)
	site := must[store.Site](t)(s.AddSite(t.Context(), by, File("x"), false))
	one, two := Taken(site.ID, phone, 1), Taken(site.ID, phone, 1)
	if receipts := must[[]store.Receipt](t)(s.Log(t.Context(), by, []store.Sample{one})); !receipts[0].Kept {
		t.Fatal(receipts[0].Err)
	}
	if receipts := must[[]store.Receipt](t)(s.Log(t.Context(), by, []store.Sample{two})); !errors.Is(receipts[0].Err, store.ErrConflict) {
		t.Errorf("a second sample with number 1: %+v", receipts[0])
	}
	elsewhere := Taken(store.NewID(time.Now()), phone, 2)
	if receipts := must[[]store.Receipt](t)(s.Log(t.Context(), by, []store.Sample{elsewhere})); !errors.Is(receipts[0].Err, store.ErrNone) {
		t.Errorf("a sample of no site: %+v", receipts[0])
	}
}

func asTyped(t *testing.T, p place) {
	s := p.open(t)
	site := must[store.Site](t)(s.AddSite(t.Context(), by, File("x"), false))
	want := []store.Reading{
		{Name: "a", Typed: "0.10 ppm", SI: 0.1 + 0.2, Unit: "kg/m3"},
		{Name: "b", Typed: "1,5 °dH", SI: math.SmallestNonzeroFloat64, Unit: "mol/m3"},
		{Name: "c", Typed: "big", SI: math.MaxFloat64, Unit: ""},
		{Name: "d", Typed: "-5 C", SI: -math.Pi, Unit: "K"},
		{Name: "e", Skipped: "sensor bad"},
	}
	x := Taken(site.ID, phone, 1)
	x.Readings, x.Note = want, "zwei Zeilen\nund 水 🚤"
	if receipts := must[[]store.Receipt](t)(s.Log(t.Context(), by, []store.Sample{x})); !receipts[0].Kept {
		t.Fatal(receipts[0].Err)
	}
	got := must[[]store.Sample](t)(s.Samples(t.Context(), site.ID, 10))[0]
	if got.Note != x.Note || got.OffsetMinutes != -240 || got.Program != "test" || len(got.Readings) != len(want) {
		t.Fatalf("came back as %+v", got)
	}
	for i := range want {
		if got.Readings[i] != want[i] {
			t.Errorf("%+v came back as %+v", want[i], got.Readings[i])
		}
	}
}

func unsoundRefused(t *testing.T, p place) {
	s := p.open(t)
	site := must[store.Site](t)(s.AddSite(t.Context(), by, File("x"), false))
	for name, spoil := range map[string]func(*store.Sample){
		"no id":             func(x *store.Sample) { x.ID = "" },
		"an id of a kind":   func(x *store.Sample) { x.ID = "0192f0c1-2345-4abc-8def-0123456789ab" },
		"capital letters":   func(x *store.Sample) { x.ID = strings.ToUpper(x.ID) },
		"no device":         func(x *store.Sample) { x.Device = "phone" },
		"number nought":     func(x *store.Sample) { x.DeviceSeq = 0 },
		"the year 1":        func(x *store.Sample) { x.Taken = time.Time{} },
		"a day off":         func(x *store.Sample) { x.OffsetMinutes = 1441 },
		"nothing said":      func(x *store.Sample) { x.Readings = nil },
		"not a number":      func(x *store.Sample) { x.Readings[0].SI = math.NaN() },
		"infinite":          func(x *store.Sample) { x.Readings[0].SI = math.Inf(-1) },
		"neither":           func(x *store.Sample) { x.Readings[0].Typed = "" },
		"both":              func(x *store.Sample) { x.Readings[0].Skipped = "no access" },
		"a name twice":      func(x *store.Sample) { x.Readings = append(x.Readings, x.Readings[0]) },
		"NUL":               func(x *store.Sample) { x.Readings[0].Typed = "9\x00ppm" },
		"no UTF-8":          func(x *store.Sample) { x.Note = "\xff" },
		"a long note":       func(x *store.Sample) { x.Note = strings.Repeat("x", 4001) },
		"corrects silently": func(x *store.Sample) { x.Corrects = x.ID },
	} {
		x := Taken(site.ID, phone, 1)
		spoil(&x)
		receipts, err := s.Log(t.Context(), by, []store.Sample{x})
		if err != nil || receipts[0].Kept || receipts[0].Err == nil {
			t.Errorf("%s: %+v, %v", name, receipts, err)
		}
	}
	if got := must[[]store.Sample](t)(s.Samples(t.Context(), site.ID, 10)); len(got) != 0 {
		t.Errorf("%d were kept", len(got))
	}
	many := Taken(site.ID, phone, 1)
	for i := range 61 {
		many.Readings = append(many.Readings, store.Reading{Name: fmt.Sprint(i), Typed: "1"})
	}
	if receipts := must[[]store.Receipt](t)(s.Log(t.Context(), by, []store.Sample{many})); receipts[0].Kept {
		t.Error("61 readings were kept")
	}
}
