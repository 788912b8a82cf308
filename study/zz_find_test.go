package study
import ("context";"rinsewright/sizing")
func zzFind(z *sizer) (*sizing.Outcome, error) { return sizing.Find(context.Background(), z.problem()) }
