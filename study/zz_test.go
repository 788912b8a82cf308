package study_test
import ("testing";"fmt";"rinsewright/quantity";"rinsewright/study")
func TestZZ(t *testing.T){
 for _,n:=range []string{"cormorant-reach","brightmere","fennel-lane","harrow-field","long-barrow"}{
 a:=beds(t,example(t,n)); tx:=func(f study.Figure)string{ if f==nil{return "-"};return f.Text(quantity.US,quantity.Locale{})}
 fmt.Println("site",n)
 for _,e:=range a.Ends{ if e.Never {fmt.Println(e.Name,"never");continue}; fmt.Println(e.Name,e.Volume.Text(quantity.US,quantity.Locale{}),tx(e.Days),"col",tx(e.Full),e.Utilisation,e.Front)}
 if a.Series!=nil{fmt.Printf("series %v %v %v %+v\n",tx(a.Series.Single),tx(a.Series.Early),tx(a.Series.Lead),a.Series.Gain)}
 for _,p:=range a.Places{fmt.Println(p.Name,tx(p.Flow),p.PerHour,p.Verdict,tx(p.Volume),p.Never)}
 for _,c:=range a.Changes{fmt.Println(c.Name,c.Times,tx(c.Outlay),tx(c.PerYear),tx(c.Saves))}
 if a.Softener!=nil{s:=a.Softener;fmt.Println("soft",tx(s.Table),tx(s.Column),tx(s.Leak),s.Sodium,s.Efficiency,tx(s.HardAfter),tx(s.Bypassed))}
 if a.Carbon!=nil{c:=a.Carbon;fmt.Println("carbon",tx(c.PerCharge),tx(c.WithLag),tx(c.WorstAlone),tx(c.WorstWithLag),tx(c.FlushLitres))}
 }}
