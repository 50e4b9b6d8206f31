package api

import (
	"slices"

	"github.com/gin-gonic/gin"

	"recirc/calc/pipe"
	"recirc/calc/source"
	"recirc/service"
)

type (
	fittingsAnswer struct {
		Version    string        `json:"version"`
		UnitSystem string        `json:"unit_system"`
		Fittings   []fittingLoss `json:"fittings"`
		Sources    []source.ID   `json:"sources"`
	}
	fittingLoss struct {
		Type               string          `json:"type"`
		Description        string          `json:"description"`
		Joint              string          `json:"joint,omitempty"`
		Nominal            string          `json:"nominal,omitempty"`
		Method             pipe.LossMethod `json:"method"`
		EquivalentLength   amount          `json:"equivalent_length,omitzero"`
		LossCoefficient    number          `json:"loss_coefficient,omitzero"`
		LengthOverDiameter number          `json:"length_over_diameter,omitzero"`
		K1                 number          `json:"k1,omitzero"`
		KInfinity          number          `json:"k_infinity,omitzero"`
		KD                 number          `json:"k_d,omitzero"`
		Source             source.ID       `json:"source"`
		Status             source.Status   `json:"status"`
		Note               string          `json:"note,omitempty"`
	}
)

var fittingAndValveTypes = slices.Concat(fittingTypes, valveTypes)

func fittings(c *gin.Context) {
	q := query(c, "type", "unit_system")
	wanted, u := q.oneOf("type", fittingAndValveTypes), q.units()
	if q.refused() {
		return
	}
	a := fittingsAnswer{Version: service.Version, UnitSystem: u.name(), Fittings: []fittingLoss{}}
	rows := service.Fittings(wanted)
	for _, f := range rows {
		row := fittingLoss{
			Type: f.Type, Description: f.Description, Joint: f.Joint, Nominal: f.Nominal, Method: f.Method,
			LossCoefficient: number(f.LossCoefficient), LengthOverDiameter: number(f.LengthOverDiameter),
			K1: number(f.K1), KInfinity: number(f.KInfinity), KD: number(f.KD),
			Source: f.Source, Status: f.Status, Note: f.Note,
		}
		if f.Method == pipe.EquivalentLength {
			row.EquivalentLength = u.length(f.EquivalentLength)
		}
		a.Fittings = append(a.Fittings, row)
	}
	a.Sources = cited(rows, func(f pipe.FittingLoss) source.ID { return f.Source })
	reply(c, a)
}
