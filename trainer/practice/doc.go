// Package practice is the screen to practise flicks on.
//
// [Screen] is a program of package term: state.go has what lasts, each of its
// pages has a file for state and keys, and the draw files only draw. What is
// judged is up to package trainer, what is kept up to its [Notebook].
package practice
