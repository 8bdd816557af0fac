package quantity

// Every type has the same four methods:
//
//	Kind   which quantity it is;
//	Text   both systems at trade precision, the leading one first: 1/2 in (12.7 mm);
//	In     one system at trade precision: 1/2 in;
//	Exact  every digit, in the unit named: 12.7 mm. Reading it gives the same value.
//
// An unknown unit in Exact is a programmer's error and panics; "" is the first
// unit of the kind in units.csv.

// Kind is KindLength.
func (l Length) Kind() Kind { return KindLength }

// Text prints both systems, sys first.
func (l Length) Text(sys System) string { return KindLength.Text(float64(l), sys) }

// In prints one system.
func (l Length) In(sys System) string { return KindLength.In(float64(l), sys) }

// Exact prints every digit in the unit named.
func (l Length) Exact(unit string) string { return KindLength.Exact(float64(l), unit) }

// Kind is KindArea.
func (a Area) Kind() Kind { return KindArea }

// Text prints both systems, sys first.
func (a Area) Text(sys System) string { return KindArea.Text(float64(a), sys) }

// In prints one system.
func (a Area) In(sys System) string { return KindArea.In(float64(a), sys) }

// Exact prints every digit in the unit named.
func (a Area) Exact(unit string) string { return KindArea.Exact(float64(a), unit) }

// Kind is KindVolume.
func (v Volume) Kind() Kind { return KindVolume }

// Text prints both systems, sys first.
func (v Volume) Text(sys System) string { return KindVolume.Text(float64(v), sys) }

// In prints one system.
func (v Volume) In(sys System) string { return KindVolume.In(float64(v), sys) }

// Exact prints every digit in the unit named.
func (v Volume) Exact(unit string) string { return KindVolume.Exact(float64(v), unit) }

// Kind is KindMass.
func (m Mass) Kind() Kind { return KindMass }

// Text prints both systems, sys first.
func (m Mass) Text(sys System) string { return KindMass.Text(float64(m), sys) }

// In prints one system.
func (m Mass) In(sys System) string { return KindMass.In(float64(m), sys) }

// Exact prints every digit in the unit named.
func (m Mass) Exact(unit string) string { return KindMass.Exact(float64(m), unit) }

// Kind is KindLineMass.
func (l LineMass) Kind() Kind { return KindLineMass }

// Text prints both systems, sys first.
func (l LineMass) Text(sys System) string { return KindLineMass.Text(float64(l), sys) }

// In prints one system.
func (l LineMass) In(sys System) string { return KindLineMass.In(float64(l), sys) }

// Exact prints every digit in the unit named.
func (l LineMass) Exact(unit string) string { return KindLineMass.Exact(float64(l), unit) }

// Kind is KindTemperature.
func (t Temperature) Kind() Kind { return KindTemperature }

// Text prints both systems, sys first.
func (t Temperature) Text(sys System) string { return KindTemperature.Text(float64(t), sys) }

// In prints one system.
func (t Temperature) In(sys System) string { return KindTemperature.In(float64(t), sys) }

// Exact prints every digit in the unit named.
func (t Temperature) Exact(unit string) string { return KindTemperature.Exact(float64(t), unit) }

// Kind is KindTempDiff.
func (t TempDiff) Kind() Kind { return KindTempDiff }

// Text prints both systems, sys first.
func (t TempDiff) Text(sys System) string { return KindTempDiff.Text(float64(t), sys) }

// In prints one system.
func (t TempDiff) In(sys System) string { return KindTempDiff.In(float64(t), sys) }

// Exact prints every digit in the unit named.
func (t TempDiff) Exact(unit string) string { return KindTempDiff.Exact(float64(t), unit) }

// Kind is KindTime.
func (t Time) Kind() Kind { return KindTime }

// Text prints both systems, sys first.
func (t Time) Text(sys System) string { return KindTime.Text(float64(t), sys) }

// In prints one system.
func (t Time) In(sys System) string { return KindTime.In(float64(t), sys) }

// Exact prints every digit in the unit named.
func (t Time) Exact(unit string) string { return KindTime.Exact(float64(t), unit) }

// Kind is KindSpeed.
func (s Speed) Kind() Kind { return KindSpeed }

// Text prints both systems, sys first.
func (s Speed) Text(sys System) string { return KindSpeed.Text(float64(s), sys) }

// In prints one system.
func (s Speed) In(sys System) string { return KindSpeed.In(float64(s), sys) }

// Exact prints every digit in the unit named.
func (s Speed) Exact(unit string) string { return KindSpeed.Exact(float64(s), unit) }

// Kind is KindStress.
func (s Stress) Kind() Kind { return KindStress }

