package resin_test
import ("testing";"time";"fmt"
"rinsewright/quantity";"rinsewright/resin";"rinsewright/water")
func TestZZ(t *testing.T){
 bed,_:=resin.MixedBed(quantity.CubicFeet(1),resin.New)
 for _,f:=range []water.Water{permeateWater(0.15,0.05,0.2,0.02),permeateWater(0.15,0.05,0.02,0.1),permeateWater(0.5,0.1,0.02,0.05)} {
 for _,gpm:=range []float64{1,3,8} {
 p:=resin.NewPolisher(bed)
 p.Duty=resin.Duty{Flow:quantity.GallonsPerMinute(gpm)}
 n,_:=bed.TransferUnits(water.Sodium,p.Duty,f.Temperature)
 m,_:=bed.TransferUnits(water.Chloride,p.Duty,f.Temperature)
 fmt.Println("gpm",gpm,"N",n,m)
 for _,cells:=range []int{25,50,100,200,400} {
  p.Cells=cells
  t0:=time.Now()
  crossed:=map[string]float64{}
  n:=0
  _,_,err:=p.Until(f,1e5,func(o resin.Outlet) bool{
   n++
   s:=o.Water.Total[water.Silica]
   if _,ok:=crossed["si10"];!ok&&s>0.1*f.Total[water.Silica]{crossed["si10"]=o.BedVolumes}
   if _,ok:=crossed["si50"];!ok&&s>0.5*f.Total[water.Silica]{crossed["si50"]=o.BedVolumes}
   c:=o.Water.Total[water.Carbon]
   if _,ok:=crossed["c10"];!ok&&c>0.1*f.Total[water.Carbon]{crossed["c10"]=o.BedVolumes}
   c=o.Water.Total[water.Chloride]
   if _,ok:=crossed["cl10"];!ok&&c>0.1*f.Total[water.Chloride]{crossed["cl10"]=o.BedVolumes}
   c=o.Water.Total[water.Sodium]
   if _,ok:=crossed["na10"];!ok&&c>0.1*f.Total[water.Sodium]{crossed["na10"]=o.BedVolumes}
   _,a:=crossed["na10"]; _,b:=crossed["cl10"]
   return a&&b
  })
  fmt.Println(cells,n,time.Since(t0),crossed,err)
 }}}
}
