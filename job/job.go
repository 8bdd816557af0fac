// Package job is what the welder knows: the job file and the shop file.
//
// Every technical field may be unknown, and unknown is a value of its own. A
// job is read strictly (see Read): an unknown key, a missing unit, an ambiguous
// or impossible value is one sentence with file, line and column.
//
// Field tags: yaml is the key; doc is the sentence shown in the documentation
// and in the JSON Schema; short on a struct's field says that a bare scalar in
// the place of the struct fills that field ("machine: tipper").
package job

import q "soundmetal/quantity"

// Version is the version of the job format that this build writes.
const Version = 1

// Job is one call-out: one machine at one site, one or more damage items.
type Job struct {
	Version  int      `yaml:"version" doc:"format version; 1"`
	Units    Units    `yaml:"units" doc:"system of bare numbers and of the printout: us or si"`
	Name     string   `yaml:"job" doc:"name of the job, in your words"`
	Customer Customer `yaml:"customer" short:"name" doc:"who calls and who may say yes"`
	Site     Site     `yaml:"site" short:"where" doc:"where and in what weather"`
	Machine  Machine  `yaml:"machine" short:"kind" doc:"the machine the part belongs to"`
	Items    []Item   `yaml:"items" doc:"one entry for each damaged place; a job with one place may give the item's fields at the top level"`
	Wanted   Wanted   `yaml:"wanted" doc:"what the customer asks for"`
	Made     Day      `yaml:"made" doc:"day the plan counts from, 2026-05-04; on the command line today if left out"`
}

// Customer is who calls.
type Customer struct {
	Name      string `yaml:"name" doc:"name"`
	Phone     string `yaml:"phone" doc:"phone number"`
	Address   string `yaml:"address" doc:"address for the paper"`
	Authority Answer `yaml:"authority" doc:"may he authorise the work (owner, not lease or warranty)?"`
}

// Site is where the work is done.
type Site struct {
	Where         string                 `yaml:"where" doc:"place, gate, directions"`
	Country       string                 `yaml:"country" doc:"two letters; picks the rules shown first"`
	Air           q.Maybe[q.Temperature] `yaml:"air" sane:"-60C..60C" doc:"air temperature"`
	Steel         q.Maybe[q.Temperature] `yaml:"steel" sane:"-60C..400C" doc:"temperature of the steel before heating"`
	Wind          q.Maybe[q.Speed]       `yaml:"wind" sane:"0km/h..200km/h" doc:"wind speed at the work"`
	Wet           Wetness                `yaml:"wet" doc:"dry, damp, rain, snow or mud"`
	Shelter       Answer                 `yaml:"shelter" doc:"is there a shelter or can one be put up?"`
	Signal        Answer                 `yaml:"signal" doc:"is there a phone signal?"`
	Alone         Answer                 `yaml:"alone" doc:"will you be alone?"`
	FireBan       Answer                 `yaml:"fire_ban" doc:"is a fire ban in force?"`
	Combustibles  Answer                 `yaml:"combustibles" doc:"anything that burns within 11 m (35 ft)?"`
	Water         Answer                 `yaml:"water" doc:"water or an extinguisher at hand?"`
	ConfinedSpace Answer                 `yaml:"confined_space" doc:"do you have to get inside to weld?"`
	AtHeight      Answer                 `yaml:"at_height" doc:"is the work above 1.8 m (6 ft)?"`
	PowerLines    Answer                 `yaml:"power_lines" doc:"overhead lines near?"`
	Rules         []SiteRule             `yaml:"rules" doc:"whose rules apply: mine, quarry, rail, refinery, landfill, ship, over-water, public-road, energised-plant"`
	Permit        Answer                 `yaml:"permit" doc:"hot-work permit in hand?"`
	Insured       Answer                 `yaml:"insured" doc:"does your own insurance cover this: hot work, height, this kind of site?"`
	Distance      q.Maybe[q.Length]      `yaml:"distance" bare:"mi,km" doc:"distance to the site, one way"`
	DriveTime     q.Maybe[q.Time]        `yaml:"drive_time" doc:"driving time, one way"`
}

