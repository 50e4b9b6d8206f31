package picture

import (
	"strings"

	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// strip is one of several parts of a picture, from top to bottom.
type strip struct {
	high  vg.Length
	paint func(draw.Canvas)
}

const stripGap = vg.Length(8)

// drawnStrips writes strips one below the other.
func drawnStrips(title, description string, strips []strip) ([]byte, error) {
	high := 2 * margin
	for _, s := range strips {
		high += s.high + stripGap
	}
	return drawn(title, high, description, func(c draw.Canvas) {
		top := c.Max.Y
		for _, s := range strips {
			part := c
			part.Max.Y, part.Min.Y = top, top-s.high
			s.paint(part)
			top -= s.high + stripGap
		}
	})
}

// noteStrip is text in as many lines as it needs.
func noteStrip(note string) strip {
	words := textStyle()
	words.YAlign = text.YTop
	lines := wrapped(words, note, width-2*margin)
	return strip{vg.Length(len(lines))*labelPitch + 4, func(c draw.Canvas) {
		for i, line := range lines {
			c.FillText(words, vg.Point{X: c.Min.X, Y: c.Max.Y - vg.Length(i)*labelPitch}, line)
		}
	}}
}

// headingStrip is the title of a picture of several plots.
func headingStrip(heading string) strip {
	words := textStyle()
	words.Font.Size, words.YAlign, words.XAlign = 16, text.YTop, text.XCenter
	return strip{26, func(c draw.Canvas) { c.FillText(words, vg.Point{X: c.Center().X, Y: c.Max.Y}, heading) }}
}

// wrapped breaks a text between words, so that no line is wider than it may be, but
// for a single word.
func wrapped(look text.Style, s string, wide vg.Length) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		longer := strings.TrimSpace(line + " " + word)
		if line != "" && look.Width(longer) > wide {
			lines, longer = append(lines, line), word
		}
		line = longer
	}
	return append(lines, line)
}