// Text prints both systems, sys first.
func (s Stress) Text(sys System) string { return KindStress.Text(float64(s), sys) }

// In prints one system.
func (s Stress) In(sys System) string { return KindStress.In(float64(s), sys) }

// Exact prints every digit in the unit named.
func (s Stress) Exact(unit string) string { return KindStress.Exact(float64(s), unit) }

// Kind is KindPressure.
func (p Pressure) Kind() Kind { return KindPressure }

// Text prints both systems, sys first.
func (p Pressure) Text(sys System) string { return KindPressure.Text(float64(p), sys) }

// In prints one system.
func (p Pressure) In(sys System) string { return KindPressure.In(float64(p), sys) }

// Exact prints every digit in the unit named.
func (p Pressure) Exact(unit string) string { return KindPressure.Exact(float64(p), unit) }

// Kind is KindCurrent.
func (c Current) Kind() Kind { return KindCurrent }

// Text prints both systems, sys first.
func (c Current) Text(sys System) string { return KindCurrent.Text(float64(c), sys) }

// In prints one system.
func (c Current) In(sys System) string { return KindCurrent.In(float64(c), sys) }

// Exact prints every digit in the unit named.
func (c Current) Exact(unit string) string { return KindCurrent.Exact(float64(c), unit) }

// Kind is KindVoltage.
func (v Voltage) Kind() Kind { return KindVoltage }

// Text prints both systems, sys first.
func (v Voltage) Text(sys System) string { return KindVoltage.Text(float64(v), sys) }

// In prints one system.
func (v Voltage) In(sys System) string { return KindVoltage.In(float64(v), sys) }

// Exact prints every digit in the unit named.
func (v Voltage) Exact(unit string) string { return KindVoltage.Exact(float64(v), unit) }

// Kind is KindResistance.
func (r Resistance) Kind() Kind { return KindResistance }

// Text prints both systems, sys first.
func (r Resistance) Text(sys System) string { return KindResistance.Text(float64(r), sys) }

// In prints one system.
func (r Resistance) In(sys System) string { return KindResistance.In(float64(r), sys) }

// Exact prints every digit in the unit named.
func (r Resistance) Exact(unit string) string { return KindResistance.Exact(float64(r), unit) }

// Kind is KindPower.
func (p Power) Kind() Kind { return KindPower }

// Text prints both systems, sys first.
func (p Power) Text(sys System) string { return KindPower.Text(float64(p), sys) }

// In prints one system.
func (p Power) In(sys System) string { return KindPower.In(float64(p), sys) }

// Exact prints every digit in the unit named.
func (p Power) Exact(unit string) string { return KindPower.Exact(float64(p), unit) }

// Kind is KindEnergy.
func (e Energy) Kind() Kind { return KindEnergy }

// Text prints both systems, sys first.
func (e Energy) Text(sys System) string { return KindEnergy.Text(float64(e), sys) }

// In prints one system.
func (e Energy) In(sys System) string { return KindEnergy.In(float64(e), sys) }

// Exact prints every digit in the unit named.
func (e Energy) Exact(unit string) string { return KindEnergy.Exact(float64(e), unit) }

// Kind is KindHeatInput.
func (q HeatInput) Kind() Kind { return KindHeatInput }

// Text prints both systems, sys first.
func (q HeatInput) Text(sys System) string { return KindHeatInput.Text(float64(q), sys) }

// In prints one system.
func (q HeatInput) In(sys System) string { return KindHeatInput.In(float64(q), sys) }

// Exact prints every digit in the unit named.
func (q HeatInput) Exact(unit string) string { return KindHeatInput.Exact(float64(q), unit) }

// Kind is KindHydrogen.
func (h Hydrogen) Kind() Kind { return KindHydrogen }

// Text prints both systems, sys first.
func (h Hydrogen) Text(sys System) string { return KindHydrogen.Text(float64(h), sys) }

// In prints one system.
func (h Hydrogen) In(sys System) string { return KindHydrogen.In(float64(h), sys) }

// Exact prints every digit in the unit named.
func (h Hydrogen) Exact(unit string) string { return KindHydrogen.Exact(float64(h), unit) }

// Kind is KindVickers.
func (v Vickers) Kind() Kind { return KindVickers }

// Text prints both systems, sys first.
func (v Vickers) Text(sys System) string { return KindVickers.Text(float64(v), sys) }

// In prints one system.
func (v Vickers) In(sys System) string { return KindVickers.In(float64(v), sys) }

// Exact prints every digit in the unit named.
func (v Vickers) Exact(unit string) string { return KindVickers.Exact(float64(v), unit) }

// Kind is KindBrinell.
func (b Brinell) Kind() Kind { return KindBrinell }

