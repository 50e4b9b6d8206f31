package main

import (
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"recirc/api"
	"recirc/api/designfile"
)

func calcCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "calc",
		Short: "Calculate from a file, without a server",
		Long:  "Calculate from a file or from standard input (-). The JSON is that of POST /v1/NAME, and so is the answer, byte for byte. A file that ends in .yaml or .yml holds the same as YAML.\n\n" + exitCodesExplained,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return fmt.Errorf("there is no calculation %q", args[0])
			}
			return cmd.Help()
		},
	}
	for _, c := range api.Calculations() {
		cmd.AddCommand(calculationCommand(c))
	}
	return cmd
}

func calculationCommand(c api.Calculation) *cobra.Command {
	cmd := &cobra.Command{
		Use:     c.Name + " FILE|-",
		Short:   "Answer what POST /v1/" + c.Name + " answers",
		Example: "  recirc calc " + c.Name + " house.json\n  recirc calc " + c.Name + " - < house.json",
		Args:    cobra.ExactArgs(1),
	}
	pumps := new(string)
	if c.Name == "pump-selections" {
		pumps = takePumps(cmd)
	}
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		limits := api.DefaultLimits()
		text, err := readFile(args[0], cmd.InOrStdin(), limits.BodyBytes)
		if err != nil {
			return &exitError{exitWrongRequest, err.Error()}
		}
		request, err := asJSON(args[0], string(text), limits)
		if err != nil {
			return err
		}
		table := (*api.PumpTable)(nil)
		if *pumps != "" {
			if table, err = readPumps(*pumps, cmd.InOrStdin(), limits.BodyBytes); err != nil {
				return err
			}
			request = table.Into(request)
		}
		answer, problem := c.Answer(request, limits)
		if problem != nil {
			inTable := table != nil && table.Locate(problem, *pumps)
			return report(cmd.OutOrStdout(), args[0], problem, inTable)
		}
		_, err = cmd.OutOrStdout().Write(answer)
		return err
	}
	return cmd
}

// asJSON gives the text of a design as JSON, also where it was written as YAML.
func asJSON(name, text string, limits api.Limits) (string, error) {
	if !designfile.IsYAML(name) || int64(len(text)) > limits.BodyBytes {
		return text, nil
	}
	file, fault := designfile.Read(name, text, int(limits.BodyBytes))
	if fault != nil {
		return "", &exitError{exitWrongRequest, fmt.Sprintf("%s:%d:%d: %s", name, fault.Line, fault.Column, fault.Detail)}
	}
	return file.JSON, nil
}

// readFile reads a file, or standard input for -, and one byte over the limit
// at most.
func readFile(name string, in io.Reader, limit int64) ([]byte, error) {
	if name != "-" {
		f, err := os.Open(name)
		if err != nil {
			return nil, err
		}
		defer func() { _ = f.Close() }()
		in = f
	}
	return io.ReadAll(io.LimitReader(in, limit+1))
}

// report prints a problem and turns it into an exit code. A fault in a table of
// pumps is one of the call, not of the design.
func report(out io.Writer, file string, p *api.Problem, inTable bool) error {
	p.Instance, p.RequestID = "urn:recirc:request:local", "local"
	if _, err := fmt.Fprintf(out, "%s\n", p.JSON()); err != nil {
		return err
	}
	code, text := exitWrongRequest, file+": "+p.Detail
	if p.Status == 422 {
		code, text = exitDesignFaults, fmt.Sprintf("%s: %d faults, the first: %s", file, len(p.Errors)+p.ErrorsLeftOut, p.Errors[0].Detail)
	}
	if inTable {
		code = exitWrongRequest
	}
	return &exitError{code, text}
}
