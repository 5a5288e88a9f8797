package flight

import "math"

// The standard atmosphere up to 11 km (ISO 2533:1975, table 1 and clause 2).
const (
	gasConstant    = 287.05287 // specific gas constant of air, J/(kg·K)
	seaPressure    = 101325.0  // Pa
	seaTemperature = 288.15    // K
	lapse          = 0.0065    // K per geopotential metre
	earthRadius    = 6356766.0 // m, nominal
	zeroCelsius    = 273.15    // K

	// dryAir is the specific gas constant of dry air as handbooks round it (from
	// memory), J/(kg·K). It differs from the standard's by 2 parts in 100 000.
	dryAir = 287.058

	lowestAltitude, highestAltitude = -1000.0, 11000.0 // m, geometric
	coldest, hottest                = -40.0, 60.0      // °C
)

// Density is the density of the standard atmosphere, kg/m³, at a geometric
// altitude in metres (ISO 2533:1975). Outside −1000 m to 11000 m it is NaN.
func Density(altitudeM float64) float64 {
	pressure, temperature := standardAir(altitudeM)
	return pressure / (gasConstant * temperature)
}

// DensityAt is the density of dry air, kg/m³, at a geometric altitude in
// metres and a temperature in °C: the pressure of the standard atmosphere and
// the gas law. Outside −1000 m to 11000 m or −40 °C to 60 °C it is NaN.
func DensityAt(altitudeM, temperatureC float64) float64 {
	if !(temperatureC >= coldest && temperatureC <= hottest) {
		return math.NaN()
	}
	pressure, _ := standardAir(altitudeM)
	return pressure / (dryAir * (zeroCelsius + temperatureC))
}

// standardAir is the pressure (Pa) and temperature (K) of the standard
// atmosphere; ISO 2533 clause 2: geopotential altitude, then the layer with a
// constant temperature gradient.
func standardAir(altitudeM float64) (pressure, temperature float64) {
	if !(altitudeM >= lowestAltitude && altitudeM <= highestAltitude) {
		return math.NaN(), math.NaN()
	}
	geopotential := earthRadius * altitudeM / (earthRadius + altitudeM)
	temperature = seaTemperature - lapse*geopotential
	return seaPressure * math.Pow(temperature/seaTemperature, Gravity/(gasConstant*lapse)), temperature
}
