package service_test

// checkCases: lengths, volumes, waits, R-values and temperatures are those of the case
// or follow from them by the bore of the tube (ASTM B88, ASTM F876); limits are those of
// the documents in testdata/requirement_rows.csv of calc/rule, and practice where the
// rule is good practice.
var checkCases = []checkCase{
	{
		id: "G01", told: "36 ft of 1/2 in to a lavatory of a shop: the plumbing code passes, both methods of the energy code do not; 0.436 gal take 52 s at 0.5 gal/min",
		design: "building=commercial fixture=public_lavatory_faucet branch=36ft flow=0.5gal/min",
		ends: `ipc_607_2 met 36ft 50ft
			practice_50_ft met 36ft 50ft
			iecc_c404_5_1_length not_met 36ft 2ft
			iecc_c404_5_2_volume not_met 0.436269gal 2fl_oz
			aspe_acceptable not_met 52.352s 10s
			aspe_marginal not_met 52.352s 30s`,
	},
	{
		id: "G01", told: "the mop sink at the end of the same run is no public lavatory: the other row of the table and 64 fl oz",
		design: "building=commercial fixture=service_sink_faucet branch=36ft flow=0.5gal/min",
		ends: `iecc_c404_5_1_length met 36ft 43ft
			iecc_c404_5_2_volume met 0.436269gal 64fl_oz`,
	},
	{
		id: "G01", told: "10 s at 0.5 gal/min are 6.88 ft: more is refuted by plug flow, less is not proved by it",
		design: "fixture=public_lavatory_faucet branch=6.95ft flow=0.5gal/min",
		ends:   `aspe_acceptable not_met 10.107s 10s`,
	},
	{
		id: "G01", told: "see above", design: "fixture=public_lavatory_faucet branch=6.8ft flow=0.5gal/min",
		ends: `aspe_acceptable not_assessed`,
	},
	{
		id: "G01", told: "the 2 ft of the table hold 3.1 fl oz of type L, and the volume method allows 2: its two methods clash, and 2.9 s are well below 10 s",
		design: "building=commercial fixture=public_lavatory_faucet branch=2ft flow=0.5gal/min time_to_hot=2.9s",
		ends: `iecc_c404_5_1_length met 2ft 2ft
			iecc_c404_5_2_volume not_met 3.1024fl_oz 2fl_oz
			aspe_acceptable met 2.9s 10s`,
	},
	{
		id: "G03", told: "the table of lengths is no table of 64 fl oz: of 1/2 in type L 41.26 ft hold it and the table allows 43",
		design: "building=commercial branch=42ft",
		ends: `iecc_c404_5_1_length met 42ft 43ft
			iecc_c404_5_2_volume not_met 65.15fl_oz 64fl_oz`,
	},
	{
		id: "G03", told: "of 1/2 in PEX at its least wall 52.1 ft hold 64 fl oz, the table stops at 43",
		design: "building=commercial series=pex_sdr9_min_wall branch=51ft",
		ends: `iecc_c404_5_1_length not_met 51ft 43ft
			iecc_c404_5_2_volume met 62.65fl_oz 64fl_oz`,
	},
	{
		id: "G03", told: "of 3/4 in type L 19.89 ft hold it, the table allows 21",
		design: "building=commercial nominal=3/4 branch=20ft",
		ends: `iecc_c404_5_1_length met 20ft 21ft
			iecc_c404_5_2_volume not_met 64.363fl_oz 64fl_oz`,
	},
	{
		id: "G03", told: "of 3/8 in the table takes 50 ft whatever it holds",
		design: "building=commercial series=pex_sdr9 nominal=3/8 branch=50.1ft",
		ends:   `iecc_c404_5_1_length not_met 50.1ft 50ft`,
	},
	{
		id: "G05", told: "1/2 in at 0.27 on 3/4 in copper looks like R-3 if thickness is divided by conductivity, and is R 2.65 on the outer radius; 3 needs r2 ln(r2/0.4375) = 0.27*3, so 0.553 in",
		design: "building=residential nominal=3/4 place=conditioned insulation=0.5in@0.27",
		ends: `irc_n1103_5_2_size not_met 2.65h.ft2.degF/Btu 3h.ft2.degF/Btu
			iecc_residential_r3 not_met 0.5in 0.5533in`,
	},
	{
		id: "G05", told: "0.57 in is enough", design: "building=residential nominal=3/4 place=conditioned insulation=0.57in@0.27",
		ends: `irc_n1103_5_2_size met
			iecc_residential_r3 met`,
	},
	{
		id: "G05", told: "whether the bare pipe of the picture is a violation hangs on its size and place: 1/2 in indoors is none",
		design: "building=residential nominal=1/2 place=conditioned insulation=0",
		ends: `irc_n1103_5_2_size silent
			irc_n1103_5_2_place silent
			iecc_residential_r3 silent`,
	},
	{
		id: "G05", told: "under a slab any size needs it", design: "building=residential nominal=1/2 place=under_slab insulation=0",
		ends: `irc_n1103_5_2_place not_met 0h.ft2.degF/Btu 3h.ft2.degF/Btu`,
	},
	{
		id: "G05", told: "without the place the 2021 text cannot be assessed, the older one can",
		design: "building=residential nominal=3/4 insulation=0",
		ends: `irc_n1103_5_2_size not_assessed
			iecc_residential_r3 not_met`,
	},
	{
		id: "G07", told: "27.6 m at 0.145 L/m", design: "bore=13.58749mm branch=27.5m",
		ends: `sans_10252_1_4_litres met 3.9875L 4L`,
	},
	{
		id: "G07", told: "27.6 m at 0.145 L/m", design: "bore=13.58749mm branch=27.7m",
		ends: `sans_10252_1_4_litres not_met 4.0165L 4L`,
	},
	{
		id: "G07", told: "12.5 m at 0.32 L/m", design: "bore=20.18510mm branch=12.45m",
		ends: `sans_10252_1_4_litres met 3.984L 4L`,
	},
	{
		id: "G07", told: "12.5 m at 0.32 L/m", design: "bore=20.18510mm branch=12.55m",
		ends: `sans_10252_1_4_litres not_met 4.016L 4L`,
	},
	{
		id: "G07", told: "behind 6 m of 22 mm are left 14.34 m of 15 mm, though it alone could have 27.6",
		design: "bore=13.58749mm branch=14.3m", edit: sixMetresBefore,
		ends: `sans_10252_1_4_litres met 3.9935L 4L`,
	},
	{
		id: "G07", told: "see above", design: "bore=13.58749mm branch=14.4m", edit: sixMetresBefore,
		ends: `sans_10252_1_4_litres not_met 4.008L 4L`,
	},
	{
		id: "G09", told: "12 m of 22 mm bare keep the length, and at 6 L/min hot water is not there in 30 s", design: "tube=22x0.9mm branch=12m insulation=0",
		ends: `uk_uninsulated_length met 12m 12m
			uk_g18_4_time not_met 38.45s 30s`,
	},
	{
		id: "I01", told: "store 140, mixed 120, back 110 degF: the return joins heater and mixing valve, and the least flow of the valve is below that of the loop",
		design: "outlet=140degF mixing=120degF join=both least=2L/min return=yes return_temperature=110degF circulation_flow=3L/min",
		ends: `practice_return_joins_both met
			practice_mixing_valve_flow met 3L/min 2L/min
			usace_drop met
			hse_return not_met`,
	},
	{
		id: "I01", told: "to the heater alone, and a valve that needs more than circulates",
		design: "outlet=140degF mixing=120degF join=heater least=4L/min return=yes circulation_flow=3L/min",
		ends: `practice_return_joins_both not_met
			practice_mixing_valve_flow not_met 3L/min 4L/min`,
	},
	{
		id: "I01", told: "where it joins is not told", design: "outlet=140degF mixing=120degF return=yes",
		ends: `practice_return_joins_both not_assessed
			practice_mixing_valve_flow not_assessed`,
	},
	{
		id: "I03", told: "logging the outlet of the store alone leaves the loop unjudged",
		design: "outlet=60degC return=yes storage_volume=500L",
		ends: `hse_store met 60degC 60degC
			w551_store met 60degC 60degC
			hse_return not_assessed
			w551_loop not_assessed
			w551_drop not_assessed
			nf_dtu_60_11_loop not_assessed`,
	},
	{
		id: "I03", told: "the floors differ: 52 degC at the coldest point do for France and for the return in Britain, not for Germany, nor for health care",
		design: "outlet=60degC return=yes storage_volume=500L return_temperature=52degC lowest_loop_temperature=52degC health_care=yes",
		ends: `hse_return met 52degC 50degC
			hse_return_health_care not_met 52degC 55degC
			nf_dtu_60_11_loop met 52degC 50degC
			w551_loop not_met 52degC 55degC
			w551_drop not_met 8K 5K`,
	},
	{
		id: "I03", told: "60 out and 55 back, a drop of 5 K", design: "outlet=60degC return=yes storage_volume=500L return_temperature=55degC lowest_loop_temperature=55degC",
		ends: `w551_store met 60degC 60degC
			w551_loop met 55degC 55degC
			w551_drop met 5K 5K`,
	},
	{
		id: "I03", told: "a house with a small store is no large plant", design: "outlet=50degC return=yes storage_volume=120L",
		ends: `w551_store silent
			hse_store not_met 50degC 60degC`,
	},
	{
		id: "I03", told: "124 degF are 51.1 degC: the rounded 51 degC are below it", design: "outlet=140degF return=yes health_care=yes return_temperature=51degC",
		ends: `ashrae_guideline_12_return not_met 51degC 124degF
			ashrae_guideline_12_store met 140degF 140degF`,
	},
	{
		id: "I03", told: "0.2 m/s in the return", design: "return=yes circulation_flow_in_pipe=v0.2",
		ends: `nf_dtu_60_11_least_velocity met 0.2m/s 0.2m/s`,
	},
	{
		id: "I03", told: "0.2 m/s in the return", design: "return=yes circulation_flow_in_pipe=v0.19",
		ends: `nf_dtu_60_11_least_velocity not_met 0.19m/s 0.2m/s`,
	},
	{
		id: "I05", told: "80 gal at 150 degF mixed to 120: the store is hot enough, and the valve keeps the tap from 150",
		design: "outlet=150degF mixing=120degF storage_volume=80gal fixture=shower",
		ends: `hse_store met
			w551_large_store met 302.83L 400L
			practice_scald_protection silent`,
	},
	{
		id: "I05", told: "without the mixing valve 150 degF reach the shower", design: "outlet=150degF fixture=shower limiting_device=no",
		ends: `practice_scald_protection not_met`,
	},
	{
		id: "F01", told: "aquastat 20 F below a supply of 120, design drop 10 F: it is within reach both ways",
		design: "outlet=120degF around=70degF return=yes return_temperature=110degF control=aquastat aquastat=90degF-100degF",
		ends: `practice_aquastat_stop met
			practice_aquastat_start met
			usace_drop met`,
	},
	{
		id: "F01", told: "set above the steady return of 110 the sensor never reads its stop, and the pump does not stop",
		design: "outlet=120degF around=70degF return=yes return_temperature=110degF control=aquastat aquastat=105degF-115degF",
		ends:   `practice_aquastat_stop not_met`,
	},
	{
		id: "F01", told: "500 Btu/h at 10 F ask for 0.1 gal/min, which creeps: 0.042 m/s in 1/2 in type L",
		design: "outlet=120degF return=yes circulation_flow=0.1gal/min",
		ends:   `nf_dtu_60_11_least_velocity not_met 0.041919m/s 0.2m/s`,
	},
	{
		id: "F02", told: "aquastat 190, tank 130 degF: the pump never stops", design: "outlet=130degF return=yes control=aquastat aquastat=180degF-190degF",
		ends: `practice_aquastat_stop not_met`,
	},
	{
		id: "F02", told: "110 degF as advised lets it stop; the advised 130 degF of the tank is below the 60 degC wanted of a store",
		design: "outlet=130degF return=yes control=aquastat aquastat=100degF-110degF",
		ends: `practice_aquastat_stop met
			hse_store not_met 130degF 60degC
			ashrae_guideline_12_store not_met 130degF 140degF`,
	},
	{
		id: "C01", told: "a crossover at the far basin that closes at 100 degF, with a pump that does not stop by temperature: it runs on against a closed valve; a return of its own is better",
		design: "building=residential return_path=cold_line control=continuous crossover_closes_at=100degF cold_line_temperature=100degF",
		ends: `practice_crossover_closed_valves not_met
			practice_crossover_cold_line not_met
			iecc_r403_5_2 met 100degF 104degF
			ipc_607_2_1_2 met 100degF 104degF`,
	},
	{
		id: "C01", told: "warmer water than 104 degF in the cold tap speaks for a leaking valve",
		design: "building=residential return_path=cold_line control=continuous crossover_closes_at=100degF cold_line_temperature=110degF",
		ends:   `iecc_r403_5_2 not_met 110degF 104degF`,
	},
	{
		id: "C02", told: "water runs backwards through the return: no check valve", design: "building=residential return=yes",
		ends: `upc_606_9 not_met
			practice_check_valve not_met
			practice_pump_isolation not_assessed`,
	},
	{
		id: "C02", told: "with the check valve, isolation valves and timer of the answer; the manual switch alone meets the old energy code",
		design: "building=residential return=yes ret_valve=check isolation_valves_at_pump=yes control=timer",
		ends: `upc_606_9 met
			practice_check_valve met
			practice_pump_isolation met
			iecc_403_4_switch met
			iecc_r403_5_1_1 not_met`,
	},
	{
		id: "C05", told: "the valve closes at 95 degF, within what is let into a cold line; that it passes water at every cold draw, with the pump off too, is why a return of its own is advised",
		design: "building=residential return_path=cold_line cold_line_temperature=95degF control=on_demand aquastat=80degF-90degF crossover_closes_at=95degF",
		ends: `iecc_r403_5_2 met 95degF 104degF
			practice_crossover_closed_valves met
			practice_crossover_cold_line not_met`,
	},
	{
		id: "C06", told: "crossing at mixing fittings without check stops cools a riser as a fault of balance does", design: "return=yes check_stops_at_mixers=no",
		ends: `practice_check_stops not_met`,
	},
	{
		id: "C06", told: "with them", design: "return=yes check_stops_at_mixers=yes",
		ends: `practice_check_stops met`,
	},
	{
		id: "C06", told: "nothing said of them is not assessed, never passed", design: "return=yes",
		ends: `practice_check_stops not_assessed`,
	},
	{
		id: "practice", told: "50 ft as the longest run from a hot source", design: "branch=50.5ft",
		ends: `practice_50_ft not_met 50.5ft 50ft`,
	},
	{
		id: "practice", told: "the run counts from the loop, not from the heater: 10 ft of supply are before it", design: "return=yes branch=45ft",
		ends: `practice_50_ft met 45ft 50ft`,
	},
	{
		id: "practice", told: "a pumped return has a check valve and joins the cold feed of the heater", design: "return=yes ret_valve=check return_joins_cold_feed=yes",
		ends: `practice_check_valve met
			practice_return_to_cold_feed met`,
	},
	{
		id: "practice", told: "see above", design: "return=yes return_joins_cold_feed=no",
		ends: `practice_check_valve not_met
			practice_return_to_cold_feed not_met`,
	},
}
