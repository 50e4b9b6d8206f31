package fault

// Code names a kind of fault. The list is closed and only grows; the contract
// lists the same codes, and a test compares the two.
type Code string

// Faults of the text: it is not JSON at all.
const (
	MalformedJSON Code = "malformed_json"
)

// Faults of form: the contract's schema refuses the value where it stands.
const (
	FieldUnknown   Code = "field_unknown"
	FieldMissing   Code = "field_missing"
	TypeWrong      Code = "type_wrong"
	ValueNotListed Code = "value_not_listed"
	TextLength     Code = "text_length"
	ListLength     Code = "list_length"
	CountRange     Code = "count_range"
	UnitUnknown    Code = "unit_unknown"
	UnitDimension  Code = "unit_not_of_dimension"
)

// Faults of size: more than this service takes on.
const (
	BodyTooLarge    Code = "body_too_large"
	TooManyPipes    Code = "too_many_pipes"
	TooManyFixtures Code = "too_many_fixtures"

	TooManyCandidates Code = "too_many_candidates"
	AnswerTooLarge    Code = "answer_too_large"
)

// Faults of amount: a number that no building has.
const (
	NotFinite  Code = "number_not_finite"
	OutOfRange Code = "out_of_physical_range"
)

// Faults of a query.
const (
	ParameterUnknown Code = "parameter_unknown"
)

// Faults of the tube.
const (
	TubeSeriesMissing  Code = "tube_series_missing"
	TubeNominalUnknown Code = "tube_nominal_unknown"
	TubeIncomplete     Code = "tube_incomplete"
	TubeAmbiguous      Code = "tube_ambiguous"
	TubeContradicts    Code = "tube_contradicts"
)

// Faults of what belongs together and is not given together.
const (
	InsulationIncomplete   Code = "insulation_incomplete"
	SurroundingsIncomplete Code = "surroundings_incomplete"
	HotFlowMissing         Code = "hot_flow_missing"
	StartIncomplete        Code = "start_incomplete"
	UsableAmbiguous        Code = "usable_ambiguous"
	PipeUnknown            Code = "pipe_unknown"
	FixtureUnknown         Code = "fixture_unknown"
	ListedTwice            Code = "listed_twice"
	RatedLossAmbiguous     Code = "rated_loss_ambiguous"
	ValveIncomplete        Code = "valve_incomplete"
	TargetIncomplete       Code = "target_incomplete"
	PumpIncomplete         Code = "pump_incomplete"
	LossesContradict       Code = "losses_contradict"
	DutyIncomplete         Code = "duty_incomplete"
	DutyContradicts        Code = "duty_contradicts"
	RunningIncomplete      Code = "running_incomplete"
	RankingIncomplete      Code = "ranking_incomplete"
	LimitsIncomplete       Code = "limits_incomplete"
)

// Faults of arrangements, their control, their draws and their costs.
const (
	ArrangementIncomplete  Code = "arrangement_incomplete"
	ArrangementContradicts Code = "arrangement_contradicts"
	ArrangementUnknown     Code = "arrangement_unknown"
	VariantDiffers         Code = "variant_differs"
	ControlIncomplete      Code = "control_incomplete"
	ControlContradicts     Code = "control_contradicts"
	DrawsIncomplete        Code = "draws_incomplete"
	DrawsContradict        Code = "draws_contradict"
	TimeMalformed          Code = "time_malformed"
	ConditionsContradict   Code = "conditions_contradict"
	CostAmbiguous          Code = "cost_ambiguous"
	LifeCycleIncomplete    Code = "life_cycle_incomplete"
)

// Faults of what is asked of a check of a design.
const (
	RuleUnknown         Code = "rule_unknown"
	LimitNotOverridable Code = "limit_not_overridable"
	LimitNotOfRule      Code = "limit_not_of_rule"
	DateMalformed       Code = "date_malformed"
	DayUnknown          Code = "day_unknown"
)

// Faults of money.
const (
	CurrencyMalformed Code = "currency_malformed"
	CurrencyMixed     Code = "currency_mixed"
)

