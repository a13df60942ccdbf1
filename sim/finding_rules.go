package sim

// rules lists every rule, in the order in which findings of one moment are
// told.
var rules = []rule{}
