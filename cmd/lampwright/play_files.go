package main

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"

	"lampwright/figures"
	"lampwright/program"
	"lampwright/units"
)

// gif writes the whole play as an animated picture.
func (p *play) gif() error {
	return p.write(p.GIF, p.Job, func(w io.Writer) error {
		a, err := figures.NewAnimation(w, figures.NewPicture(p.lamps, p.picture()), p.Frame)
		if err != nil {
			return err
		}
		player := p.player()
		for at := units.Time(0); at <= p.until; at += p.Frame {
			if err := p.ctx.Err(); err != nil {
				return err
			}
			player.To(at)
			if err := a.Add(player.Frame(p.lamps)); err != nil {
				return err
			}
		}
		return a.Close()
	})
}

// svg writes the picture at --at.
func (p *play) svg() error {
	return p.write(p.SVG, p.Job, func(w io.Writer) error {
		player := p.player()
		player.To(*p.At)
		return figures.WriteSVG(w, p.lamps, p.picture(), player.Frame(p.lamps))
	})
}

func (p *play) picture() figures.PictureOptions {
	o := figures.PictureOptions{Width: p.Width, Title: p.built.kit.Title}
	for _, in := range p.built.kit.Inputs {
		o.Inputs = append(o.Inputs, in.Name)
	}
	return o
}

// csv writes a row for every change of every group, frame by frame.
func (p *play) csv() error {
	return p.write(p.CSV, p.Job, func(w io.Writer) error {
		out := csv.NewWriter(w)
		if err := out.Write([]string{"time_ms", "module", "output", "lamp", "group", "level", "light_percent"}); err != nil {
			return err
		}
		player := p.player()
		type shown struct {
			level int
			light units.Share
		}
		last := make([][]shown, len(p.built.kit.Modules))
		for at := units.Time(0); at <= p.until; at += program.FrameMS * units.Millisecond {
			if err := p.ctx.Err(); err != nil {
				return err
			}
			player.To(at)
			for i, m := range p.built.kit.Modules {
				levels, light := player.Levels(i), player.Light(i)
				if last[i] == nil {
					last[i] = make([]shown, len(m.Output))
				}
				for g, o := range m.Output {
					if o < 0 {
						continue
					}
					now := shown{int(levels[o]), light[o]}
					if last[i][g] == now {
						continue
					}
					last[i][g] = now
					err := out.Write([]string{number(at.Milliseconds()), m.Name, strconv.Itoa(o + 1), m.Lamp.Name, m.Lamp.Groups[g].Name,
						strconv.Itoa(now.level), number(percent(float64(now.light)))})
					if err != nil {
						return err
					}
				}
			}
		}
		out.Flush()
		return out.Error()
	})
}

// percent gives a share in per cent, to a hundredth.
func percent(share float64) float64 { return math.Round(share*10000) / 100 }

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
