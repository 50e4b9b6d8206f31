package api

import (
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/rs/zerolog"

	"recirc/api/body"
	"recirc/calc/arrival"
	"recirc/calc/draw"
	"recirc/calc/fault"
	"recirc/calc/hydraulic"
	"recirc/calc/network"
	"recirc/calc/pipe"
	"recirc/calc/quantity"
	"recirc/calc/rule"
	"recirc/calc/source"
	"recirc/openapi"
	"recirc/service"
)

// The contract is written by hand and so is the code; these tests hold the two
// together, list by list.

func contractDocument(t *testing.T) *openapi3.T {
	t.Helper()
	doc, err := openapi3.NewLoader().LoadFromData(openapi.JSON())
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

func TestVersionIsTheContracts(t *testing.T) {
	doc := contractDocument(t)
	if doc.Info.Version != service.Version {
		t.Errorf("the contract is version %s, the calculation core %s", doc.Info.Version, service.Version)
	}
	if got := doc.Components.Schemas["Version"].Value.Example; got != service.Version {
		t.Errorf("the example of a version is %v, want %s", got, service.Version)
	}
}

func TestRoutesAreTheContracts(t *testing.T) {
	server, err := NewServer(Config{Limits: DefaultLimits(), Log: zerolog.Nop()})
	if err != nil {
		t.Fatal(err)
	}
	var served, listed []string
	for _, r := range server.routes {
		served = append(served, r.Method+" "+r.Path)
	}
	for path, item := range contractDocument(t).Paths.Map() {
		path = strings.NewReplacer("{", ":", "}", "").Replace(path) // as gin writes it
		for method := range item.Operations() {
			listed = append(listed, method+" "+path)
		}
	}
	sameSet(t, "routes", served, listed)
}

// sameSet compares two lists whose order does not matter.
func sameSet[A, B ~string](t *testing.T, what string, code []A, contract []B) {
	t.Helper()
	a, b := asStrings(code), asStrings(contract)
	slices.Sort(a)
	slices.Sort(b)
	if !slices.Equal(a, b) {
		t.Errorf("%s: the code has %q, the contract %q", what, a, b)
	}
}

func asStrings[S ~string](list []S) []string {
	all := make([]string, len(list))
	for i, s := range list {
		all[i] = string(s)
	}
	return all
}

// objectTable is a table of fields without the type it reads into.
type objectTable struct {
	schema        string
	all, required []string
}

func tableOf[T any](o *body.Object[T]) objectTable {
	all, required := o.Names()
	return objectTable{o.Schema, all, required}
}

func objectTables() []objectTable {
	return []objectTable{
		tableOf(deadLegsObject), tableOf(waitTimesObject), tableOf(heatLossesObject), tableOf(startObject), tableOf(pipeFlowObject),
		tableOf(loopDesignsObject), tableOf(loopTargetObject), tableOf(connectionLimitObject), tableOf(returnSizingObject), tableOf(lossMethodsObject),
		tableOf(loopSimulationsObject), tableOf(loopPumpObject), tableOf(pumpPointObject), tableOf(drawObject), tableOf(nodeElevationObject), tableOf(measuredReturnObject),
		tableOf(pumpSelectionsObject), tableOf(selectionDutyObject), tableOf(systemCurveObject), tableOf(pumpCandidateObject), tableOf(pumpCurvePointObject), tableOf(speedRangeObject),
		tableOf(pumpControlObject), tableOf(selectionLimitsObject), tableOf(pumpConditionsObject), tableOf(pumpSuctionObject), tableOf(runningObject), tableOf(rankingObject),
		tableOf(moneyObject), tableOf(energyPriceObject), tableOf(waterPriceObject),
		tableOf(controlSimulationsObject), tableOf(proposalWishObject), tableOf(retrofitComparisonsObject), tableOf(inputRangeObject), tableOf(comparisonRankingObject), tableOf(rankingWeightsObject),
		tableOf(arrangementObject), tableOf(arrangementPumpObject), tableOf(bypassValveObject), tableOf(coldLineObject), tableOf(localHeaterObject), tableOf(installCostObject), tableOf(materialLineObject), tableOf(replacementObject),
		tableOf(controlObject), tableOf(controlWindowObject), tableOf(aquastatObject), tableOf(demandTriggerObject), tableOf(controlCycleObject),
		tableOf(drawPlanObject), tableOf(weekendDrawsObject), tableOf(drawShareObject), tableOf(drawEventObject), tableOf(yearConditionsObject), tableOf(climateObject), tableOf(heatingSeasonObject),
		tableOf(heaterEnergyObject), tableOf(returnPenaltyObject), tableOf(pricesObject), tableOf(escalationObject), tableOf(emissionFactorsObject), tableOf(lifeCycleObject),
		tableOf(designChecksObject), tableOf(designFactsObject), tableOf(fixtureFactsObject), tableOf(pipeFactsObject), tableOf(limitOverrideObject), tableOf(ruleAmountObject), tableOf(waiverObject),
		tableOf(systemObject), tableOf(defaultsObject), tableOf(heaterObject), tableOf(ratedLossObject), tableOf(mixingValveObject),
		tableOf(pipeObject), tableOf(tubeObject), tableOf(fittingObject), tableOf(valveObject),
		tableOf(insulationObject), tableOf(layerObject), tableOf(conductivityPointObject), tableOf(surroundingsObject), tableOf(heatTraceObject), tableOf(fixtureObject),
	}
}

func TestObjectsAreTheContracts(t *testing.T) {
	doc := contractDocument(t)
	for _, table := range objectTables() {
		ref := doc.Components.Schemas[table.schema]
		if ref == nil {
			t.Errorf("the contract has no schema %s", table.schema)
			continue
		}
		s := ref.Value
		sameSet(t, table.schema, table.all, slices.Collect(maps.Keys(s.Properties)))
		sameSet(t, table.schema+", required", table.required, s.Required)
		if closed := s.AdditionalProperties.Has; closed == nil || *closed {
			t.Errorf("%s takes members it does not name; a misspelt one would be ignored", table.schema)
		}
	}
}

// TestEveryRequestObjectHasATable walks the request bodies: each object in them
// is a quantity or has a table above.
func TestEveryRequestObjectHasATable(t *testing.T) {
	doc := contractDocument(t)
	reached := map[string]bool{}
	var walk func(ref *openapi3.SchemaRef)
	walk = func(ref *openapi3.SchemaRef) {
		name := strings.TrimPrefix(ref.Ref, "#/components/schemas/")
		if reached[name] {
			return
		}
		s := ref.Value
		if s.Type.Is("object") {
			reached[name] = true
		}
		for _, p := range s.Properties {
			walk(p)
		}
		for _, p := range s.AllOf {
			walk(p)
		}
		if s.Items != nil {
			walk(s.Items)
		}
	}
	for _, item := range doc.Paths.Map() {
		if item.Post != nil {
			walk(item.Post.RequestBody.Value.Content["application/json"].Schema)
		}
	}
	for _, table := range objectTables() {
		if !reached[table.schema] {
			t.Errorf("no request holds a %s", table.schema)
		}
		delete(reached, table.schema)
	}
	for _, d := range quantity.Dimensions() {
		delete(reached, d.Name)
	}
	if left := slices.Sorted(maps.Keys(reached)); len(left) > 0 {
		t.Errorf("objects of the contract that no table reads: %q", left)
	}
}

// enumAt finds a closed list: a schema's name, then members of objects; a list
// stands for its items.
func enumAt(t *testing.T, doc *openapi3.T, path string) []string {
	t.Helper()
	parts := strings.Split(path, ".")
	ref := doc.Components.Schemas[parts[0]]
	for _, name := range parts[1:] {
		for ref != nil && ref.Value.Items != nil {
			ref = ref.Value.Items
		}
		if ref == nil {
			break
		}
		ref = ref.Value.Properties[name]
	}
	if ref == nil || len(ref.Value.Enum) == 0 {
		t.Errorf("the contract has no closed list %s", path)
		return nil
	}
	var list []string
	for _, v := range ref.Value.Enum {
		list = append(list, v.(string))
	}
	return list
}

func TestClosedListsAreTheContracts(t *testing.T) {
	doc := contractDocument(t)
	kinds := problemKinds()
	types := make([]string, len(kinds))
	for i, k := range kinds {
		types[i] = k.problem("").Type
	}
	var classes []string
	for _, c := range arrival.WaitClasses() {
		classes = append(classes, c.Name)
	}
	var sourceKinds []string
	for _, s := range source.All() {
		if !slices.Contains(sourceKinds, s.Kind) {
			sourceKinds = append(sourceKinds, s.Kind)
		}
	}
	statuses := asStrings([]source.Status{source.Verified, source.Memory})
	lists := []struct {
		at   string
		code []string
	}{
		{"UnitSystem", unitSystems},
		{"DeadLegsRequest.detail", details},
		{"WaitTimesRequest.method", waitMethods},
		{"WaitTimesAnswer.method", waitMethods},
		{"TubeSeries", seriesIDs},
		{"WallMaterial", materials},
		{"BoreBasis", asStrings(pipe.BoreBases())},
		{"FittingType", fittingTypes},
		{"ValveType", valveTypes},
		{"FittingOrValveType", fittingAndValveTypes},
		{"FittingLoss.method", asStrings([]pipe.LossMethod{pipe.LossCoefficient, pipe.EquivalentLength, pipe.LengthOverDiameter, pipe.TwoK, pipe.ThreeK})},
		{"FixtureType", fixtureTypes},
		{"Fixture.hot_flow_basis", flowBases},
		{"WaitTime.hot_flow_basis", slices.Concat(flowBases, []string{"default"})},
		{"Heater.type", heaterTypes},
		{"Heater.type", asStrings([]network.HeaterType{network.Storage, network.Tankless, network.HeatPump, network.Indirect, network.PlateExchanger})},
		{"MixingValve.return_to", returnTo},
		{"Pipe.role", asStrings([]network.Role{network.Supply, network.Return})},
		{"Pipe.role", roles},
		{"Surroundings.type", surroundingsTypes},
		{"HotSource.kind", asStrings([]network.HotKind{network.HotHeater, network.HotCirculated, network.HotTraced})},
		{"LoopTarget.at", targetPlaces},
		{"LossMethods.friction", frictionMethods},
		{"LossMethods.fittings", fittingMethods},
		{"LoopPump.mode", pumpModes},
		{"PumpState.mode", pumpModes},
		{"FlowFloor", asStrings([]service.FlowFloor{service.FloorHeatLoss, service.FloorGiven, service.FloorDefault, service.FloorLeastVelocity, service.FloorValve, service.FloorActivation})},
		{"BalancingValve.setting", asStrings([]service.ValveSetting{service.ValveOpen, service.ValveThrottled, service.ValveSmallest, service.ValveClosed, service.ValveAsSet})},
		{"LoopPipe.role", roles},
		{"LoopPipe.regime", asStrings([]hydraulic.Regime{hydraulic.Standing, hydraulic.Laminar, hydraulic.Transition, hydraulic.Turbulent})},
		{"SimulatedConnection.state", asStrings([]service.ConnectionState{service.Served, service.Cold, service.OverServed, service.Backwards, service.StandsIdle})},
		{"SelectionDuty.basis", dutyBases},
		{"SelectedDuty.basis", dutyBases},
		{"PumpCandidate.arrangement", pumpsInstalled},
		{"PumpControl.mode", candidateModes},
		{"RunningTime.control", runningControls},
		{"Ranking.by", criteria},
		{"PricePerEnergy.per", energyUnits},
		{"SystemCurveFound.derived_from", asStrings([]service.CurveOrigin{service.CurveOfPoints, service.CurveOfDuty, service.CurveOfLoop, service.CurveOfWay})},
		{"RankedPump.not_assessed.check", asStrings([]service.Check{service.CheckVelocity, service.CheckEfficiency, service.CheckNPSH, service.CheckTemperature, service.CheckPressure})},
		{"PumpRejection.code", asStrings([]service.RejectionCode{
			service.ShortOfDuty, service.AboveShutOff, service.BeforeCurve, service.BeyondCurve, service.UnstableOnly, service.ExcessFlow, service.VelocityLimit,
			service.NPSHShort, service.NotApproved, service.TemperatureRating, service.PressureRating,
		})},
		{"PricePerVolume.per", volumeUnits},
		{"ArrangementType", arrangementTypes},
		{"ControlType", controlKinds},
		{"DayType", dayTypes},
		{"DemandTrigger.kind", triggerKinds},
		{"DrawPatternID", patternIDs},
		{"DrawEvent.water", drawnWaters},
		{"DrawServed.water", drawnWaters},
		{"ControlSimulationRequest.span", spans},
		{"ControlSimulationAnswer.span", spans},
		{"EnergyCarrier", carriers},
		{"LifeCycle.basis", studyBases},
		{"ComparisonRanking.by", comparisonCriteria},
		{"RankingResult.by", comparisonCriteria},
		{"RangedInput", rangedInputs},
		{"NotAssessedItem", asStrings(service.NotAssessedItems())},
		{"Payback.state", service.PaybackStates()},
		{"DrawPattern.basis", asStrings([]draw.Basis{draw.Clock, draw.Elapsed})},
		{"PatternDraw.use", asStrings(draw.Uses())},
		{"ControlFinding.code", asStrings(service.ControlFindings())},
		{"LimitVerdict.measures", asStrings([]rule.Measure{rule.DevelopedLength, rule.StoredVolume})},
		{"LimitVerdict.status", asStrings([]rule.Status{rule.Met, rule.NotMet, rule.NotAssessed})},
		{"RuleSeverity", asStrings(rule.Severities())},
		{"RuleStatus", asStrings([]rule.Status{rule.Met, rule.NotMet, rule.NotAssessed})},
		{"DesignRule.status", append(slices.Clone(statuses), string(rule.CommonPractice))},
		{"RuleBound", asStrings([]rule.Bound{rule.AtMost, rule.AtLeast})},
		{"RuleMethod", asStrings([]rule.Method{rule.ByLengthTable, rule.ByVolume})},
		{"RuleSubject", asStrings([]rule.Subject{rule.OfDesign, rule.OfFixture, rule.OfPipe, rule.OfReturn, rule.OfControl})},
		{"WaiverState", asStrings([]service.WaiverState{service.WaiverInForce, service.WaiverExpired, service.WaiverNotJudged})},
		{"RuleClash.kind", asStrings([]service.ClashKind{service.DocumentsClash, service.MethodsClash})},
		{"WaitClassName", classes},
		{"ReadingStatus", statuses},
		{"Problem.type", types},
		{"Fault.code", asStrings(fault.Codes())},
	}
	for _, l := range lists {
		sameSet(t, l.at, l.code, enumAt(t, doc, l.at))
	}
	for name, code := range map[string][]string{"LimitRule": limitIDs, "SizingRule": sizingRules, "RuleSetID": ruleSetIDs} {
		if order := enumAt(t, doc, name); !slices.Equal(order, code) {
			t.Errorf("%s: not in the order of the contract: code %q, contract %q", name, code, order)
		}
	}
	for _, in := range rule.Inputs() {
		if schema := factSchemas[in.Of]; in.Given && in.Kind == rule.Word {
			sameSet(t, in.Name, in.Words, enumAt(t, doc, schema+"."+in.Name))
		}
	}
	listed := enumAt(t, doc, "SourcesAnswer.sources.kind")
	for _, k := range sourceKinds {
		if !slices.Contains(listed, k) {
			t.Errorf("a source is of kind %s, which the contract does not list", k)
		}
	}
}

// factSchemas are the objects of the contract that hold inputs of rules.
var factSchemas = map[rule.Subject]string{rule.OfDesign: "DesignFacts", rule.OfFixture: "FixtureFacts", rule.OfPipe: "PipeFacts"}

// TestFactsAreTheContracts compares kinds, dimensions and bounds of facts.
func TestFactsAreTheContracts(t *testing.T) {
	doc := contractDocument(t)
	for _, in := range rule.Inputs() {
		if !in.Given {
			continue
		}
		ref := doc.Components.Schemas[factSchemas[in.Of]].Value.Properties[in.Name]
		if ref == nil {
			continue // another test says so
		}
		s := ref.Value
		switch in.Kind {
		case rule.Amount:
			if len(s.AllOf) != 1 || s.AllOf[0].Ref != "#/components/schemas/"+in.Dimension.Name {
				t.Errorf("%s is a %s in the code, and not so in the contract", in.Name, in.Dimension.Name)
			}
		case rule.Count:
			if !s.Type.Is("integer") || *s.Min != in.Least || *s.Max != in.Most {
				t.Errorf("%s is a count from %v to %v in the code, and not so in the contract", in.Name, in.Least, in.Most)
			}
		case rule.Flag:
			if !s.Type.Is("boolean") {
				t.Errorf("%s is no boolean in the contract", in.Name)
			}
		}
		if !strings.HasPrefix(strings.ToLower(s.Description), strings.ToLower(strings.TrimSuffix(in.Description, "."))) && in.Kind != rule.Count {
			t.Errorf("%s: the contract says %q, the table %q", in.Name, s.Description, in.Description)
		}
	}
}

func TestUnitsAreTheContracts(t *testing.T) {
	doc := contractDocument(t)
	for _, d := range quantity.Dimensions() {
		sameSet(t, d.Name, d.Symbols(), enumAt(t, doc, d.Name+".unit"))
	}
	written := []string{}
	for _, m := range []rule.Measure{rule.DevelopedLength, rule.StoredVolume} {
		written = append(written, m.Dimension().SI.Symbol, m.Dimension().US.Symbol)
	}
	sameSet(t, "LengthOrVolume", written, enumAt(t, doc, "LengthOrVolume.unit"))
	var judged []string
	for _, d := range []*quantity.Dimension{quantity.FlowDimension, quantity.LengthDimension, quantity.VelocityDimension, quantity.TemperatureDimension, quantity.PressureDimension} {
		judged = append(judged, d.SI.Symbol, d.US.Symbol)
	}
	sameSet(t, "JudgedAmount", judged, enumAt(t, doc, "JudgedAmount.unit"))
	sameSet(t, "RuleAmount", ruleUnits, enumAt(t, doc, "RuleAmount.unit"))
	var found []string
	for _, d := range ruleDimensions() {
		found = appendNew(appendNew(found, d.SI.Symbol), d.US.Symbol)
	}
	sameSet(t, "FindingAmount", found, enumAt(t, doc, "FindingAmount.unit"))
}

// TestNoteCodesAreTheContracts reads the source of service: the codes are
// written where a note is made, and a new one must enter the contract too.
func TestNoteCodesAreTheContracts(t *testing.T) {
	doc := contractDocument(t)
	codes := noteCodes(t, "../service")
	for _, kind := range []string{"Assumption", "Warning", "Caution"} {
		sameSet(t, kind, codes[kind], enumAt(t, doc, kind+".code"))
	}
}

// noteCodes finds the codes in Assumption{Code: "..."}, Caution{Code: "..."} and
// warn("...", ...).
func noteCodes(t *testing.T, folder string) map[string][]string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(folder, "*.go"))
	if err != nil {
		t.Fatal(err)
	}
	found := map[string][]string{}
	add := func(kind string, e ast.Expr) {
		literal, ok := e.(*ast.BasicLit)
		if !ok {
			return // the method that hands a code on
		}
		code, err := strconv.Unquote(literal.Value)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Contains(found[kind], code) {
			found[kind] = append(found[kind], code)
		}
	}
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.CompositeLit:
				if kind, ok := n.Type.(*ast.Ident); ok {
					for _, e := range n.Elts {
						kv, ok := e.(*ast.KeyValueExpr)
						if !ok {
							continue
						}
						if key, ok := kv.Key.(*ast.Ident); ok && key.Name == "Code" {
							add(kind.Name, kv.Value)
						}
					}
				}
			case *ast.CallExpr:
				if f, ok := n.Fun.(*ast.SelectorExpr); ok && f.Sel.Name == "warn" {
					add("Warning", n.Args[0])
				}
			}
			return true
		})
	}
	return found
}
