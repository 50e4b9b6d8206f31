package main

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"recirc/openapi"
	"recirc/service"
)

// Exit codes, as the help says them.
const (
	exitAnswered       = 0
	exitDesignFaults   = 1
	exitWrongRequest   = 2
	exitCodesExplained = `Exit codes:
  0  answered
  1  the design has faults; the problem on standard output lists them
  2  the request is wrong: not JSON, too large, unreadable, or wrongly called`
)

// exitError carries an exit code through the command tree.
type exitError struct {
	code int
	text string
}

func (e *exitError) Error() string { return e.text }

// run is the whole program; tests start it too.
func run(ctx context.Context, args []string, in io.Reader, out, errs io.Writer) int {
	root := &cobra.Command{
		Use:           "recirc",
		Short:         "Dead legs, waits and published limits of hot-water systems",
		Long:          "recirc calculates domestic hot-water recirculation: dead legs, waits for hot water and the published limits they keep.\n\n" + exitCodesExplained,
		SilenceUsage:  true,
		SilenceErrors: true,
	}
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errs)
	root.SetArgs(args)
	root.CompletionOptions.HiddenDefaultCmd = true
	root.AddCommand(serveCommand(), checkCommand(), calcCommand(), contractCommand(), healthcheckCommand(), versionCommand())
	err := root.ExecuteContext(ctx)
	var exit *exitError
	switch {
	case err == nil:
		return exitAnswered
	case errors.As(err, &exit):
		_, _ = fmt.Fprintln(errs, "recirc:", exit.text)
		return exit.code
	}
	_, _ = fmt.Fprintf(errs, "recirc: %v\nRun 'recirc --help' for what there is.\n", err)
	return exitWrongRequest
}

func contractCommand() *cobra.Command {
	var format string
	cmd := &cobra.Command{
		Use:     "contract",
		Short:   "Print the OpenAPI contract, examples included",
		Example: "  recirc contract > openapi.yaml\n  recirc contract --format json",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			text := openapi.YAML()
			switch format {
			case "yaml":
			case "json":
				text = append(openapi.JSON(), '\n')
			default:
				return &exitError{exitWrongRequest, fmt.Sprintf("--format is yaml or json, not %q", format)}
			}
			_, err := cmd.OutOrStdout().Write(text)
			return err
		},
	}
	cmd.Flags().StringVar(&format, "format", "yaml", "yaml or json")
	return cmd
}

func versionCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Print the version of the binary and of the calculation core",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			_, err := fmt.Fprintf(cmd.OutOrStdout(), "recirc %s, calculation core %s\n", version, service.Version)
			return err
		},
	}
}
