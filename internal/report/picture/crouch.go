package picture

// crouch draws a catcher low, seen from the side, the pitcher to the right: hips
// at a height, bare hand and ball where the scene wants them.
type crouch struct{ ankle, hip, shoulder, ear point }

func crouchAt(hipHeight float64) crouch {
	k := crouch{ankle: point{0, ankleHeight}}
	up := clampTo((hipHeight-0.15)/(0.53-0.15), 0, 1) // 0 deep, 1 standing
	k.hip = point{-0.16 + 0.14*up, clampTo(hipHeight, 0.10, 0.525)}
	lean := 42 - 34*up
	k.shoulder = above(k.hip, trunk, lean)
	k.ear = above(k.shoulder, neckToEar, lean/3)
	return k
}

func (c *canvas) crouch(k crouch, mitt bool) {
	c.ground(-0.62, 0.85)
	c.leg("limb far", k.hip, k.ankle.plus(0.05, 0))
	if mitt {
		hand := k.shoulder.plus(0.30, -0.05)
		c.limb("limb far", k.shoulder, bend(k.shoulder, hand, upperArm, forearm, false), hand)
		c.disc("mitt", c.at(hand.plus(0.03, 0)), 0.06*c.scale)
	}
	c.leg("limb", k.hip, k.ankle)
	c.limb("limb trunk", k.hip, k.shoulder)
	c.limb("limb", k.shoulder, k.ear)
	c.head(k.ear)
}

// hipInCrouch shows the height of the hips against the wanted one.
func hipInCrouch(r Reading) Drawing {
	c := newCanvas(300, 224, 185, 130, 196)
	k := crouchAt(r.Value)
	c.levels(r, 0, 0.02, 0.8)
	c.crouch(k, true)
	hand := k.hip.plus(0.03, -0.03)
	c.limb("limb", k.shoulder, bend(k.shoulder, hand, upperArm, forearm, true), hand)
	c.disc("dot", c.at(k.hip), 6)
	c.labels(r.Words)
	return c.Drawing
}

// bareHand shows the bare hand against the height of the hip.
func bareHand(r Reading) Drawing {
	c := newCanvas(300, 224, 228, 130, 196)
	k := crouchAt(0.30)
	c.levels(r, k.hip.y, 0.02, 0.66)
	c.crouch(k, true)
	hand := point{k.hip.x + 0.07, clampTo(k.hip.y+r.Value, 0.02, 0.6)}
	c.limb("limb", k.shoulder, bend(k.shoulder, hand, upperArm, forearm, true), hand)
	c.disc("dot", c.at(hand), 6)
	c.reference(k.hip, r.Words.Mark)
	c.labels(r.Words)
	return c.Drawing
}

// ballAtChange shows the ball at the change of hands against the shoulder.
func ballAtChange(r Reading) Drawing {
	c := newCanvas(300, 224, 240, 130, 240)
	k := crouchAt(0.38)
	c.levels(r, k.shoulder.y, k.shoulder.y-0.42, k.shoulder.y+0.22)
	c.crouch(k, false)
	c.twoHands(k, point{k.shoulder.x + 0.08, k.shoulder.y + clampTo(r.Value, -0.42, 0.22)})
	c.reference(k.shoulder, r.Words.Mark)
	c.labels(r.Words)
	return c.Drawing
}

// ballFalls shows how far the ball falls after the change of hands.
func ballFalls(r Reading) Drawing {
	c := newCanvas(300, 224, 240, 130, 240)
	k := crouchAt(0.38)
	turned := r
	turned.Value, turned.Lo, turned.Hi = -r.Value, -r.Hi, 0
	c.levels(turned, k.shoulder.y, k.shoulder.y-0.45, k.shoulder.y+0.2)
	c.crouch(k, false)
	change := point{k.shoulder.x + 0.10, k.shoulder.y}
	low := point{k.shoulder.x - 0.02, k.shoulder.y - clampTo(r.Value, 0, 0.45)}
	c.disc("ghost", c.at(change), 7)
	c.line("way", c.at(change), c.at(low))
	c.limb("limb", k.shoulder, bend(k.shoulder, low, upperArm, forearm, true), low)
	c.disc("ball", c.at(low), 7)
	c.reference(change, r.Words.Mark)
	c.labels(r.Words)
	return c.Drawing
}

// twoHands brings mitt and bare hand together at the ball.
func (c *canvas) twoHands(k crouch, ball point) {
	c.disc("mitt", c.at(ball.plus(0.03, 0)), 0.055*c.scale)
	c.limb("limb", k.shoulder, bend(k.shoulder, ball, upperArm, forearm, true), ball)
	c.disc("ball", c.at(ball), 7)
}

// reference draws the level that the reading counts from, with its name.
func (c *canvas) reference(p point, name string) {
	at := c.at(p)
	c.line("reference", point{8, at.y}, point{c.W - 8, at.y})
	c.disc("joint", at, 4)
	c.textEnd("label minor", c.W-20, at.y-5, name)
}
