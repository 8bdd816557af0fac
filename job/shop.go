package job

import q "soundmetal/quantity"

// Shop is the welder's own kit and prices, in a file of its own (shop.yaml).
type Shop struct {
	Version int        `yaml:"version" doc:"format version; 1"`
	Units   Units      `yaml:"units" doc:"system of bare numbers: us or si"`
	Name    string     `yaml:"shop" doc:"name on the paper"`
	Address string     `yaml:"address" doc:"address on the paper"`
	Phone   string     `yaml:"phone" doc:"phone on the paper"`
	Power   []Source   `yaml:"power" doc:"power sources"`
	Leads   Leads      `yaml:"leads" doc:"welding cable, electrode lead and work lead"`
	Air     Air        `yaml:"air" doc:"compressor"`
	Carbons []Stock    `yaml:"carbons" doc:"gouging carbons on the truck"`
	Rods    []Rod      `yaml:"rods" doc:"rods on the truck"`
	Torches []Torch    `yaml:"torches" doc:"heating torches"`
	Bottles []Bottle   `yaml:"bottles" doc:"gas bottles"`
	Measure MeasureKit `yaml:"measure" doc:"what you read heat with"`
	Tests   TestKit    `yaml:"tests" doc:"what you find cracks with"`
	Oven    Answer     `yaml:"rod_oven" doc:"a rod oven or heated quiver on the truck?"`
	Prices  Prices     `yaml:"prices" doc:"rates and prices, as your own numbers"`
	Factors Factors    `yaml:"factors" doc:"your own learned factors"`
}

// Source is one welding power source with its nameplate.
type Source struct {
	Name   string             `yaml:"name" doc:"name"`
	Output Output             `yaml:"output" doc:"cc (drooping), cv or both"`
	OCV    q.Maybe[q.Voltage] `yaml:"ocv" doc:"open-circuit voltage"`
	Points []DutyPoint        `yaml:"duty" doc:"nameplate duty points"`
	Max    q.Maybe[q.Current] `yaml:"max" doc:"highest output current"`
	Fuel   Fuel               `yaml:"fuel" doc:"diesel, petrol or mains"`
}

// DutyPoint is one line of the nameplate: amps and volts at a duty cycle.
type DutyPoint struct {
	Amps  q.Current          `yaml:"amps" sane:"5A..3000A" doc:"current"`
	Volts q.Maybe[q.Voltage] `yaml:"volts" doc:"load voltage"`
	Duty  q.Ratio            `yaml:"duty" sane:"1%..100%" doc:"duty cycle in %"`
}

// Leads is the welding cable.
type Leads struct {
	Size      string            `yaml:"size" doc:"2, 1/0, 2/0 ... or mm²: 50mm2"`
	Electrode q.Maybe[q.Length] `yaml:"electrode" bare:"ft,m" sane:"0.5m..300m" doc:"length of the electrode lead"`
	Work      q.Maybe[q.Length] `yaml:"work" bare:"ft,m" sane:"0.5m..300m" doc:"length of the work lead"`
	Joints    q.Maybe[float64]  `yaml:"connectors" doc:"number of cable connectors in the loop"`
}

// Air is the compressor.
type Air struct {
	Pressure q.Maybe[q.Pressure] `yaml:"pressure" doc:"pressure at the torch"`
	Flow     q.Maybe[q.Flow]     `yaml:"flow" doc:"free air delivered"`
	Hose     q.Maybe[q.Length]   `yaml:"hose" sane:"3mm..60mm" doc:"inside diameter of the hose"`
}

// Stock is a size and how many.
type Stock struct {
	Size  q.Length         `yaml:"size" sane:"2mm..26mm" doc:"diameter"`
	Count q.Maybe[float64] `yaml:"count" doc:"pieces"`
}

// Rod is one packet or tin of rods.
type Rod struct {
	Class     string            `yaml:"class" doc:"class on the tin: E7018-H4R, E11018-M, ..."`
	Size      q.Length          `yaml:"size" sane:"1.5mm..10mm" doc:"core diameter"`
	Length    q.Maybe[q.Length] `yaml:"length" sane:"150mm..700mm" doc:"rod length"`
	Mass      q.Maybe[q.Mass]   `yaml:"mass" doc:"how much is left"`
	Condition RodCondition      `yaml:"condition" doc:"sealed, oven, opened, wet"`
	Opened    q.Maybe[q.Time]   `yaml:"opened" bare:"h,h" doc:"time since it was opened or left the oven"`
	RodMass   q.Maybe[q.Mass]   `yaml:"rod_mass" bare:"," sane:"5g..500g" doc:"mass of one rod, if you weighed a packet"`
	BurnTime  q.Maybe[q.Time]   `yaml:"burn_time" sane:"10s..600s" doc:"arc time of one rod, if you timed it"`
}

// Torch is one heating torch.
type Torch struct {
	Kind  TorchKind        `yaml:"kind" doc:"air-propane, oxy-propane or oxy-acetylene"`
	Power q.Maybe[q.Power] `yaml:"power" doc:"gross heat output"`
}

