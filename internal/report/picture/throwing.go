package picture

import "math"

// ballBehindEar shows the ball at its farthest behind the throwing ear, from
// the side, the target to the right.
func ballBehindEar(r Reading) Drawing {
	c := newCanvas(300, 228, 250, 165, 342)
	hip := point{0, 0.45}
	shoulder := above(hip, trunk, -6)
	ear := above(shoulder, neckToEar, 0)
	back := clampTo(r.Value, -0.2, 0.6)
	ball := point{ear.x - back, ear.y - 0.02}
	c.spans(r, ear.x, -1, 50, 198, -0.2, 0.6)
	c.limb("limb far", shoulder, shoulder.plus(0.17, -0.03), shoulder.plus(0.33, -0.06))
	c.disc("mitt", c.at(shoulder.plus(0.36, -0.06)), 0.055*c.scale)
	c.limb("limb trunk", hip, shoulder)
	c.limb("limb", shoulder, ear)
	c.head(ear)
	c.limb("limb", shoulder, bend(shoulder, ball, upperArm, forearm, false), ball)
	c.disc("ball", c.at(ball), 7)
	e := c.at(ear)
	c.line("reference", point{e.x, 44}, point{e.x, 202})
	c.textMid("label minor", e.x, 38, r.Words.Mark)
	c.labels(r.Words)
	return c.Drawing
}

// elbowFromBehind shows the elbow at release against the line through both
// shoulders, from behind.
func elbowFromBehind(r Reading) Drawing {
	c := newCanvas(300, 224, 250, 175, 332)
	hip := point{0, 0.55}
	neck := above(hip, trunk, 0)
	left, right := neck.plus(-0.13, 0), neck.plus(0.13, 0)
	rise := clampTo(r.Value, -0.17, 0.17)
	elbow := point{right.x + math.Sqrt(upperArm*upperArm-rise*rise), right.y + rise}
	c.levels(r, right.y, right.y-0.3, right.y+0.3)
	c.line("limb torso", c.at(left), c.at(right), c.at(hip.plus(0.08, 0)), c.at(hip.plus(-0.08, 0)), c.at(left))
	c.disc("head", c.at(neck.plus(-0.02, 0.10)), headRadius*c.scale)
	c.limb("limb far", left, left.plus(-0.10, -0.10), left.plus(-0.03, -0.2))
	ball := elbow.plus(0.06, forearm*0.9)
	c.limb("limb", right, elbow, ball)
	c.disc("ball", c.at(ball), 7)
	c.disc("dot", c.at(elbow), 6)
	line := c.at(right)
	c.line("reference", point{8, line.y}, point{c.W - 8, line.y})
	c.text("label minor", 12, line.y-5, r.Words.Mark)
	c.labels(r.Words)
	return c.Drawing
}

// stride shows the feet at the landing of the front foot, from the side, and
// the box in which it is wanted.
func stride(r Reading) Drawing {
	c := newCanvas(300, 226, 180, 75, 180)
	length := clampTo(r.Value, 0, 1)
	back, front := point{0, ankleHeight}, point{length, ankleHeight}
	reach := (thigh + shank) * 0.985
	hip := point{length * 0.45, ankleHeight + math.Sqrt(math.Max(0.04, reach*reach-sqr(length*0.55)))}
	c.ground(-0.35, 1.1)
	c.spans(r, 0, 1, 173, 187, 0, 1)
	c.leg("limb far", hip, front)
	c.leg("limb", hip, back)
	shoulder := above(hip, trunk, 2)
	c.limb("limb trunk", hip, shoulder)
	c.limb("limb", shoulder, bend(shoulder, shoulder.plus(-0.20, 0.12), upperArm, forearm, false), shoulder.plus(-0.20, 0.12))
	c.disc("ball", c.at(shoulder.plus(-0.20, 0.12)), 6)
	c.limb("limb", shoulder, above(shoulder, neckToEar, 0))
	c.head(above(shoulder, neckToEar, 0))
	from, to := c.at(back), c.at(front)
	c.line("measure", point{from.x, 189}, point{from.x, 196}, point{to.x, 196}, point{to.x, 189})
	c.labels(r.Words)
	return c.Drawing
}

func sqr(x float64) float64 { return x * x }

// kneeBend shows a leg at landing, and dashed the leg at the least bend wanted.
func kneeBend(r Reading) Drawing {
	c := newCanvas(300, 226, 300, 130, 196)
	c.ground(-0.25, 0.65)
	ankle := point{0, ankleHeight}
	knee, hip := legBent(ankle, clampTo(r.Value, -10, 140))
	c.limb("limb", ankle, knee, hip)
	c.foot("limb", ankle)
	if !open(r.Lo) {
		knee, hip := legBent(ankle, r.Lo)
		c.limb("wanted-limb", ankle, knee, hip)
	}
	c.disc("dot", c.at(knee), 6)
	c.labels(r.Words)
	return c.Drawing
}

// legBent gives knee and hip of a leg bent by degrees; 0 is straight. Half of
// the bend leans the shank forward, the other half the thigh back.
func legBent(ankle point, degrees float64) (knee, hip point) {
	knee = above(ankle, shank, 6+degrees/2)
	return knee, above(knee, thigh, 6-degrees/2)
}
