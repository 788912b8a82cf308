package cli

import (
	"rinsewright/hydraulics"
	"rinsewright/quantity"
)

const hazenWilliams = "H-W"

var lineDoor = calcDoor{
	name: "line", about: "velocity and head loss in a pipe, tube or hose",
	notes: "`--friction colebrook` (the default) or `explicit` chooses the formula of D-W. Between Reynolds numbers of 2000 and 4000 no law holds; a smooth bridge stands there.",
	flags: []string{"--friction"},
	keys:  []calcColumn{idColumn},
	inputs: []calcColumn{
		wordColumn("headloss_form", "Darcy-Weisbach or Hazen-Williams", "D-W", "D-W", hazenWilliams),
		needColumn("length_m", "m", "length", 0, 1e5),
		needColumn("inside_diameter_mm", "mm", "true inside diameter", 0.01, 1e4),
		mayColumn("roughness_mm_or_C", "", "D-W: roughness in mm, empty is smooth tube; H-W: coefficient C, 10 to 200", 0, 1e3, "0"),
		mayColumn("minor_K", "", "loss of the fittings in velocity heads", 0, 1e6, "0"),
		needColumn("flow_L_s", "L/s", "flow", -1e4, 1e4),
		mayColumn("kinematic_viscosity_m2_s", "m²/s", "kinematic viscosity; empty is water at 20 °C; H-W does not heed it", 1e-8, 1e-2, "1.004e-6"),
	},
	results: []calcColumn{
		resultColumn("expect_velocity_m_s", "m/s", "mean velocity"),
		resultColumn("expect_headloss_m", "m", "head lost, fittings included"),
	},
	compute: func(s calcSetting, r calcRow) (calcAnswer, error) {
		row := hydraulics.LineRow{
			HeadLossForm: r.text("headloss_form"), Friction: s.friction, MinorK: r.number("minor_K"),
			Length:             quantity.Metres(r.number("length_m")),
			InsideDiameter:     quantity.Millimetres(r.number("inside_diameter_mm")),
			Flow:               quantity.LitresPerMinute(60 * r.number("flow_L_s")),
			KinematicViscosity: quantity.Diffusivity(r.number("kinematic_viscosity_m2_s")),
		}
		if row.HeadLossForm == hazenWilliams {
			row.C = r.number("roughness_mm_or_C")
		} else {
			row.Roughness = quantity.Millimetres(r.number("roughness_mm_or_C"))
		}
		line, err := row.Solve()
		if err != nil {
			return nil, err
		}
		return calcAnswer{float64(line.Velocity), float64(line.HeadLoss)}, nil
	},
}
