package chain

// Inverse is what the roof would take.
type Inverse struct{}

func (r *runner) inverse() {}