// Bottle is one kind of gas bottle.
type Bottle struct {
	Gas    Gas               `yaml:"gas" doc:"propane, acetylene, oxygen"`
	Size   q.Maybe[q.Mass]   `yaml:"size" doc:"contents of a full bottle (propane)"`
	Volume q.Maybe[q.Volume] `yaml:"volume" doc:"contents of a full bottle as gas (acetylene, oxygen)"`
	Left   q.Maybe[q.Ratio]  `yaml:"left" doc:"part still in it, in %"`
	Count  q.Maybe[float64]  `yaml:"count" doc:"bottles"`
}

// MeasureKit is what he reads heat with.
type MeasureKit struct {
	Crayons  []q.Temperature `yaml:"crayons" sane:"20C..1200C" doc:"crayons on the truck, by melting point"`
	Contact  Answer          `yaml:"contact" doc:"contact pyrometer?"`
	IR       Answer          `yaml:"ir" doc:"infrared gun?"`
	Hardness Answer          `yaml:"hardness" doc:"portable hardness tester?"`
}

// TestKit is what he finds cracks with.
type TestKit struct {
	PT Answer `yaml:"pt" doc:"dye penetrant kit?"`
	MT Answer `yaml:"mt" doc:"magnetic yoke?"`
	UT Answer `yaml:"ut" doc:"ultrasonic set and ticket?"`
}

// Prices are his own numbers; nothing is built in. Amounts are decimal text.
type Prices struct {
	Currency   string `yaml:"currency" doc:"currency code: USD, EUR, ..."`
	Hour       string `yaml:"hour" doc:"labour for an hour"`
	Travel     string `yaml:"travel" doc:"for a travelled distance unit (mile with us, km with si), one way and back are both counted"`
	TravelHour string `yaml:"travel_hour" doc:"for an hour of driving, if charged by time"`
	CallOut    string `yaml:"call_out" doc:"call-out charge"`
	Minimum    string `yaml:"minimum_hours" doc:"least hours charged"`
	Standby    string `yaml:"standby_hour" doc:"for an hour of waiting on site"`
	Rod        string `yaml:"rod" doc:"for a mass unit of rod (lb with us, kg with si)"`
	RodPacket  string `yaml:"rod_packet" doc:"mass in one packet (lb with us, kg with si)"`
	Carbon     string `yaml:"carbon" doc:"for one carbon"`
	Gas        string `yaml:"gas" doc:"for a mass unit of heating gas (lb with us, kg with si)"`
	Oxygen     string `yaml:"oxygen" doc:"for a volume unit of oxygen as gas (ft³ with us, m³ with si)"`
	Backing    string `yaml:"backing" doc:"for a length unit of steel bar for backing (ft with us, m with si)"`
	Disc       string `yaml:"disc" doc:"for one grinding disc"`
	Fuel       string `yaml:"fuel" doc:"for a volume unit of engine fuel (US gal with us, L with si)"`
	PT         string `yaml:"pt" doc:"for one dye test"`
	MT         string `yaml:"mt" doc:"for one magnetic test"`
	UT         string `yaml:"ut" doc:"for one ultrasonic test"`
	Waste      string `yaml:"waste" doc:"for taking the waste of the job away, once"`
	Markup     string `yaml:"markup" doc:"markup on material in %"`
	Tax        string `yaml:"tax" doc:"tax in %"`
	TaxName    string `yaml:"tax_name" doc:"name of the tax"`
	Validity   string `yaml:"validity" doc:"how long a quote holds"`
}

// Factors are what his own past jobs taught; unknown means the handbook's value.
type Factors struct {
	Rods            q.Maybe[q.Ratio] `yaml:"rods" sane:"20%..500%" doc:"rods used as part of the rods planned, in %"`
	OperatingFactor q.Maybe[q.Ratio] `yaml:"operating_factor" sane:"1%..100%" doc:"arc time as part of welding time, in %"`
	GougePer100mm   q.Maybe[q.Time]  `yaml:"gouge_per_100mm" sane:"5s..3600s" doc:"time to gouge 100 mm of one pass, all in"`
	TorchEfficiency q.Maybe[q.Ratio] `yaml:"torch_efficiency" sane:"1%..100%" doc:"part of the torch heat that reaches the steel, in %"`
}

type (
	Output       string
	Fuel         string
	RodCondition string
	TorchKind    string
	Gas          string
)

func (Output) Words() []Word { return words("cc|stick|drooping", "cv|wire", "both|cc/cv|multi") }
func (Fuel) Words() []Word   { return words("diesel", "petrol|gasoline|gas", "mains|electric") }
func (RodCondition) Words() []Word {
	return words("sealed|unopened|new", "oven|in-oven|quiver", "opened|open", "wet|damp")
}
func (TorchKind) Words() []Word {
	return words("air-propane|weed-burner|roofing", "oxy-propane|oxy-lpg", "oxy-acetylene|rosebud")
}
func (Gas) Words() []Word { return words("propane|lpg|butane", "acetylene", "oxygen|oxy") }
