package main

import (
	"math"
	"os"
	"runtime/debug"
	"strconv"
	"strings"
)

// containerMemory is the memory that the container leaves to this process, in
// bytes; 0 where there is no limit.
func containerMemory() int64 {
	for _, file := range []string{"/sys/fs/cgroup/memory.max", "/sys/fs/cgroup/memory/memory.limit_in_bytes"} {
		text, err := os.ReadFile(file)
		if err != nil {
			continue
		}
		// Without a limit the file says max, or a number near the largest.
		if n, err := strconv.ParseInt(strings.TrimSpace(string(text)), 10, 64); err == nil && n > 0 && n < math.MaxInt64/2 {
			return n
		}
		return 0
	}
	return 0
}

// usualBudget is the memory that requests share where no container says how
// much there is.
const usualBudget = 512 << 20

// fitMemory makes the process live within its container: the collector works
// harder near the limit, and requests share half of it. A GOMEMLIMIT or a
// budget that somebody set stays.
func (c *config) fitMemory() {
	limit := containerMemory()
	if limit > 0 && os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(limit / 10 * 9)
	}
	switch {
	case c.BudgetBytes > 0:
	case limit > 0:
		c.BudgetBytes = limit / 2
	default:
		c.BudgetBytes = usualBudget
	}
}
