// Command whatbout says what a game plan changes, and how sure one may be.
package main

import (
	"context"
	"os"
	"os/signal"

	"whatbout/cmd"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	code := cmd.Run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}
