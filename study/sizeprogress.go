package study

import (
	"context"
	"sync/atomic"

	"rinsewright/sizing"
)

// tell lets someone who waits hear how many judgements were made so far.
func tell(stages []sizing.Stage, told func(judged int)) {
	var judged atomic.Int64
	for i := range stages {
		judge := stages[i].Judge
		if judge == nil {
			continue
		}
		stages[i].Judge = func(ctx context.Context, chosen []int) (sizing.Verdict, error) {
			told(int(judged.Add(1)))
			return judge(ctx, chosen)
		}
	}
}
