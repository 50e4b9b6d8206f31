package main

import (
	"errors"
	"fmt"
	"io"
	"time"

	"github.com/caarlos0/env/v11"
	"github.com/rs/zerolog"
	"github.com/spf13/pflag"

	"recirc/api"
)

// config is what serve may be told, by environment and by flag.
type config struct {
	Address        string        `env:"RECIRC_ADDRESS" envDefault:":8080"`
	BodyBytes      int64         `env:"RECIRC_MAX_BODY_BYTES"`
	MostPipes      int           `env:"RECIRC_MAX_PIPES"`
	BudgetBytes    int64         `env:"RECIRC_MEMORY_BUDGET_BYTES"`
	RequestTimeout time.Duration `env:"RECIRC_REQUEST_TIMEOUT" envDefault:"30s"`
	DrainDelay     time.Duration `env:"RECIRC_DRAIN_DELAY" envDefault:"0s"`
	ShutdownGrace  time.Duration `env:"RECIRC_SHUTDOWN_GRACE" envDefault:"20s"`
	LogFormat      string        `env:"RECIRC_LOG_FORMAT" envDefault:"json"`
	LogLevel       string        `env:"RECIRC_LOG_LEVEL" envDefault:"info"`
}

func configFromEnvironment() (*config, error) {
	limits := api.DefaultLimits()
	cfg := &config{BodyBytes: limits.BodyBytes, MostPipes: limits.MostPipes}
	err := env.Parse(cfg)
	return cfg, err
}

func (c *config) flags(f *pflag.FlagSet) {
	f.StringVar(&c.Address, "address", c.Address, "host:port to listen on (RECIRC_ADDRESS)")
	f.Int64Var(&c.BodyBytes, "max-body-bytes", c.BodyBytes, "largest request body, decompressed (RECIRC_MAX_BODY_BYTES)")
	f.IntVar(&c.MostPipes, "max-pipes", c.MostPipes, "most pipes, and most fixtures, of a system (RECIRC_MAX_PIPES)")
	f.Int64Var(&c.BudgetBytes, "memory-budget-bytes", c.BudgetBytes, "memory that requests share, a request counting four times its body; beyond, 503. 0: half of the container's, or 512 MiB (RECIRC_MEMORY_BUDGET_BYTES)")
	f.DurationVar(&c.DrainDelay, "drain-delay", c.DrainDelay, "time after SIGTERM in which readyz says no and requests are still taken (RECIRC_DRAIN_DELAY)")
	f.DurationVar(&c.RequestTimeout, "request-timeout", c.RequestTimeout, "time to read a request (RECIRC_REQUEST_TIMEOUT)")
	f.DurationVar(&c.ShutdownGrace, "shutdown-grace", c.ShutdownGrace, "time for requests in flight after SIGTERM (RECIRC_SHUTDOWN_GRACE)")
	f.StringVar(&c.LogFormat, "log-format", c.LogFormat, "json or console (RECIRC_LOG_FORMAT)")
	f.StringVar(&c.LogLevel, "log-level", c.LogLevel, "debug, info, warn, error or disabled (RECIRC_LOG_LEVEL)")
}

// check refuses settings under which the service could answer nothing.
func (c *config) check() error {
	switch {
	case c.BodyBytes < 1 || c.MostPipes < 1 || c.BudgetBytes < 0:
		return errors.New("the limits on body and pipes are at least 1, the memory budget at least 0")
	case c.RequestTimeout <= 0 || c.ShutdownGrace < 0 || c.DrainDelay < 0:
		return errors.New("the request timeout is above 0, drain delay and shutdown grace at least 0")
	}
	return nil
}

func (c *config) limits() api.Limits {
	return api.Limits{BodyBytes: c.BodyBytes, MostPipes: c.MostPipes}
}

func (c *config) logger(out io.Writer) (zerolog.Logger, error) {
	level, err := zerolog.ParseLevel(c.LogLevel)
	if err != nil {
		return zerolog.Nop(), fmt.Errorf("log level %q: use debug, info, warn, error or disabled", c.LogLevel)
	}
	switch c.LogFormat {
	case "json":
	case "console":
		out = zerolog.ConsoleWriter{Out: out, TimeFormat: time.TimeOnly}
	default:
		return zerolog.Nop(), fmt.Errorf("log format %q: use json or console", c.LogFormat)
	}
	return zerolog.New(out).Level(level).With().Timestamp().Logger(), nil
}
