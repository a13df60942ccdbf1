package sim

// ShortestHold is roughly the shortest press a hand can make: one cycle of the
// motor system, 70 ms. Source: Card, Moran and Newell, The Psychology of
// Human-Computer Interaction (1983), quoted second-hand.
const ShortestHold = 70 * Millisecond
