// Package practice is the screen to practise flicks on.
//
// [Screen] is a program of package term: state.go has the lasting state, each
// page has a file for state and keys, and the draw files only draw. Package
// trainer judges, and the [Notebook] keeps the results.
package practice
