package plant

import (
	"syscall"
	"time"
	"unsafe"
)

// threadTime is what this thread has worked, so that a busy machine does not
// count.
func threadTime() time.Duration {
	const threadCPU = 3 // CLOCK_THREAD_CPUTIME_ID
	var at syscall.Timespec
	if _, _, failed := syscall.Syscall(syscall.SYS_CLOCK_GETTIME, threadCPU, uintptr(unsafe.Pointer(&at)), 0); failed != 0 {
		return time.Duration(time.Now().UnixNano())
	}
	return time.Duration(at.Nano())
}
