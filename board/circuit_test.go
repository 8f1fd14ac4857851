package board

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"lampwright/units"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.Abs(got-want) > within {
		t.Errorf("%s is %g, want %g", what, got, want)
	}
}

// Worked by hand with Ohm's law: 10 k and 10 k halve, 1 % of both makes 0.495 .. 0.505; 0.3 and 0.6 of 5 V with 2 % make
// 1.47 V and 3.06 V; above 5.3 V at the pin the clamp takes what the lower resistor does not.
func TestInputByHand(t *testing.T) {
	b, err := Find("chain-8")
	if err != nil {
		t.Fatal(err)
	}
	near(t, "low up to, V", float64(b.Input.LowUpTo()), 1.47/0.505, 1e-9)
	near(t, "high from, V", float64(b.Input.HighFrom()), 3.06/0.495, 1e-9)
	near(t, "clamp at 24 V, A", float64(b.Input.ClampCurrent(24)), 1.87e-3-0.53e-3, 1e-9)
	near(t, "clamp at 10 V, A", float64(b.Input.ClampCurrent(10)), 0, 0)
	near(t, "heat at 24 V, W", float64(b.Input.SeriesPower(24)), 18.7*18.7/1e4, 1e-9)
	near(t, "heat at 10 V, W", float64(b.Input.SeriesPower(10)), 25.0/1e4, 1e-9)
	near(t, "current at 13.5 V, A", float64(b.Input.Current(13.5)), 0.82e-3, 1e-9)
	near(t, "current at 10 V, A", float64(b.Input.Current(10)), 0.5e-3, 1e-9)
}

// Two modules: 5 V through 48 k against 1 k to ground gives 0.102 V on the wire; the listener's own pin lies a 48th of the rest higher.
func TestLinkByHand(t *testing.T) {
	b, err := Find("pins")
	if err != nil {
		t.Fatal(err)
	}
	wire := 5.0 / 49
	near(t, "two modules, V", float64(b.LinkCircuit.LowAt(2, 5, 0)), wire+(5-wire)/48, 1e-9)
	near(t, "pull against 24 V, A", float64(b.LinkCircuit.PullCurrent(24)), 24e-3, 1e-9)
}

// What the boards promise about their inputs and their link, at every tolerance.
func TestCircuitsHoldTheirPromise(t *testing.T) {
	for _, b := range All() {
		if b.Input.HighFrom() > b.Limits.LowestSupply.Is {
			t.Errorf("%s: an input needs %v, more than the lowest supply %v", b.Name, b.Input.HighFrom(), b.Limits.LowestSupply.Is)
		}
		if b.Input.LowUpTo() < 2.5 {
			t.Errorf("%s: leakage of %v would already be read", b.Name, b.Input.LowUpTo())
		}
		// All inputs clamped at a jump start: the logic supply must swallow it (the board itself draws at least 15 mA).
		if sum := float64(len(b.Inputs)) * float64(b.Input.ClampCurrent(b.Limits.Survives.Is)); sum > 15e-3 {
			t.Errorf("%s: %g A flow into the logic supply", b.Name, sum)
		}
		// Ground 0.3 V higher at the far module, eight modules: still low, with the controller's limit of 0.3 VCC at 4.9 V.
		if v := b.LinkCircuit.LowAt(8, 5, 0.3); v > 0.3*4.9 {
			t.Errorf("%s: the link stands at %v while it is pulled low", b.Name, v)
		}
		// ATmega328P data sheet, absolute maximum: 40 mA in a pin; 20 mA is the tested condition.
		if b.LinkCircuit.PullCurrent(16) > 20e-3 || b.LinkCircuit.PullCurrent(24) > 40e-3 {
			t.Errorf("%s: a link wire on the supply draws %v", b.Name, b.LinkCircuit.PullCurrent(24))
		}
	}
}

