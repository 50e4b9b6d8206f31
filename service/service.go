// Package service answers the questions that callers ask: it chooses methods,
// applies defaults, orders the steps of calc and gathers assumptions, warnings,
// cautions, sources and working beside each result. It knows nothing of HTTP.
package service

// Version of the calculation core, as answers and the contract state it.
const Version = "0.5.0"

// Most rows of any one kind in an answer. A building may be deep and a fixture
// far, so what lists the way to every fixture can be larger than the square of
// the request; see fault.AnswerTooLarge.
const maxRows = 200_000
