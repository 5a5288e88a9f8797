package flight

import "math"

const (
	sourceStandardAir = "ISO 2533 standard atmosphere at the altitude; weather spread as for the default"
	sourceGasLaw      = "gas law at the temperature, pressure of the ISO 2533 standard atmosphere, dry air"
	sourceSeaLevel    = "starting value: sea level"
)

// density is the air's, kg/m³: stated, from altitude and temperature, or the
// default.
func (r *Request) density(in *intake) Amount {
	if r.Altitude == nil && r.Temperature == nil {
		rho, ok := in.plain("rho", "kg/m³", r.Rho, r.URho)
		if !ok && r.Rho == nil {
			rho = Amount{defaultRho, defaultURho}
			in.used("rho", "kg/m³", rho, sourceRho)
		}
		return rho
	}
	if r.Rho != nil || r.URho != nil {
		in.slip("rho", "stated-twice", "rho beside altitude or temperature", "either the density or what it follows from", "")
		return Amount{}
	}
	altitude := in.or("altitude", "m", r.Altitude, nil, Amount{}, sourceSeaLevel)
	in.inRange("altitude", altitude, lowestAltitude, highestAltitude, "m")
	if r.Temperature == nil {
		rho := Density(altitude.Value)
		a := Amount{rho, rho * defaultURho / defaultRho}
		in.used("rho", "kg/m³", a, sourceStandardAir)
		return a
	}
	temperature, _ := in.plain("temperature", "°C", r.Temperature, nil)
	in.inRange("temperature", temperature, coldest, hottest, "°C")
	a := airAt(altitude, temperature)
	in.used("rho", "kg/m³", a, sourceGasLaw)
	return a
}

// airAt is DensityAt with uncertainty to first order (JCGM 100:2008 5.1.3 note 2).
func airAt(altitude, temperature Amount) Amount {
	byAltitude := (DensityAt(altitude.Value+altitude.U, temperature.Value) - DensityAt(altitude.Value-altitude.U, temperature.Value)) / 2
	byTemperature := (DensityAt(altitude.Value, temperature.Value+temperature.U) - DensityAt(altitude.Value, temperature.Value-temperature.U)) / 2
	return Amount{DensityAt(altitude.Value, temperature.Value), math.Hypot(byAltitude, byTemperature)}
}

// plain takes a value that is written as a number in a unit outside the
// accepted ones.
func (in *intake) plain(key, unitName string, value, u *Quantity) (Amount, bool) {
	for _, q := range []*Quantity{value, u} {
		if q != nil && q.Unit != "" {
			in.slip(key, "wrong-dimension", "a value in "+q.Unit, "a plain number of "+unitName, "")
			return Amount{}, false
		}
	}
	a, ok := in.take(key, "1", value, u)
	if ok {
		in.inputs[len(in.inputs)-1].Unit = unitName
	}
	return a, ok
}

// inRange holds a value, give or take its uncertainty, to what the air's
// formulas cover.
func (in *intake) inRange(key string, a Amount, low, high float64, unitName string) {
	if e := first(within(key, a.Value-a.U, low, high, unitName), within(key, a.Value+a.U, low, high, unitName)); e != nil {
		in.problems = append(in.problems, problemOf(e)...)
	}
}