// The pages in docs/boards state the figures of the data files, pin by pin.
func TestPagesAgreeWithData(t *testing.T) {
	around := pageOf(t, "around")
	for _, b := range All() {
		page := pageOf(t, b.Family)
		for _, list := range [][]Pin{b.Inputs, b.OutputPins, b.Control, {b.Link}} {
			for _, p := range list {
				if !strings.Contains(page, "| "+p.Name+" | "+p.Port+" |") {
					t.Errorf("%s: the page has no row | %s | %s |", b.Family, p.Name, p.Port)
				}
			}
		}
		round := func(v units.Voltage) string { return units.Voltage(math.Round(float64(v)*100) / 100).String() }
		milli := func(i units.Current) string { return units.Current(math.Round(float64(i)*1e5) / 1e5).String() }
		want := []string{
			"low up to " + round(b.Input.LowUpTo()), "high from " + round(b.Input.HighFrom()),
			"clamp carries " + milli(b.Input.ClampCurrent(24)) + " at 24 V", "draws " + milli(b.Input.Current(13.5)) + " at 13.5 V",
			"one output: " + b.Limits.Output.Is.String(), "whole board: " + b.Limits.Board.Is.String(),
			b.Limits.LowestSupply.Is.String() + " to " + b.Limits.HighestSupply.Is.String(),
			"eight modules " + round(b.LinkCircuit.LowAt(8, 5, 0.3)),
		}
		if b.Core == CoreChain {
			want = append(want, "one register: "+b.Limits.Register.Is.String(),
				fmt.Sprintf("| %s | %s | %s |", b.Name, milli(b.Awake()), milli(b.Asleep())))
		} else {
			want = append(want, fmt.Sprintf("%s awake and %s asleep", milli(b.Awake()), milli(b.Asleep())))
		}
		common := Board{}
		for _, d := range b.Drain {
			row := fmt.Sprintf("| %s | %s | %s |", d.Part, d.Awake, d.Asleep)
			switch {
			case strings.Contains(around, row):
				common.Drain = append(common.Drain, d)
			case d.Part == "register":
				want = append(want, fmt.Sprintf("| %s | %s each | %s each |", d.Part, d.Awake, d.Asleep))
			case d.EachRegister:
				want = append(want, fmt.Sprintf("| %s | %s a register | %s a register |", d.Part, d.Awake, d.Asleep))
			default:
				want = append(want, row)
			}
		}
		want = append(want, fmt.Sprintf("takes: %s awake, %s asleep", milli(common.Awake()), units.Current(math.Round(float64(common.Asleep())*1e6)/1e6)))
		for _, w := range want {
			if !strings.Contains(page, w) {
				t.Errorf("%s: the page does not say %q", b.Family, w)
			}
		}
	}
}

func pageOf(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile("../docs/boards/" + name + ".md")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// The page around the boards states the figures of the sense circuits.
func TestSensePageAgreesWithData(t *testing.T) {
	around := pageOf(t, "around")
	for _, b := range All() {
		_, low, high := b.Supply.From(int(b.Supply.Code(17)))
		for _, want := range []string{
			b.Supply.Series.Is.String() + " from the protected supply to ADC7, " + b.Supply.ToGround.Is.String() + " to ground",
			fmt.Sprintf("17 V may be %.2f V to %.2f V", float64(low), float64(high)),
			fmt.Sprintf("%s (1 %%) from 5 V to ADC6, a sensor of %s at 25 °C (1 %%, beta %g K", b.Heat.PullUp.Is, b.Heat.AtRoom.Is, b.Heat.Beta.Is),
			fmt.Sprintf("85 °C gives %.2f V (code %d), 105 °C %.2f V (code %d)", 5*b.Heat.Exact(85)/256, b.Heat.Code(85), 5*b.Heat.Exact(105)/256, b.Heat.Code(105)),
			fmt.Sprintf("12.6 V / (%s + %s)", b.Supply.Series.Is, b.Supply.ToGround.Is),
		} {
			if !strings.Contains(around, want) {
				t.Errorf("%s: the page does not say %q", b.Name, want)
			}
		}
	}
}

// The drain of a sleeping board keeps its goal, but for the power registers at their data sheet's highest figure.
func TestDrain(t *testing.T) {
	for _, b := range All() {
		if b.Asleep() <= 0 || b.Asleep() >= b.Awake()/10 {
			t.Errorf("%s: %v asleep, %v awake", b.Name, b.Asleep(), b.Awake())
		}
		if over := b.Asleep() > AsleepGoal; over != (b.Family == "chain" && b.Registers >= 3) {
			t.Errorf("%s: %v asleep against a goal of %v", b.Name, b.Asleep(), AsleepGoal)
		}
		for _, d := range b.Drain {
			if d.Source == "" || d.Asleep > d.Awake {
				t.Errorf("%s: %+v", b.Name, d)
			}
		}
	}
	// By hand: 25 + 60 + 82 + 53 + 6 µA, and 8 registers of 108 µA.
	b, _ := Find("chain-64")
	near(t, "chain-64 asleep, A", float64(b.Asleep()), 226e-6+8*108e-6, 1e-12)
}
