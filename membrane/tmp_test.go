package membrane
import ("testing";"fmt";"rinsewright/quantity")
func TestTmp(t *testing.T) {
	for _, c := range []float64{10,15,20,25} { for _, gpm := range []float64{3,4,6} {
		s := tapStream(c); s.Flow=quantity.GallonsPerMinute(gpm)
		r,err := pair(t).Run(s,0,0); if err!=nil {fmt.Println(err);continue}
		f,p := solution(t,s.Water), solution(t,r.Permeate.Water)
		fmt.Println(c, gpm, s.Water.DissolvedSolids().MilligramsPerLitre(), f.PH, r.Permeate.Water.DissolvedSolids().MilligramsPerLitre(), p.PH, r.Permeate.Flow.GallonsPerMinute(), r.Recovery, r.Polarisation, f.ConductivityAt25(),p.ConductivityAt25())
	}}
}
