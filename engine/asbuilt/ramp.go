package asbuilt

import "seamwright/engine/length"

// ramp is the way back to the marks: with every row the front's error shrinks
// in the same proportion at all purlins, so that rows stay straight, and at the
// worst purlin by all that its joint gives. A run that cannot come back, since
// its panels push it out as fast as the joints take it in, keeps its shape and
// moves as a whole.
type ramp struct {
	worst  length.Length // error at the worst purlin, without its sign
	step   length.Length // what a row takes back there
	stuck  bool          // nothing can be taken back
	drift  length.Length // then every row moves on by this
	needed int           // rows until nothing is left
}

// newRamp plans the way back for the errors at the purlins, ahead positive.
// push is what every panel adds by itself.
func newRamp(errs []length.Length, r Rules, push length.Length) ramp {
	switch {
	case push > r.Close:
		return ramp{stuck: true, drift: push - r.Close}
	case push < -r.Open:
		return ramp{stuck: true, drift: push + r.Open}
	}
	var p ramp
	for _, e := range errs {
		gives := r.Close - push // an error ahead is closed, one behind opened
		if e < 0 {
			gives = r.Open + push
		}
		switch {
		case e == 0:
			continue
		case gives == 0:
			return ramp{stuck: true}
		case p.worst == 0 || longer(e.Abs(), gives, p.worst, p.step):
			p.worst, p.step = e.Abs(), gives
		}
	}
	if p.worst > 0 {
		p.needed = int((p.worst + p.step - 1) / p.step)
	}
	return p
}

// longer reports whether e1/g1 > e2/g2. Errors stay within length.Max
// and play within 1 m, so the products fit.
func longer(e1, g1, e2, g2 length.Length) bool { return e1*g2 > e2*g1 }

// after is what is left of an error e when n rows have followed.
func (p ramp) after(e length.Length, n int) length.Length {
	switch {
	case p.stuck:
		return e + length.Length(n)*p.drift
	case p.worst == 0 || n >= p.needed:
		return 0
	}
	return e.MulDiv(int64(p.worst-length.Length(n)*p.step), int64(p.worst))
}
