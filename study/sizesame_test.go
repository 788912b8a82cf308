package study

import (
	"context"
	"reflect"
	"runtime"
	"testing"
)

// TestASizingDoesNotDependOnCores sizes one survey on one core and on four, where
// the systems are judged in another order each time, and wants the same answer to
// the last digit.
func TestASizingDoesNotDependOnCores(t *testing.T) {
	s, c := surveyed(t, "long-barrow"), parts(t)
	run := func(cores int) reflect.Value {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		o := SizeDefaults()
		o.Looks = 4
		r, err := Size(context.Background(), s, c, o)
		if err != nil {
			t.Fatal(err)
		}
		for i := range r.Picks {
			r.Picks[i].rigged = nil // holds functions, which are never the same
		}
		return reflect.ValueOf(*r)
	}
	one := run(1)
	for range 2 {
		four := run(4)
		for i := range one.NumField() {
			field := one.Type().Field(i)
			if !field.IsExported() {
				continue
			}
			if a, b := one.Field(i).Interface(), four.Field(i).Interface(); !reflect.DeepEqual(a, b) {
				t.Errorf("%s: %v on one core, %v on four", field.Name, a, b)
			}
		}
	}
}
