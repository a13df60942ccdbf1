package sim

// LeastHold is about the shortest press that a hand makes: one cycle of the
// motor system, 70 ms. Source: Card, Moran and Newell, The Psychology of
// Human-Computer Interaction (1983), quoted second-hand.
const LeastHold = 70 * Millisecond
