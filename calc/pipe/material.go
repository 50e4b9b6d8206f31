// Package pipe is the catalogue of tubes, fittings and valves, with the
// contents of a tube. Every figure is a row of an embedded table with its
// source and whether it was read in print.
package pipe

import "slices"

// Material is what the wall of a tube is made of.
type Material string

// The materials.
const (
	Copper          Material = "copper"
	PEX             Material = "pex"        // cross-linked polyethylene
	PERT            Material = "pert"       // polyethylene of raised temperature resistance
	CPVC            Material = "cpvc"       // chlorinated polyvinyl chloride
	PPR             Material = "ppr"        // polypropylene random copolymer
	PEXAlPEX        Material = "pex_al_pex" // PEX, aluminium, PEX
	PEAlPE          Material = "pe_al_pe"   // polyethylene, aluminium, polyethylene
	Multilayer      Material = "multilayer" // PE-X or PE-RT with aluminium, metric
	SteelGalvanised Material = "steel_galvanised"
	SteelStainless  Material = "steel_stainless"
)

// Materials lists the materials.
func Materials() []Material {
	return []Material{Copper, PEX, PERT, CPVC, PPR, PEXAlPEX, PEAlPE, Multilayer, SteelGalvanised, SteelStainless}
}

// BoreBasis is where a bore comes from. Plastic tube of one nominal size has
// bores several percent apart, depending on which wall is meant.
type BoreBasis string

// The bases of a catalogue bore: outside diameter less two such walls, or a
// list of greatest outside diameters.
const (
	NominalWall            BoreBasis = "nominal_wall"
	MinimumWall            BoreBasis = "minimum_wall"
	MeanWall               BoreBasis = "mean_wall" // minimum plus half the tolerance
	MaximumOutsideDiameter BoreBasis = "maximum_outside_diameter"
)

// The bases of a caller's own tube.
const (
	Given            BoreBasis = "given"              // the inside diameter as given
	OutsideLessWalls BoreBasis = "outside_less_walls" // the outside diameter as given, less two walls
)

// BoreBases lists the bases, those of the catalogue first.
func BoreBases() []BoreBasis {
	return slices.Concat(catalogueBases(), []BoreBasis{Given, OutsideLessWalls})
}

func catalogueBases() []BoreBasis {
	return []BoreBasis{NominalWall, MinimumWall, MeanWall, MaximumOutsideDiameter}
}
