package storetest

import (
	"database/sql"
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"

	"rinsewright/internal/store"
)

// anyTamperingFound changes the audit behind the program's back in any way that
// leaves it its end: a part of an entry changed, an entry taken away, two
// entries swapped, one put in twice under another number. Each is found, and
// put right all fits again. By the numbers of the entries alone, the control,
// not every one is.
func anyTamperingFound(t *testing.T, p place) {
	const seed, entries = 14, 40
	s := p.open(t)
	for i := range entries {
		if err := s.Set(t.Context(), by, fmt.Sprint("n", i%3), fmt.Sprint(i)); err != nil {
			t.Fatal(err)
		}
	}
	address := p.address
	if p.suite.Raw != nil {
		address = p.suite.Raw(address)
	}
	db, err := sql.Open(p.suite.Driver, address)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = db.Close() }()
	run := func(statement string, args ...any) {
		if _, err := db.Exec(statement, args...); err != nil {
			t.Fatalf("%s: %v", statement, err)
		}
	}
	rng := rand.New(rand.NewPCG(seed, 20))
	run(`CREATE TABLE audit_before AS SELECT * FROM audit`)
	tries, unseen := p.suite.often(120, 10_000), 0
	for range tries {
		a, b := 1+rng.IntN(entries), 1+rng.IntN(entries-1)
		if b >= a {
			b++
		}
		what := ""
		switch rng.IntN(4) {
		case 0:
			column := []string{"person_id", "what", "about", "detail", "before_hash", "hash"}[rng.IntN(6)]
			what = fmt.Sprintf("%s of entry %d changed", column, a)
			run(fmt.Sprintf(`UPDATE audit SET %[1]s = %[1]s || 'x' WHERE seq = $1`, column), a)
		case 1:
			what = fmt.Sprintf("entry %d taken away", a)
			run(`DELETE FROM audit WHERE seq = $1`, a)
		case 2:
			what = fmt.Sprintf("entries %d and %d swapped", a, b)
			run(`UPDATE audit SET seq = -1 WHERE seq = $1`, a)
			run(`UPDATE audit SET seq = $1 WHERE seq = $2`, a, b)
			run(`UPDATE audit SET seq = $1 WHERE seq = -1`, b)
		case 3:
			what = fmt.Sprintf("entry %d in the place of entry %d", a, b)
			run(`DELETE FROM audit WHERE seq = $1`, b)
			run(`INSERT INTO audit (tenant_id, seq, at_ms, person_id, what, about, detail, before_hash, hash) SELECT tenant_id, $1, at_ms, person_id, what, about, detail, before_hash, hash FROM audit WHERE seq = $2`, b, a)
		}
		if err := s.CheckAudit(t.Context()); !errors.Is(err, store.ErrAudit) {
			t.Errorf("%s: %v", what, err)
		}
		var n, last int
		if err := db.QueryRow(`SELECT COUNT(*), MAX(seq) FROM audit`).Scan(&n, &last); err != nil {
			t.Fatal(err)
		}
		if n == entries && last == entries {
			unseen++
		}
		run(`DELETE FROM audit`)
		run(`INSERT INTO audit SELECT * FROM audit_before`)
	}
	if err := s.CheckAudit(t.Context()); err != nil {
		t.Errorf("put right: %v", err)
	}
	t.Logf("seed %d: %d changes from outside, each found; by the numbers alone %d are not", seed, tries, unseen)
	if unseen == 0 {
		t.Error("the control finds everything: the test sees nothing")
	}
}
