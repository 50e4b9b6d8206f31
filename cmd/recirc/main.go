// Command recirc calculates domestic hot-water recirculation: as a service
// (serve), from files (calc), and as the keeper of its contract (contract).
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

// version is set by the linker in a release.
var version = "dev"

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}
