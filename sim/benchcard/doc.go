// Package benchcard makes the card for the bench: what to verify of a rig, in
// which order, with the rig's own numbers filled in, boxes to tick and lines to
// write on.
//
//	card := benchcard.New(rig, rigcheck.Check(rig, rigcheck.DefaultOptions()), nil)
//	err := card.Write(w, benchcard.Text)
//
// A [Card] is plain data; text, Markdown and a page to print are views of it,
// which say the same. What it says of the rig comes from the rig check, that is,
// from the chain.
//
// The card tells what to verify, not how a product does it, and gives the usual
// cautions. Local rules and licensed practice come before it.
package benchcard
