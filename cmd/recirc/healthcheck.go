package main

import (
	"context"
	"fmt"
	"net"
	"net/http"
	"time"

	"github.com/spf13/cobra"
)

func healthcheckCommand() *cobra.Command {
	cfg, envErr := configFromEnvironment()
	cmd := &cobra.Command{
		Use:   "healthcheck",
		Short: "Ask a running service whether it is ready; for a container's HEALTHCHECK",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if envErr != nil {
				return &exitError{exitWrongRequest, envErr.Error()}
			}
			if err := checkHealth(cmd.Context(), cfg.Address); err != nil {
				return &exitError{exitDesignFaults, err.Error()}
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&cfg.Address, "address", cfg.Address, "address the service listens on (RECIRC_ADDRESS)")
	return cmd
}

func checkHealth(ctx context.Context, address string) error {
	host, port, err := net.SplitHostPort(address)
	if err != nil {
		return err
	}
	if ip := net.ParseIP(host); host == "" || ip != nil && ip.IsUnspecified() {
		host = "127.0.0.1"
	}
	ctx, cancel := context.WithTimeout(ctx, 2*time.Second)
	defer cancel()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+net.JoinHostPort(host, port)+"/readyz", nil)
	if err != nil {
		return err
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return err
	}
	_ = res.Body.Close()
	if res.StatusCode != http.StatusOK {
		return fmt.Errorf("not ready: %s", res.Status)
	}
	return nil
}
