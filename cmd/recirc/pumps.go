package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"recirc/api"
)

// takePumps gives a command the flag that names a catalogue of pumps.
func takePumps(cmd *cobra.Command) *string {
	cmd.Long = cmd.Short + ".\n\nWith --pumps the candidates come from a table in CSV and stand in the place of those of the request, which may leave them out.\n\n" + api.PumpColumns + "\n\n" + exitCodesExplained
	cmd.Example += "\n  recirc calc " + cmd.Name() + " --pumps catalogue.csv duty.json"
	return cmd.Flags().String("pumps", "", "candidates from a CSV file")
}

// readPumps reads a catalogue, or says what is wrong in which line.
func readPumps(name string, in io.Reader, limit int64) (*api.PumpTable, error) {
	text, err := readFile(name, in, limit)
	switch {
	case err != nil:
		return nil, &exitError{exitWrongRequest, err.Error()}
	case int64(len(text)) > limit:
		return nil, &exitError{exitWrongRequest, fmt.Sprintf("%s is larger than %d bytes", name, limit)}
	}
	table, faults := api.PumpsFromCSV(string(text))
	if len(faults) == 0 {
		return table, nil
	}
	lines := make([]string, len(faults))
	for i, f := range faults {
		lines[i] = fmt.Sprintf("%s:%d: %s", name, f.Line, f.Detail)
	}
	return nil, &exitError{exitWrongRequest, strings.Join(lines, "\n")}
}
