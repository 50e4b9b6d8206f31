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

// price is money for an amount of something, as it is written.
type price struct {
	service.Money
	per float64 // in SI
}

// newPriceObject reads a price for an amount of a dimension.
func newPriceObject(schema string, d *quantity.Dimension) *body.Object[price] {
	units := d.Symbols()
	return body.NewObject(schema,
		body.Required("amount", func(r *body.Reader, p *price) { p.Amount, _ = r.Number(0, mostMoney) }),
		body.Required("currency", func(r *body.Reader, p *price) { p.Currency = currency(r) }),
		body.Required("per", func(r *body.Reader, p *price) {
			unit, _ := d.Unit(oneOf(r, units))
			p.per = unit.ToSI(1)
		}),
	)
}

var (
	energyPriceObject = newPriceObject("PricePerEnergy", quantity.EnergyDimension)
	waterPriceObject  = newPriceObject("PricePerVolume", quantity.VolumeDimension)
	energyUnits       = quantity.EnergyDimension.Symbols()
	volumeUnits       = quantity.VolumeDimension.Symbols()
)

// unitPrice is the amount for one in SI; of a price that could not be read only the
// currency counts.
func (p *price) unitPrice() float64 {
	if p.per == 0 {
		return 0
	}
	return p.Amount / p.per
}

func readEnergyPrice(r *body.Reader) *service.EnergyPrice {
	p := readNew(r, energyPriceObject)
	return &service.EnergyPrice{PerJoule: p.unitPrice(), Currency: p.Currency}
}

func readWaterPrice(r *body.Reader) *service.WaterPrice {
	p := readNew(r, waterPriceObject)
	return &service.WaterPrice{PerCubicMetre: p.unitPrice(), Currency: p.Currency}
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
