package demand
import ("testing";"context";"fmt";"time")
func TestScratchMin(t *testing.T){
 p,tk,m:=busySite(t)
 best:=time.Hour
 for i:=range 300 { t0:=time.Now(); SimulateYear(context.Background(),p,tk,m,uint64(i)); if d:=time.Since(t0);d<best{best=d} }
 fmt.Println("min",best)
}
