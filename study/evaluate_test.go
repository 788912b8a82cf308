package study

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
)

// evaluate is a pocket calculator for the working's formulas: + - * / ^,
// parentheses, and exp, ln, log10, sqrt, floor over named numbers. It shares
// no code with the engine.
func evaluate(formula string, values map[string]float64) (float64, error) {
	p := &calculator{rest: formula, values: values}
	x, err := p.sum()
	if err != nil {
		return 0, err
	}
	if p.skip(); p.rest != "" {
		return 0, fmt.Errorf("left over: %q", p.rest)
	}
	return x, nil
}

type calculator struct {
	rest   string
	values map[string]float64
}

func (p *calculator) skip() { p.rest = strings.TrimLeft(p.rest, " ") }

func (p *calculator) take(s string) bool {
	p.skip()
	if strings.HasPrefix(p.rest, s) {
		p.rest = p.rest[len(s):]
		return true
	}
	return false
}

func (p *calculator) sum() (float64, error) {
	x, err := p.product()
	for err == nil {
		var y float64
		switch {
		case p.take("+"):
			y, err = p.product()
			x += y
		case p.take("-"):
			y, err = p.product()
			x -= y
		default:
			return x, nil
		}
	}
	return 0, err
}

func (p *calculator) product() (float64, error) {
	x, err := p.power()
	for err == nil {
		var y float64
		switch {
		case p.take("*"):
			y, err = p.power()
			x *= y
		case p.take("/"):
			y, err = p.power()
			x /= y
		default:
			return x, nil
		}
	}
	return 0, err
}

func (p *calculator) power() (float64, error) {
	x, err := p.atom()
	if err == nil && p.take("^") {
		var y float64
		y, err = p.power()
		x = math.Pow(x, y)
	}
	return x, err
}

func (p *calculator) atom() (float64, error) {
	if p.take("-") {
		x, err := p.atom()
		return -x, err
	}
	if p.take("(") {
		x, err := p.sum()
		if err == nil && !p.take(")") {
			err = fmt.Errorf("no closing parenthesis before %q", p.rest)
		}
		return x, err
	}
	p.skip()
	end := strings.IndexFunc(p.rest, func(r rune) bool { return !(unicode.IsLetter(r) || unicode.IsDigit(r) || r == '_' || r == '.') })
	if end < 0 {
		end = len(p.rest)
	}
	word := p.rest[:end]
	p.rest = p.rest[end:]
	if x, err := strconv.ParseFloat(word, 64); err == nil {
		return x, nil
	}
	if f, ok := map[string]func(float64) float64{"exp": math.Exp, "ln": math.Log, "log10": math.Log10, "sqrt": math.Sqrt, "floor": math.Floor}[word]; ok && p.take("(") {
		x, err := p.sum()
		if err == nil && !p.take(")") {
			err = fmt.Errorf("no closing parenthesis after %s", word)
		}
		return f(x), err
	}
	x, ok := p.values[word]
	if !ok {
		return 0, fmt.Errorf("no value for %q", word)
	}
	return x, nil
}