// Machine is the machine the damaged part belongs to.
type Machine struct {
	Kind         string          `yaml:"kind" doc:"what it is, in your words: tipper, screen, loader, ..."`
	Model        string          `yaml:"model" doc:"maker and model, as on the plate"`
	Serial       string          `yaml:"serial" doc:"serial number"`
	Year         int             `yaml:"year" doc:"year built"`
	Hours        q.Maybe[q.Time] `yaml:"hours" bare:"h,h" doc:"hours on the meter"`
	HoursPerWeek q.Maybe[q.Time] `yaml:"hours_per_week" bare:"h,h" sane:"0h..168h" doc:"hours it works in a week"`
	LiftsPeople  Answer          `yaml:"lifts_people" doc:"does it lift or carry people?"`
	HangsLoad    Answer          `yaml:"hangs_load" doc:"does it hang a load on a hook or chain?"`
	OnRoad       Answer          `yaml:"on_road" doc:"does it run on the public road?"`
	Electronics  Answer          `yaml:"electronics" doc:"controllers, sensors, cameras on board?"`
	Hybrid       Answer          `yaml:"hybrid" doc:"high-voltage or capacitor drive?"`
	Hydraulics   Answer          `yaml:"hydraulics" doc:"hydraulic cylinders or accumulators near the part?"`
	Accumulator  Answer          `yaml:"accumulator" doc:"a charged accumulator in the circuit?"`
	Blocked      Answer          `yaml:"blocked" doc:"can the part be lowered, blocked and pinned?"`
	CanMove      Answer          `yaml:"can_move" doc:"can it be moved to flat, hard, dry ground?"`
	Tyres        Answer          `yaml:"tyres" doc:"a tyre on its rim close to the heat?"`

	Coldest  q.Maybe[q.Temperature] `yaml:"coldest" sane:"-60C..60C" doc:"coldest the steel gets while it works"`
	Like     DrawnMachine           `yaml:"like" doc:"which drawn machine it is like, for the current's way home, where its kind does not say so"`
	Contacts []Contact              `yaml:"contacts" doc:"where its parts touch, for the current's way home: adds to the drawn machine"`
}

// Wanted is what the customer asks for.
type Wanted struct {
	By        string `yaml:"by" doc:"when he needs it"`
	Temporary Answer `yaml:"temporary" doc:"does he ask for a get-me-through repair?"`
	PlateOver Answer `yaml:"plate_over" doc:"does he ask to plate over the crack without taking it out?"`
	SkipTests Answer `yaml:"skip_tests" doc:"does he ask to skip the crack test?"`
	SignOff   Answer `yaml:"sign_off" doc:"does he want a certificate, load test or insurance sign-off?"`
	Waiver    Answer `yaml:"waiver" doc:"does he offer to sign a waiver?"`

	UntilHours q.Maybe[q.Time] `yaml:"until_hours" bare:"h,h" sane:"0.5h..2000h" doc:"hours of work he wants before the repair, with the crack in"`
}

// Item is one damaged place.
type Item struct {
	Name       string            `yaml:"name" doc:"name of this place: left side frame, ..."`
	Part       string            `yaml:"part" doc:"which part, in your words"`
	Role       Role              `yaml:"role" doc:"what the part does, where its name does not say so"`
	Shape      Shape             `yaml:"shape" doc:"plate, box, tube, channel, i-section, angle, solid, casting"`
	Thickness  q.Maybe[q.Length] `yaml:"thickness" sane:"0.8mm..300mm" doc:"thickness of the wall or plate at the crack"`
	Thickness2 q.Maybe[q.Length] `yaml:"thickness2" sane:"0.8mm..300mm" doc:"thickness of the other part where two meet"`
	Width      q.Maybe[q.Length] `yaml:"width" sane:"5mm..10m" doc:"width of the plate, box or flange, or diameter of the tube"`
	Depth      q.Maybe[q.Length] `yaml:"depth" sane:"5mm..10m" doc:"depth (height) of the section"`
	Crack      Crack             `yaml:"crack" short:"length" doc:"the crack"`
	Access     Access            `yaml:"access" doc:"sides you can reach: one or both"`
	Position   Position          `yaml:"position" doc:"flat, horizontal, vertical, overhead"`
	CanTurn    Answer            `yaml:"can_turn" doc:"can the part be turned to weld flat?"`
	Behind     []Behind          `yaml:"behind" doc:"what is behind or beside it: nothing, closed-hollow, oil, fuel, hose, wiring, bearing, cylinder, tank, insulation, tyre, pin-bore"`
	Coating    Coating           `yaml:"coating" doc:"bare, paint, lead-paint, galvanized, cadmium, chrome, rubber, oil"`
	Restraint  Restraint         `yaml:"restraint" doc:"low, medium or high: can the joint shrink freely?"`
	Loaded     Loading           `yaml:"loaded" doc:"how the joint is loaded: tension, bending, shear, compression, torsion"`
	Steel      Evidence          `yaml:"steel" short:"grade" doc:"what points to the steel"`
	History    History           `yaml:"history" doc:"what was done here before"`
	Cause      CauseEvidence     `yaml:"cause" doc:"what the crack and its surroundings look like"`
	Contains   Contents          `yaml:"contains" doc:"what the part holds or held: nothing, fuel, oil, chemical, grain, water, air, gas, pressure"`
	Approval   string            `yaml:"approval" doc:"written approval in hand: who, date, number"`
}

