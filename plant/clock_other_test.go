//go:build !linux

package plant

import "time"

// threadTime is the wall's clock where a thread's own is not asked for.
func threadTime() time.Duration { return time.Duration(time.Now().UnixNano()) }
