// Package practice is the screen to practise flicks on.
//
// [Screen] is a program of package term. state.go has its state, each page has a
// file for its state and keys, and the draw files only draw. Package trainer
// judges, and a [Notebook] keeps the results.
package practice
