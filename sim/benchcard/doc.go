// Package benchcard makes the card for the bench: what to verify on a rig, in
// order, with the rig's own numbers, boxes to tick and lines to write on.
//
//	card := benchcard.New(rig, rigcheck.Check(rig, rigcheck.DefaultWithin), nil)
//	err := card.Write(w, benchcard.Text)
//
// A [Card] is plain data; text, Markdown and a printable page are views of it
// with the same content. What it says about the rig comes from the rig check.
//
// The card says what to verify, not how a product does it, and gives the usual
// cautions. Local rules and licensed practice take precedence.
package benchcard