// Faults of a curve of heads or powers by flow.
const (
	CurveFlowRepeated     Code = "curve_flow_repeated"
	CurveFlowDecreasing   Code = "curve_flow_decreasing"
	CurveHeadNegative     Code = "curve_head_negative"
	CurveHeadCrossesZero  Code = "curve_head_crosses_zero"
	CurvePowerNegative    Code = "curve_power_negative"
	CurvePowerPartly      Code = "curve_power_partly"
	CurveWithoutOutput    Code = "curve_without_output"
	CurveAtOneFlow        Code = "curve_at_one_flow"
	CurveTooShort         Code = "curve_too_short"
	StaticHeadContradicts Code = "static_head_contradicts"
)

// Faults of a loop: what is asked for cannot be, or not be found.
const (
	ReturnsMissing    Code = "returns_missing"
	NotAConnection    Code = "not_a_connection"
	TargetOutOfReach  Code = "target_out_of_reach"
	NoSizeFits        Code = "no_size_fits"
	NetworkUnsolvable Code = "network_unsolvable"
)

// Faults of the graph.
const (
	DuplicateID       Code = "duplicate_id"
	PipeToItself      Code = "pipe_to_itself"
	SecondParent      Code = "second_parent"
	SupplyCycle       Code = "supply_cycle"
	SupplyIntoHeater  Code = "supply_into_heater"
	NodeUnknown       Code = "node_unknown"
	NodeUnreachable   Code = "node_unreachable"
	PipeLeadsNowhere  Code = "pipe_leads_nowhere"
	ReturnOffSupply   Code = "return_off_supply"
	ReturnNotToHeater Code = "return_not_to_heater"
	ReturnIntoSupply  Code = "return_into_supply"
	ReturnSplits      Code = "return_splits"
	FixtureOffSupply  Code = "fixture_off_supply"
	FixturesMissing   Code = "fixtures_missing"
)

// Codes lists every code, in the order above.
func Codes() []Code {
	return []Code{
		MalformedJSON,
		FieldUnknown, FieldMissing, TypeWrong, ValueNotListed, TextLength, ListLength, CountRange, UnitUnknown, UnitDimension,
		BodyTooLarge, TooManyPipes, TooManyFixtures, TooManyCandidates, AnswerTooLarge,
		NotFinite, OutOfRange, ParameterUnknown,
		TubeSeriesMissing, TubeNominalUnknown, TubeIncomplete, TubeAmbiguous, TubeContradicts,
		InsulationIncomplete, SurroundingsIncomplete, HotFlowMissing, StartIncomplete, UsableAmbiguous, PipeUnknown,
		FixtureUnknown, ListedTwice, RatedLossAmbiguous, ValveIncomplete, TargetIncomplete, PumpIncomplete, LossesContradict,
		DutyIncomplete, DutyContradicts, RunningIncomplete, RankingIncomplete, LimitsIncomplete,
		ArrangementIncomplete, ArrangementContradicts, ArrangementUnknown, VariantDiffers, ControlIncomplete, ControlContradicts, DrawsIncomplete, DrawsContradict, TimeMalformed, ConditionsContradict, CostAmbiguous, LifeCycleIncomplete,
		RuleUnknown, LimitNotOverridable, LimitNotOfRule, DateMalformed, DayUnknown, CurrencyMalformed, CurrencyMixed,
		CurveFlowRepeated, CurveFlowDecreasing, CurveHeadNegative, CurveHeadCrossesZero, CurvePowerNegative, CurvePowerPartly, CurveWithoutOutput, CurveAtOneFlow, CurveTooShort, StaticHeadContradicts,
		ReturnsMissing, NotAConnection, TargetOutOfReach, NoSizeFits, NetworkUnsolvable,
		DuplicateID, PipeToItself, SecondParent, SupplyCycle, SupplyIntoHeater, NodeUnknown, NodeUnreachable, PipeLeadsNowhere,
		ReturnOffSupply, ReturnNotToHeater, ReturnIntoSupply, ReturnSplits, FixtureOffSupply, FixturesMissing,
	}
}