// Text prints both systems, sys first.
func (b Brinell) Text(sys System) string { return KindBrinell.Text(float64(b), sys) }

// In prints one system.
func (b Brinell) In(sys System) string { return KindBrinell.In(float64(b), sys) }

// Exact prints every digit in the unit named.
func (b Brinell) Exact(unit string) string { return KindBrinell.Exact(float64(b), unit) }

// Kind is KindFlow.
func (f Flow) Kind() Kind { return KindFlow }

// Text prints both systems, sys first.
func (f Flow) Text(sys System) string { return KindFlow.Text(float64(f), sys) }

// In prints one system.
func (f Flow) In(sys System) string { return KindFlow.In(float64(f), sys) }

// Exact prints every digit in the unit named.
func (f Flow) Exact(unit string) string { return KindFlow.Exact(float64(f), unit) }

// Kind is KindMassRate.
func (m MassRate) Kind() Kind { return KindMassRate }

// Text prints both systems, sys first.
func (m MassRate) Text(sys System) string { return KindMassRate.Text(float64(m), sys) }

// In prints one system.
func (m MassRate) In(sys System) string { return KindMassRate.In(float64(m), sys) }

// Exact prints every digit in the unit named.
func (m MassRate) Exact(unit string) string { return KindMassRate.Exact(float64(m), unit) }

// Kind is KindAngle.
func (a Angle) Kind() Kind { return KindAngle }

// Text prints both systems, sys first.
func (a Angle) Text(sys System) string { return KindAngle.Text(float64(a), sys) }

// In prints one system.
func (a Angle) In(sys System) string { return KindAngle.In(float64(a), sys) }

// Exact prints every digit in the unit named.
func (a Angle) Exact(unit string) string { return KindAngle.Exact(float64(a), unit) }

// Kind is KindRatio.
func (r Ratio) Kind() Kind { return KindRatio }

// Text prints both systems, sys first.
func (r Ratio) Text(sys System) string { return KindRatio.Text(float64(r), sys) }

// In prints one system.
func (r Ratio) In(sys System) string { return KindRatio.In(float64(r), sys) }

// Exact prints every digit in the unit named.
func (r Ratio) Exact(unit string) string { return KindRatio.Exact(float64(r), unit) }

// Kind is KindPercent.
func (p Percent) Kind() Kind { return KindPercent }

// Text prints both systems, sys first.
func (p Percent) Text(sys System) string { return KindPercent.Text(float64(p), sys) }

// In prints one system.
func (p Percent) In(sys System) string { return KindPercent.In(float64(p), sys) }

// Exact prints every digit in the unit named.
func (p Percent) Exact(unit string) string { return KindPercent.Exact(float64(p), unit) }

// Kind is KindDiffusivity.
func (d Diffusivity) Kind() Kind { return KindDiffusivity }

// Text prints both systems, sys first.
func (d Diffusivity) Text(sys System) string { return KindDiffusivity.Text(float64(d), sys) }

// In prints one system.
func (d Diffusivity) In(sys System) string { return KindDiffusivity.In(float64(d), sys) }

// Exact prints every digit in the unit named.
func (d Diffusivity) Exact(unit string) string { return KindDiffusivity.Exact(float64(d), unit) }

// Kind is KindStressIntensity.
func (s StressIntensity) Kind() Kind { return KindStressIntensity }

// Text prints both systems, sys first.
func (s StressIntensity) Text(sys System) string { return KindStressIntensity.Text(float64(s), sys) }

// In prints one system.
func (s StressIntensity) In(sys System) string { return KindStressIntensity.In(float64(s), sys) }

// Exact prints every digit in the unit named.
func (s StressIntensity) Exact(unit string) string {
	return KindStressIntensity.Exact(float64(s), unit)
}

// Kind is KindForce.
func (f Force) Kind() Kind { return KindForce }

// Text prints both systems, sys first.
func (f Force) Text(sys System) string { return KindForce.Text(float64(f), sys) }

// In prints one system.
func (f Force) In(sys System) string { return KindForce.In(float64(f), sys) }

// Exact prints every digit in the unit named.
func (f Force) Exact(unit string) string { return KindForce.Exact(float64(f), unit) }

// Kind is KindMoment.
func (m Moment) Kind() Kind { return KindMoment }

// Text prints both systems, sys first.
func (m Moment) Text(sys System) string { return KindMoment.Text(float64(m), sys) }

// In prints one system.
func (m Moment) In(sys System) string { return KindMoment.In(float64(m), sys) }

// Exact prints every digit in the unit named.
func (m Moment) Exact(unit string) string { return KindMoment.Exact(float64(m), unit) }
