package faults

import (
	_ "embed"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// Weights says how often each cause is met before any reading, by its number, against
// 1 for an ordinary one: a share. A cause that is not named keeps its usual weight. Age,
// water, season and events move it further.
type Weights map[int]float64

// ErrWeights is wrapped by every refusal of a table of weights.
var ErrWeights = errors.New("weights not readable")

// mostWeight bounds a weight: beyond it a table says what is wrong before anybody
// looked.
const mostWeight = 100

//go:embed weights.csv
var usualText string

var usualWeights, errUsual = ParseWeights(strings.NewReader(usualText))

// UsualWeights is the table that holds where nobody gives another, as it is to be
// edited. Source: [TradeFaults], common practice, no source: a fault that announces
// itself, as a dead pump does, is 0.05, every other 1.
func UsualWeights() string { return usualText }

// ParseWeights reads a table with the columns cause (1 to 49), weight (0 to 100) and
// any others, which are for people: "12,2,restrictor blocked". Errors wrap
// [ErrWeights] and name the line.
func ParseWeights(from io.Reader) (Weights, error) {
	table := csv.NewReader(from)
	table.FieldsPerRecord, table.Comment, table.TrimLeadingSpace = -1, '#', true
	head, err := table.Read()
	if err != nil || len(head) < 2 || strings.TrimSpace(head[0]) != "cause" || strings.TrimSpace(head[1]) != "weight" {
		return nil, fmt.Errorf("%w: first line %q, expected the columns cause,weight", ErrWeights, strings.Join(head, ","))
	}
	all := Weights{}
	for {
		row, err := table.Read()
		if errors.Is(err, io.EOF) {
			return all, nil
		}
		if err != nil {
			return nil, fmt.Errorf("%w: %w", ErrWeights, err)
		}
		line, _ := table.FieldPos(0)
		if err := all.add(row); err != nil {
			return nil, fmt.Errorf("%w: line %d: %w", ErrWeights, line, err)
		}
	}
}

func (w Weights) add(row []string) error {
	if len(row) < 2 {
		return fmt.Errorf("%q, expected a cause and its weight: 12,2", strings.Join(row, ","))
	}
	number, err := strconv.Atoi(strings.TrimSpace(row[0]))
	if err != nil || indexOf(number) < 0 {
		return fmt.Errorf("cause %q, expected a number from 1 to 49", row[0])
	}
	weight, err := strconv.ParseFloat(strings.TrimSpace(row[1]), 64)
	if err != nil || !(0 <= weight && weight <= mostWeight) {
		return fmt.Errorf("weight %q of cause %d, expected a number from 0 to %d, 1 for an ordinary cause", row[1], number, mostWeight)
	}
	if _, twice := w[number]; twice {
		return fmt.Errorf("cause %d is there twice", number)
	}
	w[number] = weight
	return nil
}

// weigh is the weight of a cause before any reading.
func (c *Case) weigh(k int) float64 {
	own, ok := c.Weights[causes[k].Number]
	if !ok || !(0 <= own && own <= mostWeight) {
		own = usualWeights[causes[k].Number]
	}
	if c.Facts.Bare && needsMembrane(&causes[k]) {
		return never
	}
	return own * causes[k].weight(c)
}