// Crack is what can be seen of the crack.
type Crack struct {
	Length   q.Maybe[q.Length] `yaml:"length" sane:"1mm..20m" doc:"length that can be seen"`
	Depth    q.Maybe[q.Length] `yaml:"depth" sane:"0.1mm..300mm" doc:"depth where it does not go through"`
	Through  Answer            `yaml:"through" doc:"does it go right through?"`
	Ends     Ends              `yaml:"ends" doc:"are both ends visible: both, one, none, at-edge"`
	Starts   Start             `yaml:"starts" doc:"where it starts: weld-toe, weld-root, plate-end, hole, edge, base, old-repair, corner, casting-skin"`
	Branched Answer            `yaml:"branched" doc:"does it fork?"`
	Others   Answer            `yaml:"others" doc:"more cracks beside it?"`
	Corner   Answer            `yaml:"corner" doc:"does it run round a corner or into a second plate?"`
	Sized    Sized             `yaml:"sized" doc:"how its ends were found: eye, dye or magnetic"`
}

// Evidence is what points to the steel; each line may be unknown.
type Evidence struct {
	Grade    string             `yaml:"grade" doc:"grade as read or told: A36, S355, A514, ..."`
	GradeBy  GradeBy            `yaml:"grade_by" doc:"where the grade comes from: certificate, stencil, drawing, maker, hearsay"`
	Family   string             `yaml:"family" doc:"family you believe in, by its id in the steel list"`
	Magnet   Magnet             `yaml:"magnet" doc:"strong, weak or none"`
	File     File               `yaml:"file" doc:"a new file on a ground spot: bites, bites-hard, skates"`
	Spark    Spark              `yaml:"spark" doc:"spark stream: long-few-forks, long-many-forks, bushy, arrow-tips, forks-twice, straw-no-forks, short-dull-red"`
	Chip     Chip               `yaml:"chip" doc:"cold chisel: curls, short, crumbles"`
	Hardness q.Maybe[q.Brinell] `yaml:"hardness" sane:"60HB..700HB" doc:"hardness of a ground spot"`
	CutEdge  q.Maybe[q.Vickers] `yaml:"cut_edge" sane:"80HV..900HV" doc:"highest hardness of a flame-cut edge, descaled"`
	Surface  Surface            `yaml:"surface" doc:"what the skin looks like: rolled, cast, forged, machined"`
	Wear     Answer             `yaml:"wear_part" doc:"was it fitted as a wear plate?"`
	Analysis map[string]float64 `yaml:"analysis" doc:"chemical analysis in % by mass: C, Si, Mn, Cr, Mo, V, Ni, Cu, Nb, B"`
	Yield    q.Maybe[q.Stress]  `yaml:"yield" doc:"yield strength, if a document says so"`

	T27J q.Maybe[q.Temperature] `yaml:"t27j" sane:"-100C..80C" doc:"temperature at which a Charpy test gave 27 J, from a certificate"`
}

// History is what was done here before.
type History struct {
	Welded    Answer           `yaml:"welded" doc:"was it welded here before?"`
	By        RepairBy         `yaml:"by" doc:"by whom: me, other, maker"`
	Times     q.Maybe[float64] `yaml:"times" doc:"how often it was repaired here"`
	Held      q.Maybe[q.Time]  `yaml:"held" bare:"h,h" doc:"how many hours the last repair held"`
	PlateOver Answer           `yaml:"plate_over" doc:"is there a plate over or beside the crack?"`
	PlateEnds PlateEnds        `yaml:"plate_ends" doc:"how that plate ends: square, tapered, round"`
	Mirror    Answer           `yaml:"mirror" doc:"is the same place on the other side cracked?"`
	Filler    string           `yaml:"filler" doc:"rod used then, if known"`
}

// CauseEvidence is what may tell why it cracked.
type CauseEvidence struct {
	BeachMarks    Answer            `yaml:"beach_marks" doc:"smooth face with beach marks?"`
	RustInCrack   Answer            `yaml:"rust_in_crack" doc:"rust deep in the crack?"`
	Fibrous       Answer            `yaml:"fibrous" doc:"dull, torn face with bent plates?"`
	Crystalline   Answer            `yaml:"crystalline" doc:"flat, glittering face, nothing bent?"`
	LoosePins     Answer            `yaml:"loose_pins" doc:"slop in pins or bushes?"`
	Event         Answer            `yaml:"event" doc:"was it dropped, struck or overloaded?"`
	AfterWeld     q.Maybe[q.Time]   `yaml:"after_weld" doc:"time after welding when it was first seen"`
	Thinned       q.Maybe[q.Ratio]  `yaml:"thinned" doc:"part of the thickness worn or rusted away"`
	CyclesPerHour q.Maybe[float64]  `yaml:"cycles_per_hour" doc:"work cycles in an hour"`
	Range         q.Maybe[q.Stress] `yaml:"range" doc:"measured stress range, if anybody measured it"`
	Peak          q.Maybe[q.Stress] `yaml:"peak" doc:"highest stress at the crack, if anybody measured or worked it out"`
}
