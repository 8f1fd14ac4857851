package board

import (
	"testing"

	"lampwright/units"
)

func chain8(t *testing.T) Board {
	t.Helper()
	b, err := Find("chain-8")
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// Worked by hand: 127 k over 27 k makes 5 V of 28.5 V (docs/image-format.md, section 2), 256 codes; 1 µA through the two in
// parallel, 22.27 k, is 22.3 mV or 1.14 codes.
func TestSupplyByHand(t *testing.T) {
	s := chain8(t).Supply
	for volts, code := range map[units.Voltage]uint8{0: 0, 6.5: 58, 11.8: 105, 13.5: 121, 16: 143, 17: 152, 24: 215, 28.5: 255, 40: 255} {
		if got := s.Code(volts); got != code {
			t.Errorf("%v: code %d, want %d", volts, got, code)
		}
	}
	at, low, high := s.From(152)
	near(t, "152 codes, V", float64(at), 152*5.0*154/27/256, 1e-9)
	near(t, "at the least, V", float64(low), (152-1.125-1.14)/256*4.9*(125.73+27.27)/27.27, 1e-3)
	near(t, "at the most, V", float64(high), (152+1.125+1.14)/256*5.1*(128.27+26.73)/26.73, 1e-3)
}

// The law, on the sensor that is listed most: 10 k, beta 3435 K, with 1451 Ω at 85 °C and 974 Ω at 100 °C (from memory). Those of the
// boards by hand, beta 3950 K: at 85 °C exp(3950 · (1/358.15 - 1/298.15)) is 0.1087, at 105 °C 0.06064.
func TestHeatByHand(t *testing.T) {
	listed := HeatSense{PullUp: Figure[units.Resistance]{Is: 10e3}, AtRoom: Figure[units.Resistance]{Is: 10e3}, Beta: Figure[float64]{Is: 3435}}
	near(t, "85 °C, codes", listed.Exact(85), 256*1451/11451.0, 0.05)
	near(t, "100 °C, codes", listed.Exact(100), 256*974.0/10974, 0.4)
	h := chain8(t).Heat
	near(t, "85 °C, codes", h.Exact(85), 256*0.1087/1.1087, 0.05)
	near(t, "105 °C, codes", h.Exact(105), 256*0.06064/1.06064, 0.05)
	if h.Code(25) != 128 || h.Code(85) != 25 || h.Code(-40) < 240 || (HeatSense{}).Code(85) != 255 || (HeatSense{}).Fitted() || !h.Fitted() {
		t.Errorf("codes %d at 25 °C, %d at 85 °C, %d at -40 °C", h.Code(25), h.Code(85), h.Code(-40))
	}
	at, low, high := h.UpTo(int(h.Code(85)))
	if at > 85 || at < 83.5 || low > at-2 || low < at-6 || high < at+2 || high > at+6 {
		t.Errorf("limit of 85 °C: nominal %v, %v to %v", at, low, high)
	}
	near(t, "back from the next code", h.Exact(at), float64(h.Code(85))+1, 1e-9)
}

// The codes of docs/engine.md: 0x79 is 13.5 V; a shorted heat sensor reads 3 or less, which no temperature does that a board survives.
func TestCodesOfTheEnginePage(t *testing.T) {
	for _, b := range All() {
		if got := b.Supply.Code(13.5); got != 0x79 {
			t.Errorf("%s: 13.5 V is code %02x", b.Name, got)
		}
		if got := b.Heat.Code(150); got <= 3 {
			t.Errorf("%s: 150 °C is code %d", b.Name, got)
		}
		if _, _, high := b.Supply.From(int(b.Supply.Code(17))); high >= b.Limits.Survives.Is {
			t.Errorf("%s: 17 V may be %v", b.Name, high)
		}
		if _, low, _ := b.Supply.From(int(b.Supply.Code(17))); low <= b.Limits.HighestSupply.Is {
			t.Errorf("%s: 17 V may be %v", b.Name, low)
		}
		if b.Strap() != (b.Core == CoreChain) {
			t.Errorf("%s: strap %v", b.Name, b.Strap())
		}
	}
}
