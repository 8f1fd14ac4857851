package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"lampwright/car"
	"lampwright/figures"
	"lampwright/lamp"
	"lampwright/script"
	"lampwright/units"
)

type playCommand struct {
	Job      string `arg:"" help:"The job file."`
	pressing `embed:""`
	Lamp     []string    `help:"Show only this lamp; give it again for several." placeholder:"NAME"`
	At       *units.Time `help:"Show the one picture at this time, such as 1.2s." placeholder:"TIME"`
	Until    *units.Time `help:"Stop at this time; left out, a second after the last press." placeholder:"TIME"`
	Every    units.Time  `help:"Time from picture to picture where the screen cannot move." default:"500ms" placeholder:"TIME"`
	Speed    float64     `help:"Play faster or slower than life on the screen, 0.05 to 20." default:"1"`
	Colour   string      `help:"Colours on the screen: auto, always or never. NO_COLOR counts." enum:"auto,always,never" default:"auto"`
	GIF      string      `name:"gif" help:"Write the play as an animated picture." placeholder:"FILE"`
	SVG      string      `name:"svg" help:"Write the picture at --at as a drawing." placeholder:"FILE"`
	CSV      string      `name:"csv" help:"Write every change of every group; - for standard output." placeholder:"FILE"`
	Frame    units.Time  `help:"Length of a frame of the GIF: 20ms to 1s in steps of 10ms." default:"40ms" placeholder:"TIME"`
	Width    int         `help:"Most width of GIF or SVG, 240 to 4096 dots." default:"1280"`
	Stream   string      `help:"Play on this real module, over the serial line of its plug; needs --serial." placeholder:"MODULE"`
	Serial   string      `help:"The port of the serial adapter, such as /dev/ttyUSB0 or COM3." placeholder:"PORT"`
	JSON     bool        `name:"json" help:"Print the light of every group at --at, or at every --every, as a JSON list."`
}

func (playCommand) Help() string {
	return `Plays what the modules will do, computed from the very programs that make would write. On a terminal the lamps move; into
a file or a pipe a picture is printed every half second. Without colour, brighter light is a later one of ` + figures.Ramp() + `
` + "\n" + pressesHelp + `

Examples:

  lampwright play my-tail.yaml
  lampwright play my-tail.yaml --script "tail@0s..6s stop@1s..3s turn-lh@3s..6s~90/min:50%"
  lampwright play my-tail.yaml --script "stop@1s..3s" --at 1.2s
  lampwright play my-tail.yaml --script @tour.txt --gif tour.gif

--stream shows the play on a real module whose program allows it (stream: true), while its own road signals stay above it:

  lampwright play my-tail.yaml --stream rear-lh --serial /dev/ttyUSB0`
}

// playTail is how long play goes on after the last press or condition, so that leave routines are seen.
const playTail = units.Second

// liveFrame is the time from picture to picture on a moving screen.
const liveFrame = 40 * units.Millisecond

func (c playCommand) Run(e *env) error {
	if err := c.sensible(e); err != nil {
		return err
	}
	built, presses, err := c.ready(e, c.Job, c.JSON)
	if err != nil {
		return err
	}
	lamps, err := c.lamps(e, built)
	if err != nil {
		return err
	}
	shipped, err := car.Units(built.result)
	if err != nil {
		return err
	}
	p := &play{playCommand: c, env: e, built: built, units: shipped, lamps: lamps, line: presses.Timeline(c.Seed), until: presses.Len() + playTail}
	if c.Until != nil {
		p.until = *c.Until
	}
	if c.GIF != "" && p.until/c.Frame >= figures.MaxFrames {
		e.problem(fmt.Sprintf("%s of play are more than the %d frames that a GIF may have here", p.until, figures.MaxFrames),
			"make the frames longer with --frame, or stop earlier with --until")
		return badUsage
	}
	return p.run()
}

// sensible refuses options that mean nothing together or are out of range.
func (c playCommand) sensible(e *env) error {
	refuse := func(what, next string) error {
		e.problem(what, next)
		return badUsage
	}
	switch {
	case c.Speed < 0.05 || c.Speed > 20:
		return refuse(fmt.Sprintf("a speed of %g cannot be followed", c.Speed), "choose 0.05 to 20")
	case c.At != nil && (*c.At < 0 || *c.At > script.MaxTime), c.Until != nil && (*c.Until <= 0 || *c.Until > script.MaxTime):
		return refuse("that time is outside of play", fmt.Sprintf("choose a time within %s", script.MaxTime))
	case c.Every < liveFrame:
		return refuse(fmt.Sprintf("a picture every %s is more than can be read", c.Every), fmt.Sprintf("choose %s or more", liveFrame))
	case c.SVG != "" && c.At == nil:
		return refuse("a drawing shows one time", "add --at with the time to draw, such as --at 1.2s")
	case c.GIF != "" && c.At != nil:
		return refuse("a GIF shows the whole play", "leave --at out, or write a drawing with --svg")
	case c.CSV == "-" && (c.JSON || c.SVG == "-"), c.SVG == "-" && c.JSON:
		return refuse("two results cannot share standard output", "give one of them a file name")
	case sameName(c.GIF, c.SVG) || sameName(c.GIF, c.CSV) || sameName(c.SVG, c.CSV):
		return refuse("two results cannot share one file", "give each a name of its own")
	case c.GIF == "-":
		return refuse("a GIF is no text for the screen", "give it a file name")
	case c.Frame < figures.MinFrame || c.Frame > units.Second || c.Frame%(10*units.Millisecond) != 0:
		return refuse(fmt.Sprintf("a frame of %s cannot be kept in a GIF", c.Frame), "choose 20ms to 1s in steps of 10ms")
	case (c.Stream == "") != (c.Serial == ""):
		return refuse("a stream needs a module and a port", "write both, such as --stream rear-lh --serial /dev/ttyUSB0")
	case c.Stream != "" && (c.JSON || c.GIF != "" || c.SVG != "" || c.CSV != "" || c.At != nil):
		return refuse("a stream is played in the pace of life, on the module", "leave --stream out to write files")
	case c.Width < figures.MinWidth || c.Width > figures.MaxWidth:
		return refuse(fmt.Sprintf("a picture %d dots wide is not drawn", c.Width), fmt.Sprintf("choose %d to %d", figures.MinWidth, figures.MaxWidth))
	}
	return nil
}

