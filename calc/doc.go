// Package calc is the calculation core: pure functions and values in SI, as
// small packages that each are a term of the trade. This package itself holds
// no code, only the rules between them and the test that keeps those rules.
//
// The packages stand in levels, and each imports only packages of lower levels:
//
//	ground   internal/table and internal/solve: how embedded tables are read and
//	         equations solved
//	level 0  what every package speaks in: quantities, sources, faults, days
//	level 1  what things are: tubes, fixtures, water and its mains, air
//	level 2  what happens: heat lost, the hot front, draws, controls; what one
//	         process needs of another it takes as an argument, so that a book's
//	         example tests it
//	level 3  what joins them: the system graph, and rules about it
//
// Nothing here reads a clock, a file, the environment or the network, logs, or
// draws a random number: the same request gives the same bytes, on every
// machine and in every year. Tests are free of these rules.
package calc
