// Package pass says where passes go. In come a work and a cutter; out comes a section:
// passes that leave no more above the face than the scallop that is asked for, or layers of
// roughing that leave no more than the finishing cutter may bite.
//
// Each pattern of finishing is a file, and a line in a list (pattern.go); roughing goes in
// layers. A pattern spaces its passes as wide as the scallop lets them stand and says where
// they go in plan; how moves are laid along them is told by package link.
package pass