// lamps picks the lamps to show.
func (c playCommand) lamps(e *env, b *built) ([]*lamp.Lamp, error) {
	var all []*lamp.Lamp
	var names []string
	for _, l := range b.kit.Lamps {
		names = append(names, l.Name)
		if len(c.Lamp) == 0 || slices.Contains(c.Lamp, l.Name) {
			all = append(all, l.Lamp)
		}
	}
	for _, name := range c.Lamp {
		if !slices.Contains(names, name) {
			e.noSuch("lamp", name, names)
			return nil, badUsage
		}
	}
	return all, nil
}

// play is one run of the command.
type play struct {
	playCommand
	*env
	built *built
	units []car.Unit
	lamps []*lamp.Lamp
	line  *script.Timeline
	until units.Time
}

func (p *play) run() error {
	if p.Stream != "" {
		return p.stream()
	}
	wrote := false
	for _, file := range []struct {
		path  string
		write func() error
	}{{p.GIF, p.gif}, {p.SVG, p.svg}, {p.CSV, p.csv}} {
		if file.path == "" {
			continue
		}
		wrote = true
		if err := file.write(); err != nil {
			return err
		}
		if file.path != "-" {
			p.tell("wrote %s", file.path)
		}
	}
	switch {
	case p.JSON:
		return p.json(p.frames())
	case wrote:
		return nil
	}
	columns, rows, colour, live := p.canvas(p.Colour)
	t := figures.NewTerminal(p.lamps, figures.TerminalOptions{Columns: columns, Rows: max(0, rows-3), Colour: colour})
	if p.At != nil || !live {
		return p.pictures(t)
	}
	return p.live(t, columns, rows)
}

func (p *play) player() *figures.Player {
	return figures.NewPlayer(p.built.kit, p.units, p.line, p.until, p.conditions())
}

// picked is a frame as JSON tells it: the light of each group in per cent.
type picked struct {
	AtMS       float64                       `json:"at_ms"`
	Pressed    []string                      `json:"pressed"`
	Conditions []string                      `json:"conditions"`
	Modules    map[string]car.State          `json:"modules"`       // by module
	Light      map[string]map[string]float64 `json:"light_percent"` // by lamp, by group
}

// frames gives the pictures that are asked for as data.
func (p *play) frames() []picked {
	out := []picked{}
	p.each(func(f figures.Frame) {
		one := picked{AtMS: f.At.Milliseconds(), Pressed: append([]string{}, f.Pressed...), Conditions: append([]string{}, f.Holding...),
			Modules: map[string]car.State{}, Light: map[string]map[string]float64{}}
		for _, m := range f.Modules {
			one.Modules[m.Module] = m.State
		}
		for i, l := range p.lamps {
			groups := map[string]float64{}
			for g, share := range f.Light[i] {
				groups[l.Groups[g].Name] = percent(float64(share))
			}
			one.Light[l.Name] = groups
		}
		out = append(out, one)
	})
	return out
}

// each gives the frame at --at, or one every --every.
func (p *play) each(take func(figures.Frame)) {
	player := p.player()
	if p.At != nil {
		player.To(*p.At)
		take(player.Frame(p.lamps))
		return
	}
	for at := units.Time(0); at <= p.until && p.ctx.Err() == nil; at += p.Every {
		player.To(at)
		take(player.Frame(p.lamps))
	}
}

func (p *play) pictures(t *figures.Terminal) error {
	p.each(func(f figures.Frame) {
		fmt.Fprintf(p.out, "%s%s\n\n", t.Picture(f), figures.Status(f))
	})
	return p.ctx.Err()
}

// Control sequences of terminals (ECMA-48).
const (
	hideCursor = "\x1b[?25l"
	showCursor = "\x1b[?25h"
	clearLine  = "\x1b[K"
)

// live moves the picture in place, in step with a clock that does not drift. A line that the screen broke in two, or a picture
// higher than the screen, would move the next one off its place: both are cut.
func (p *play) live(t *figures.Terminal, columns, rows int) error {
	player := p.player()
	shown := max(1, min(t.Rows(), rows-2))
	fmt.Fprint(p.out, hideCursor)
	defer fmt.Fprint(p.out, showCursor)
	step := units.Time(float64(liveFrame) * p.Speed)
	for at := units.Time(0); at <= p.until && p.ctx.Err() == nil; at += step {
		if at > 0 {
			p.sleep(time.Duration(liveFrame) * time.Microsecond)
			fmt.Fprintf(p.out, "\x1b[%dA\r", shown+1)
		}
		player.To(at)
		f := player.Frame(p.lamps)
		fmt.Fprintf(p.out, "%s%s%s\n", head(t.Picture(f), shown), cut(figures.Status(f), columns-1), clearLine)
	}
	return nil
}

// head gives the first lines of a text.
func head(text string, lines int) string {
	end := 0
	for range lines {
		end += strings.IndexByte(text[end:], '\n') + 1
	}
	return text[:end]
}

// cut shortens a line to so many letters.
func cut(line string, letters int) string {
	if r := []rune(line); len(r) > letters {
		return string(r[:max(0, letters-1)]) + "…"
	}
	return line
}
