package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"time"

	"github.com/rs/zerolog"
	"github.com/spf13/cobra"

	"recirc/api"
)

func serveCommand() *cobra.Command {
	cfg, envErr := configFromEnvironment()
	cmd := &cobra.Command{
		Use:     "serve",
		Short:   "Serve the contract over HTTP",
		Long:    "Serve the contract over HTTP until SIGTERM or SIGINT; requests in flight are then answered. Every flag has an environment variable; the flag wins.",
		Example: "  recirc serve\n  recirc serve --address 127.0.0.1:9000 --log-format console\n  RECIRC_MAX_PIPES=5000 recirc serve",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if envErr != nil {
				return &exitError{exitWrongRequest, envErr.Error()}
			}
			return serve(cmd.Context(), cfg, cmd.ErrOrStderr())
		},
	}
	cfg.flags(cmd.Flags())
	return cmd
}

// serve runs until the context ends, then drains.
func serve(ctx context.Context, cfg *config, errs io.Writer) error {
	if err := cfg.check(); err != nil {
		return &exitError{exitWrongRequest, err.Error()}
	}
	log, err := cfg.logger(errs)
	if err != nil {
		return &exitError{exitWrongRequest, err.Error()}
	}
	cfg.fitMemory()
	server, err := api.NewServer(api.Config{Limits: cfg.limits(), BudgetBytes: cfg.BudgetBytes, Log: log})
	if err != nil {
		return err
	}
	listener, err := net.Listen("tcp", cfg.Address)
	if err != nil {
		return &exitError{exitWrongRequest, fmt.Sprintf("cannot listen on %s: %v", cfg.Address, err)}
	}
	log.Info().Str("address", listener.Addr().String()).Str("version", version).Msg("listening")
	return serveOn(ctx, listener, server, cfg, log)
}

func serveOn(ctx context.Context, listener net.Listener, server *api.Server, cfg *config, log zerolog.Logger) error {
	h := &http.Server{
		Handler:           server,
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       cfg.RequestTimeout,
		WriteTimeout:      2 * cfg.RequestTimeout, // reading, then calculating and writing
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    64 << 10,
	}
	failed := make(chan error, 1)
	go func() { failed <- h.Serve(listener) }()
	select {
	case err := <-failed:
		return err
	case <-ctx.Done():
	}
	server.Drain()
	log.Info().Dur("delay_ms", cfg.DrainDelay).Dur("grace_ms", cfg.ShutdownGrace).Msg("draining")
	time.Sleep(cfg.DrainDelay)
	grace, cancel := context.WithTimeout(context.WithoutCancel(ctx), cfg.ShutdownGrace)
	defer cancel()
	if err := h.Shutdown(grace); err != nil {
		return fmt.Errorf("some requests were cut off: %w", errors.Join(err, h.Close()))
	}
	log.Info().Msg("stopped")
	return nil
}
