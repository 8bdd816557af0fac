package job

// A Word is one allowed value of a choice, with what else people write for it.
type Word struct {
	Value string
	Also  []string
}

// Choice is a field with a closed list of words; the empty string is unknown.
type Choice interface{ Words() []Word }

// Answer is yes, no or unknown.
type Answer string

const (
	Unknown Answer = ""
	Yes     Answer = "yes"
	No      Answer = "no"
)

// Words lists what a job file may say.
func (Answer) Words() []Word { return words("yes|y|true", "no|n|false") }

// NotNo says that the answer is yes or unknown: the cautious reading of a danger.
func (a Answer) NotNo() bool { return a != No }

type (
	Units     string // us, si
	Wetness   string
	SiteRule  string
	Role      string
	Shape     string
	Access    string
	Position  string
	Behind    string
	Coating   string
	Restraint string
	Loading   string
	Contents  string
	Ends      string
	Start     string
	GradeBy   string
	Magnet    string
	File      string
	Spark     string
	Chip      string
	Surface   string
	RepairBy  string
	PlateEnds string
	Sized     string
)

const (
	US Units = "us"
	SI Units = "si"

	Dry  Wetness = "dry"
	Damp Wetness = "damp"
	Rain Wetness = "rain"
	Snow Wetness = "snow"
	Mud  Wetness = "mud"

	Plate    Shape = "plate"
	Box      Shape = "box"
	Tube     Shape = "tube"
	Channel  Shape = "channel"
	ISection Shape = "i-section"
	AngleBar Shape = "angle"
	Solid    Shape = "solid"
	Casting  Shape = "casting"

	OneSide   Access = "one"
	BothSides Access = "both"

	Flat       Position = "flat"
	Horizontal Position = "horizontal"
	Vertical   Position = "vertical"
	Overhead   Position = "overhead"

	LowRestraint    Restraint = "low"
	MediumRestraint Restraint = "medium"
	HighRestraint   Restraint = "high"
)

// Roles: what the part does. Anything but structure may refuse or escalate.
const (
	Structure      Role = "structure"
	ProtectFrame   Role = "protective-structure" // ROPS, FOPS, cab guard and its mounts
	Wheel          Role = "wheel"                // wheel, rim, lock ring
	LiftingGear    Role = "lifting-gear"         // hook, shackle, chain, sling, below-hook gear
	LiftingLug     Role = "lifting-lug"
	CraneStructure Role = "crane-structure" // boom, jib, outrigger box, turntable
	Fork           Role = "fork"
	TruckMast      Role = "truck-mast" // telehandler boom, mast, carriage of an industrial truck
	PeopleLift     Role = "people-lift"
	PressureVessel Role = "pressure-vessel"
	AirReservoir   Role = "air-reservoir"
	Tank           Role = "tank" // tank, drum, pipe or hollow that held fuel, oil, chemical, dust
	RoadFrame      Role = "road-frame"
	CouplingPart   Role = "coupling" // tow eye, pintle, ball, kingpin, fifth-wheel jaw
	SteeringBrake  Role = "steering-brake-spring"
	CylinderPart   Role = "cylinder" // hydraulic cylinder barrel or rod eye under pressure
	Fastener       Role = "fastener" // high-strength bolt, track link, lifting chain link
	WearPart       Role = "wear-part"
)

func words(ws ...string) []Word {
	all := make([]Word, len(ws))
	for i, w := range ws {
		parts := splitBar(w)
		all[i] = Word{parts[0], parts[1:]}
	}
	return all
}

func splitBar(s string) []string {
	var parts []string
	start := 0
	for i := 0; i <= len(s); i++ {
		if i == len(s) || s[i] == '|' {
			parts = append(parts, s[start:i])
			start = i + 1
		}
	}
	return parts
}

