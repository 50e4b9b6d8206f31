package service

import "recirc/calc/fault"

// oneCurrency is the currency of a request, that of the first money in it.
type oneCurrency struct{ code string }

// take looks at the currency of some money; what could not be read is empty.
func (c *oneCurrency) take(currency, pointer string, faults *fault.List) {
	if currency == "" {
		return
	}
	if c.code == "" {
		c.code = currency
	}
	if currency != c.code {
		faults.Add(pointer, fault.CurrencyMixed, "This is in %s, and other money of the request in %s; use one currency.", currency, c.code)
	}
}
