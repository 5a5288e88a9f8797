package marks

import "rootcue/engine/place"

type slips []place.Problem

func (d *deriver) slips() []place.Problem { return nil }