func (Units) Words() []Word { return words("us|inch|imperial|in", "si|metric|mm") }
func (Wetness) Words() []Word {
	return words("dry", "damp|wet|dew|condensation", "rain|raining", "snow|ice|frost", "mud|muddy")
}
func (SiteRule) Words() []Word {
	return words("mine", "quarry", "rail|railway|railroad", "refinery|plant", "landfill", "ship|shipyard", "over-water", "public-road", "energised-plant|energized-plant", "farm", "forest", "construction")
}
func (Role) Words() []Word {
	return words("structure|structural|frame", "protective-structure|rops|fops|cab-frame", "wheel|rim", "lifting-gear|hook|shackle|chain|sling",
		"lifting-lug|lug|pad-eye", "crane-structure|crane-boom|jib|outrigger", "fork|forks|tine", "truck-mast|mast|carriage|telehandler-boom",
		"people-lift|man-basket|aerial-lift", "pressure-vessel", "air-reservoir|air-tank", "tank|drum", "road-frame|frame-rail|chassis-rail|drawbar",
		"coupling|tow-eye|pintle|kingpin", "steering-brake-spring|steering|brake|spring|axle", "cylinder", "fastener|bolt|track-link", "wear-part|wear-plate|cutting-edge")
}
func (Shape) Words() []Word {
	return words("plate|sheet|flat-bar|flat", "box|box-section|rhs|shs", "tube|pipe|chs|round-tube", "channel|c-section|u-section", "i-section|beam|i-beam|h-beam",
		"angle|l-section", "solid|bar|shaft|block", "casting|cast")
}
func (Access) Words() []Word { return words("one|one-side|1|single", "both|two|2|both-sides") }
func (Position) Words() []Word {
	return words("flat|1g|down-hand|downhand", "horizontal|2g", "vertical|3g|vertical-up", "overhead|4g")
}
func (Behind) Words() []Word {
	return words("nothing|none", "closed-hollow|hollow|sealed", "oil", "fuel", "hose|hoses", "wiring|harness|wires", "bearing", "cylinder",
		"tank", "insulation|foam", "tyre|tire", "pin-bore|bore", "battery", "plate")
}
func (Coating) Words() []Word {
	return words("bare|none|rust", "paint|painted", "lead-paint|lead", "galvanized|galvanised|zinc", "cadmium", "chrome", "rubber|liner", "oil|grease")
}
func (Restraint) Words() []Word { return words("low|free", "medium|usual", "high|rigid") }
func (Loading) Words() []Word {
	return words("tension", "bending", "shear", "compression", "torsion", "mixed")
}
func (Contents) Words() []Word {
	return words("nothing|none|empty", "fuel|diesel|petrol|gasoline", "oil", "chemical", "grain|dust", "water", "air", "gas|lpg|propane", "pressure")
}
func (Ends) Words() []Word { return words("both|both-visible", "one", "none|hidden", "at-edge|edge") }
func (Start) Words() []Word {
	return words("weld-toe|toe", "weld-root|root", "plate-end|doubler-end", "hole|bolt-hole", "edge", "base|parent|base-metal", "old-repair|repair", "corner", "casting-skin")
}
func (GradeBy) Words() []Word {
	return words("certificate|cert|mill-cert", "stencil|stamp|paint-mark", "drawing|manual", "maker|dealer", "hearsay|told|guess")
}
func (Magnet) Words() []Word { return words("strong|yes", "weak|slight", "none|no") }
func (File) Words() []Word {
	return words("bites|bites-easily|soft", "bites-hard|drags|hard", "skates|slides")
}
func (Spark) Words() []Word {
	return words("long-few-forks", "long-many-forks", "bushy", "arrow-tips", "forks-twice", "straw-no-forks", "short-dull-red")
}
func (Chip) Words() []Word { return words("curls|continuous", "short|breaks", "crumbles|powder") }
func (Surface) Words() []Word {
	return words("rolled|mill-scale|plate", "cast|sand-skin", "forged", "machined|turned")
}
func (RepairBy) Words() []Word {
	return words("me|self|us", "other|someone-else", "maker|factory|dealer")
}
func (PlateEnds) Words() []Word {
	return words("square|straight", "tapered|diamond|fish-tail", "round|radius")
}
func (Sized) Words() []Word {
	return words("eye|ruler", "dye|pt|penetrant", "magnetic|mt|yoke")
}
