package api

import (
	"recirc/api/body"
	"recirc/calc/fault"
	"recirc/calc/quantity"
	"recirc/service"
)

var moneyObject = body.NewObject("Money",
	body.Required("amount", func(r *body.Reader, m *service.Money) { m.Amount, _ = r.Number(-mostMoney, mostMoney) }),
	body.Required("currency", func(r *body.Reader, m *service.Money) { m.Currency = currency(r) }),
)

const mostMoney = 1e12

// energyPrice is a price as it is written.
type energyPrice struct {
	service.Money
	joules float64
}

var energyPriceObject = body.NewObject("PricePerEnergy",
	body.Required("amount", func(r *body.Reader, p *energyPrice) { p.Amount, _ = r.Number(0, mostMoney) }),
	body.Required("currency", func(r *body.Reader, p *energyPrice) { p.Currency = currency(r) }),
	body.Required("per", func(r *body.Reader, p *energyPrice) {
		unit, _ := quantity.EnergyDimension.Unit(oneOf(r, energyUnits))
		p.joules = unit.ToSI(1)
	}),
)

var energyUnits = quantity.EnergyDimension.Symbols()

// readEnergyPrice reads a price; of a wrong one only the currency counts.
func readEnergyPrice(r *body.Reader) *service.EnergyPrice {
	var p energyPrice
	energyPriceObject.Read(r, &p)
	if p.joules == 0 {
		p.joules = 1
	}
	return &service.EnergyPrice{PerJoule: p.Amount / p.joules, Currency: p.Currency}
}

// waterPrice is a price of water as it is written.
type waterPrice struct {
	service.Money
	cubicMetres float64
}

var waterPriceObject = body.NewObject("PricePerVolume",
	body.Required("amount", func(r *body.Reader, p *waterPrice) { p.Amount, _ = r.Number(0, mostMoney) }),
	body.Required("currency", func(r *body.Reader, p *waterPrice) { p.Currency = currency(r) }),
	body.Required("per", func(r *body.Reader, p *waterPrice) {
		unit, _ := quantity.VolumeDimension.Unit(oneOf(r, volumeUnits))
		p.cubicMetres = unit.ToSI(1)
	}),
)

var volumeUnits = quantity.VolumeDimension.Symbols()

// readWaterPrice reads a price; of a wrong one only the currency counts.
func readWaterPrice(r *body.Reader) *service.WaterPrice {
	var p waterPrice
	waterPriceObject.Read(r, &p)
	if p.cubicMetres == 0 {
		p.cubicMetres = 1
	}
	return &service.WaterPrice{PerCubicMetre: p.Amount / p.cubicMetres, Currency: p.Currency}
}

// currency reads three capital letters; empty if they are none.
func currency(r *body.Reader) string {
	s, ok := r.Text(0, 1<<30)
	if !ok {
		return ""
	}
	capitals := len(s) == 3
	for i := range len(s) {
		capitals = capitals && s[i] >= 'A' && s[i] <= 'Z'
	}
	if !capitals {
		r.Fault(fault.CurrencyMalformed, "A currency is written as three capital letters, as ISO 4217 has them, such as EUR or USD.")
		return ""
	}
	return s
}

// readPrice reads what a pump costs, which is not below zero.
func readPrice(r *body.Reader) *service.Money {
	var m service.Money
	moneyObject.Read(r, &m)
	if m.Amount < 0 {
		r.FaultAt("amount", fault.OutOfRange, "A price is not below zero.")
	}
	return &m
}
