package service

import (
	"math"

	"rinsewright/plant"
)

// One reading far off is a slip of pen or hand; two in a row, the same way, on
// different days, are a level that jumped: a source switched, a
// membrane torn or cleaned. The strength of permeate is left out: short runs make it
// stray, and the same way each time.
const jumped = 2.5 // standard deviations, twice

// jumps are the levels that may, and how far one standard deviation of it is, in
// logarithms. Source: [Memory].
var jumps = [...]struct {
	of    plant.Gauge
	level int
	by    float64
}{
	{plant.FeedStrength, atStrength, 0.30},
	{plant.PermeateFlow, atA, 0.20},
}

// jump makes room for levels that a visit's readings say have jumped.
func (t *tracker) jump(e *Entry) {
	for k, j := range jumps {
		for i := range e.Readings {
			r := &e.Readings[i]
			if r.Of != j.of || !(r.SI > 0) || early(r) > 0.3 {
				continue
			}
			off := t.levelOff(r, j.level)
			if math.Abs(off) > jumped && t.jumpedBy[k]*off > 0 {
				t.b.p[j.level][j.level] += j.by * j.by
				off = 0
			}
			if t.jumpedBy[k] = off; math.Abs(off) <= jumped {
				t.jumpedBy[k] = 0
			}
			break
		}
	}
}

// levelOff is how many standard deviations a reading is off what is believed.
func (t *tracker) levelOff(r *plant.Reading, level int) float64 {
	day := float64(t.day)
	var f form
	share := bucketShare
	switch level {
	case atStrength:
		f, share = t.feed(day), math.Hypot(penShare, rawModel)
	case atA:
		f = t.says(outPermeate, day)
	}
	if level != atA {
		gain := t.b.of(t.pen(r))
		f.add(&gain, 1)
		share = math.Hypot(share, digit(r)/math.Exp(f.at))
	}
	_, v := t.b.across(&f)
	return (math.Log(r.SI) - f.at) / math.Hypot(share, math.Sqrt(v))
}
