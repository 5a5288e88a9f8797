package flight

import (
	"math"
	"testing"
)

// ISO 2533:1975, density at geometric altitudes.
func TestDensityOfTheStandardAtmosphere(t *testing.T) {
	for altitude, want := range map[float64]float64{0: 1.22500, 500: 1.16727, 1000: 1.11166, 1500: 1.05810, 2000: 1.00655} {
		isNear(t, "density", Density(altitude), want, 5.1e-6)
	}
}

// Dry air at 20 °C and 101325 Pa by the gas law: 1.20408 kg/m³
// (handbook figure, from memory, recomputed).
func TestDensityAtATemperature(t *testing.T) {
	isNear(t, "density at 20 °C", DensityAt(0, 20), 1.20408, 5e-6)
	// At the standard atmosphere's own temperature both agree, but for the rounding of the
	// gas constant.
	isNear(t, "density at 15 °C", DensityAt(0, 15), Density(0), 3e-5)
	if !(DensityAt(0, 30) < DensityAt(0, 10)) {
		t.Error("warm air is not thinner")
	}
}

func TestDensityOutsideTheTable(t *testing.T) {
	for _, altitude := range []float64{-1001, 11001, math.NaN(), math.Inf(1)} {
		if got := Density(altitude); !math.IsNaN(got) {
			t.Errorf("Density(%g) = %g, want NaN", altitude, got)
		}
	}
	for _, temperature := range []float64{-41, 61, math.NaN(), math.Inf(-1)} {
		if got := DensityAt(0, temperature); !math.IsNaN(got) {
			t.Errorf("DensityAt(0, %g) = %g, want NaN", temperature, got)
		}
	}
}
